//! The studio's whole collection, measured over one winter: six models, some units twice, one on two benches.

use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::StandardNormal;

use crate::file::{Heading, Row, percent_csv};
use crate::scene::{AVOCET, CURLEW, DUNLIN, GODWIT};
use crate::stylus::Stylus;

/// The one seed of the collection.
const SEED: u64 = 20_261_104;

const REDSHANK: Stylus = Stylus {
    onset_gf: 18.0,
    saturation_gf: 375.0,
    logarithmic: 0.2,
    bend: 6.0,
    exponent: 1.35,
};
const WHIMBREL: Stylus = Stylus {
    onset_gf: 6.0,
    saturation_gf: 620.0,
    logarithmic: 0.7,
    bend: 12.0,
    exponent: 0.9,
};

/// The bench of nearly all measurements, and the one in the loft with a lever that reads light.
const WINDOW: &str = "window";
const LOFT: &str = "loft";
const LOFT_GAIN: f64 = 1.022;

/// Repositioning between two measurements of one unit changes forces by this part.
const REPOSITIONED: f64 = 0.006;
/// Most that the bench places.
const MOST_GF: f64 = 1000.0;

struct Model {
    name: &'static str,
    stylus: Stylus,
    units: u32,
    /// Spread of onset and saturation between units, as parts.
    spread: f64,
}

const MODELS: [Model; 6] = [
    Model {
        name: "Dunlin",
        stylus: DUNLIN,
        units: 6,
        spread: 0.05,
    },
    Model {
        name: "Avocet",
        stylus: AVOCET,
        units: 5,
        spread: 0.03,
    },
    Model {
        name: "Redshank",
        stylus: REDSHANK,
        units: 4,
        spread: 0.08,
    },
    Model {
        name: "Godwit",
        stylus: GODWIT,
        units: 5,
        spread: 0.006,
    },
    Model {
        name: "Whimbrel",
        stylus: WHIMBREL,
        units: 3,
        spread: 0.04,
    },
    Model {
        name: "Curlew",
        stylus: CURLEW,
        units: 2,
        spread: 0.05,
    },
];

/// Units measured again, with the days of the repeats.
const REPEATED: [(&str, u32, &[&str]); 3] = [
    ("Dunlin", 2, &["2026-01-19", "2026-02-09"]),
    ("Avocet", 1, &["2026-01-20"]),
    ("Godwit", 3, &["2026-02-10"]),
];
/// The unit that was also measured in the loft.
const SHARED: (&str, u32, &str) = ("Avocet", 3, "2026-02-16");
/// The unit whose spring binds: full scale lies beyond what the bench places.
const TOO_STIFF: (&str, u32) = ("Dunlin", 6);
const TOO_STIFF_SATURATION_GF: f64 = 1450.0;

/// Every file of the collection: name and text.
pub(crate) fn files() -> Vec<(String, String)> {
    let mut random = ChaCha8Rng::seed_from_u64(SEED);
    let mut files = Vec::new();
    for model in &MODELS {
        for unit in 1..=model.units {
            let mut noise = || random.sample::<f64, _>(StandardNormal);
            let own = Stylus {
                onset_gf: model.stylus.onset_gf * (1.0 + model.spread * noise()),
                saturation_gf: model.stylus.saturation_gf * (1.0 + model.spread * noise()),
                exponent: model.stylus.exponent * (1.0 + 0.5 * model.spread * noise()),
                ..model.stylus
            };
            let is_stiff = (model.name, unit) == TOO_STIFF;
            let own = if is_stiff {
                Stylus {
                    saturation_gf: TOO_STIFF_SATURATION_GF,
                    ..own
                }
            } else {
                own
            };
            let label = UNIT_NAMES[unit as usize - 1];
            let mut add = |ending: &str, bench, gain: f64, date, story| {
                let heading = Heading {
                    model: model.name,
                    unit: label,
                    date,
                    story,
                    bench: Some(bench),
                };
                let rows = rows(&own, gain, &mut random);
                let name = format!("studio/{}-{label}{ending}.csv", model.name.to_lowercase());
                files.push((name, percent_csv(&heading, &rows)));
            };
            let story = if is_stiff {
                "Hardly moves: its spring binds. Full scale was not reached at the bench's limit."
            } else {
                "From the winter's count of the studio's styluses."
            };
            add("", WINDOW, 1.0, "2026-01-12", story);
            let repeats = REPEATED
                .iter()
                .filter(|(name, number, _)| *name == model.name && *number == unit);
            for (turn, date) in repeats.flat_map(|(_, _, days)| days.iter()).enumerate() {
                let ending = ["-again", "-once-more"][turn];
                let gain = 1.0 + REPOSITIONED * [0.8, -0.7][turn];
                add(
                    ending,
                    WINDOW,
                    gain,
                    date,
                    "The same unit on another day, the lever set up anew.",
                );
            }
            if SHARED.0 == model.name && SHARED.1 == unit {
                add(
                    "-loft",
                    LOFT,
                    LOFT_GAIN,
                    SHARED.2,
                    "The same unit on the bench in the loft.",
                );
            }
        }
    }
    files
}

const UNIT_NAMES: [&str; 6] = ["01", "02", "03", "04", "05", "06"];

/// A ladder of whole gf: close at the onset, even up to a little beyond saturation or the bench's most.
fn rows(stylus: &Stylus, gain: f64, random: &mut ChaCha8Rng) -> Vec<Row> {
    let top = (1.12 * stylus.saturation_gf).min(MOST_GF);
    let mut forces = vec![0.0];
    for step in 1..=4 {
        forces.push((stylus.onset_gf * 0.45 * f64::from(step)).round());
    }
    for step in 1..=18 {
        let part = f64::from(step) / 18.0;
        forces.push(
            (stylus.onset_gf * 1.8 + (top - stylus.onset_gf * 1.8) * part.powf(1.25)).round(),
        );
    }
    forces.dedup();
    forces
        .into_iter()
        .map(|force_gf| Row {
            force_gf,
            reading: stylus.measured(force_gf, gain, random),
            seating: 1,
        })
        .collect()
}
