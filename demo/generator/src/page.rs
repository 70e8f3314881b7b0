//! A page that a visitor drew: grass, hatching and ripples, as `InkML`.

use std::f64::consts::PI;
use std::fmt::Write as _;

use rand::Rng;
use rand_chacha::ChaCha8Rng;
use rand_distr::StandardNormal;

use crate::stylus::Stylus;

const LEVELS: u32 = 8192;
/// Points in a second.
const RATE: u32 = 125;

/// One stroke while it is made up: a path and how it is pressed.
struct Gesture {
    from: (f64, f64),
    to: (f64, f64),
    /// How far the middle bends to the side, mm.
    bend: f64,
    points: u32,
    /// Greatest force, gf.
    firmness: f64,
    /// Part of the way at which the force is greatest.
    lean: f64,
}

/// The page, drawn with a stylus of the studio.
pub(crate) fn page(stylus: &Stylus, random: &mut ChaCha8Rng) -> String {
    let mut text = format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<!-- A visitor's page, drawn with Dunlin 01 of Saltmarsh Print Studio without a map. -->\n<ink xmlns=\"http://www.w3.org/2003/InkML\">\n  <definitions>\n    <inkSource xml:id=\"tablet\">\n      <sampleRate uniform=\"true\" value=\"{RATE}\"/>\n      <traceFormat>\n        <channel name=\"X\" type=\"decimal\" units=\"mm\"/>\n        <channel name=\"Y\" type=\"decimal\" units=\"mm\"/>\n        <channel name=\"F\" type=\"integer\" min=\"0\" max=\"{}\"/>\n      </traceFormat>\n    </inkSource>\n  </definitions>\n",
        LEVELS - 1
    );
    for gesture in gestures(random) {
        let _ = writeln!(text, "  <trace>{}</trace>", trace(stylus, &gesture, random));
    }
    text.push_str("</ink>\n");
    text
}

fn gestures(random: &mut ChaCha8Rng) -> Vec<Gesture> {
    let mut all = Vec::new();
    let mut normal = |spread: f64| spread * random.sample::<f64, _>(StandardNormal);
    for index in 0..46 {
        let foot = (
            8.0 + 3.1 * f64::from(index) + normal(1.2),
            84.0 + normal(2.5),
        );
        let height = 34.0 + normal(9.0);
        all.push(Gesture {
            from: foot,
            to: (foot.0 + 6.0 + normal(6.0), foot.1 - height),
            bend: normal(4.0),
            points: 34,
            firmness: 92.0 * normal(0.34).exp(),
            lean: 0.22,
        });
    }
    for index in 0..36 {
        let corner = (
            20.0 + 3.2 * f64::from(index) + normal(0.4),
            12.0 + normal(0.8),
        );
        all.push(Gesture {
            from: (corner.0 + 7.0, corner.1),
            to: (corner.0, corner.1 + 15.0 + normal(1.5)),
            bend: normal(0.5),
            points: 22,
            firmness: 58.0 * normal(0.28).exp(),
            lean: 0.35,
        });
    }
    for index in 0..8 {
        let left = (
            12.0 + 17.0 * f64::from(index) + normal(3.0),
            94.0 + normal(2.0),
        );
        all.push(Gesture {
            from: left,
            to: (left.0 + 30.0, left.1 + normal(1.0)),
            bend: 3.0 + normal(1.0),
            points: 60,
            firmness: 120.0 * normal(0.3).exp(),
            lean: 0.5,
        });
    }
    all
}

fn trace(stylus: &Stylus, gesture: &Gesture, random: &mut ChaCha8Rng) -> String {
    let mut text = String::new();
    let last = f64::from(gesture.points - 1);
    for index in 0..gesture.points {
        let part = f64::from(index) / last;
        let lean = if part < gesture.lean {
            part / gesture.lean
        } else {
            (1.0 - part) / (1.0 - gesture.lean)
        };
        let shake = 1.0 + 0.03 * random.sample::<f64, _>(StandardNormal);
        let force = gesture.firmness * (0.5 * PI * lean).sin().powf(0.8) * shake;
        let count = (stylus.reading(force.max(0.0)) * f64::from(LEVELS - 1)).round();
        let (dx, dy) = (gesture.to.0 - gesture.from.0, gesture.to.1 - gesture.from.1);
        let length = dx.hypot(dy);
        let aside = gesture.bend * (PI * part).sin();
        let x = gesture.from.0 + dx * part - aside * dy / length;
        let y = gesture.from.1 + dy * part + aside * dx / length;
        let comma = if index == 0 { "" } else { "," };
        let _ = write!(text, "{comma}{x:.2} {y:.2} {count}");
    }
    text
}
