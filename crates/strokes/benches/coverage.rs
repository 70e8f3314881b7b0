//! How often intervals of a hand's percentiles hold: a study of simulated recordings, as a table.
//!
//! `cargo bench -p evenhand-strokes --bench coverage`

use evenhand_fitting::{Fit, Settings, fit};
use evenhand_measurement::{Force, ReadOptions, parse_measurement};
use evenhand_strokes::{
    Hand, HandRule, PressUnit, Stroke, StrokePoint, Strokes, summarise, weighted_quantile,
};
use rand::{Rng as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution as _, Normal};

const RECORDINGS: u64 = 1_000;
const SEED: u64 = 20_261_126;
const LEVELS: [f64; 3] = [0.05, 0.5, 0.95];
/// Strokes from which the true percentiles are counted.
const MANY: usize = 120_000;
/// Points in a second.
const RATE: f64 = 100.0;
/// Spread of the greatest force from stroke to stroke, as a logarithm.
const SPREAD: f64 = 0.33;

/// How a hand draws.
#[derive(Clone, Copy)]
struct Hands {
    name: &'static str,
    length: Length,
    mood: Mood,
    /// Part of the variance that the mood has.
    of_mood: f64,
    /// Part of the force that is lost from the first stroke to the last.
    tiring: f64,
    shape: Shape,
}

#[derive(Clone, Copy)]
enum Mood {
    /// So many strokes have the same.
    Of(usize),
    /// It changes a little with each stroke: an autoregressive process that forgets within so many strokes.
    Wanders(f64),
}

#[derive(Clone, Copy)]
enum Length {
    Strokes(usize),
    /// Strokes of 0.2 to 2 s, with pauses that are longer in some recordings than in others.
    Minutes(f64),
}

#[derive(Clone, Copy)]
enum Shape {
    /// Rises like a square root and falls so, from and to 15 %.
    Lens,
    /// Rises and falls evenly, from and to nothing.
    Taper,
}

const ALONE: Hands = Hands {
    name: "independent",
    length: Length::Minutes(3.0),
    mood: Mood::Of(1),
    of_mood: 0.0,
    tiring: 0.0,
    shape: Shape::Lens,
};

fn rows() -> Vec<Hands> {
    let minutes = |minutes: f64| Length::Minutes(minutes);
    let moods = |name, mood, of_mood, length| Hands {
        name,
        mood: Mood::Of(mood),
        of_mood,
        length,
        ..ALONE
    };
    let few = |name, strokes| Hands {
        name,
        length: Length::Strokes(strokes),
        ..ALONE
    };
    let tapered = |name, hands: Hands| Hands {
        name,
        shape: Shape::Taper,
        ..hands
    };
    let tiring = |name, tiring| Hands {
        name,
        tiring,
        ..ALONE
    };
    let wandering = |name, strokes| Hands {
        name,
        mood: Mood::Wanders(strokes),
        of_mood: 0.94,
        ..ALONE
    };
    let of_six = moods("moods of 6", 6, 0.94, minutes(3.0));
    vec![
        few("5 strokes", 5),
        few("10 strokes", 10),
        few("20 strokes", 20),
        few("40 strokes", 40),
        few("80 strokes", 80),
        few("160 strokes", 160),
        few("320 strokes", 320),
        ALONE,
        tapered("independent, evenly tapered", ALONE),
        moods("moods of 2", 2, 0.94, minutes(3.0)),
        moods("moods of 3", 3, 0.94, minutes(3.0)),
        of_six,
        moods("moods of 12", 12, 0.94, minutes(3.0)),
        moods("moods of 20", 20, 0.94, minutes(3.0)),
        moods("moods of 6, half", 6, 0.5, minutes(3.0)),
        moods("moods of 12, half", 12, 0.5, minutes(3.0)),
        tapered("moods of 6, evenly tapered", of_six),
        tiring("tiring by a fifth", 0.2),
        tiring("tiring by half", 0.5),
        moods("moods of 6, 40 strokes", 6, 0.94, Length::Strokes(40)),
        moods("moods of 12, 40 strokes", 12, 0.94, Length::Strokes(40)),
        moods("moods of 6, 20 strokes", 6, 0.94, Length::Strokes(20)),
        wandering("wandering over 4 strokes", 4.0),
        wandering("wandering over 30 strokes", 30.0),
        moods("moods of 6, 10 minutes", 6, 0.94, minutes(10.0)),
        moods("moods of 12, 10 minutes", 12, 0.94, minutes(10.0)),
    ]
}

/// What became of the recordings of a row.
#[derive(Default)]
struct Tally {
    held: [u32; 3],
    open: [u32; 3],
    /// Of the closed ones, in units of the true percentile.
    widths: [Vec<f64>; 3],
    /// Recordings that are said to be too short.
    short: u32,
    /// Intervals that do not hold in recordings that are not said to be too short.
    missed_sure: [u32; 3],
}

fn main() {
    let Some(fitted) = response() else { return };
    let only = std::env::args()
        .nth(1)
        .filter(|name| !name.starts_with("--"));
    #[expect(clippy::print_stdout, reason = "the table is what this program is for")]
    {
        println!(
            "| recordings | 5th: held, open, width | 50th | 95th | too short | held where not |"
        );
        println!("| --- | --- | --- | --- | --- | --- |");
        for (index, hands) in rows().into_iter().enumerate() {
            let mut asked = only.iter();
            if asked.any(|name| !hands.name.contains(name.as_str())) {
                continue;
            }
            let mut tally = tally(index as u64, hands, &fitted);
            println!("{}", tally.row(hands.name));
        }
    }
}

fn response() -> Option<Fit> {
    // Recorded forces are not turned by the response, so any will do.
    let table =
        "force_gf,reported_percent\n0,0\n5,0\n100,20\n200,40\n300,60\n400,80\n500,100\n600,100\n";
    let (measurement, _) =
        parse_measurement("bench.csv", table.as_bytes(), &ReadOptions::default()).ok()?;
    fit(&measurement, &Settings::default()).ok()
}

fn tally(index: u64, hands: Hands, fitted: &Fit) -> Tally {
    let mut random = ChaCha8Rng::seed_from_u64(SEED);
    let many = Hands {
        length: Length::Strokes(MANY),
        ..hands
    };
    let mut all: Vec<(f64, f64)> = recording(many, &mut random)
        .strokes
        .iter()
        .flat_map(|stroke| &stroke.points)
        .map(|point| (point.press, 1.0))
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    let truth = LEVELS.map(|level| weighted_quantile(&all, level));
    let mut tally = Tally::default();
    for run in 0..RECORDINGS {
        let mut random = ChaCha8Rng::seed_from_u64(SEED + 1);
        random.set_stream(run * 1000 + index);
        let recorded = recording(hands, &mut random);
        if let Ok(hand) = summarise(&recorded, fitted, &HandRule::default()) {
            tally.add(&hand, &truth);
        }
    }
    tally
}

impl Tally {
    fn add(&mut self, hand: &Hand, truth: &[f64; 3]) {
        self.short += u32::from(!hand.enough);
        for (index, level) in LEVELS.into_iter().enumerate() {
            let Some(found) = hand.percentiles.iter().find(|p| p.level == level) else {
                continue;
            };
            let low = found.low.map_or(f64::NEG_INFINITY, Force::gf);
            let high = found.high.map_or(f64::INFINITY, Force::gf);
            let holds = (low..=high).contains(&truth[index]);
            self.held[index] += u32::from(holds);
            self.missed_sure[index] += u32::from(hand.enough && !holds);
            if (high - low).is_finite() {
                self.widths[index].push((high - low) / truth[index]);
            } else {
                self.open[index] += 1;
            }
        }
    }

    fn row(&mut self, name: &str) -> String {
        let part = |count: u32| 100.0 * f64::from(count) / RECORDINGS as f64;
        let cells: Vec<String> = (0..3)
            .map(|index| {
                let widths = &mut self.widths[index];
                widths.sort_by(f64::total_cmp);
                let width = widths.get(widths.len() / 2).map_or_else(
                    || "none".to_owned(),
                    |width| format!("{:.0} %", 100.0 * width),
                );
                format!(
                    "{:.1} %, {:.0} %, {width}",
                    part(self.held[index]),
                    part(self.open[index])
                )
            })
            .collect();
        let enough = RECORDINGS as f64 - f64::from(self.short);
        let missed = f64::from(self.missed_sure.iter().copied().max().unwrap_or(0));
        let sure = if enough > 0.0 {
            format!("{:.1} %", 100.0 * (1.0 - missed / enough))
        } else {
            "none".to_owned()
        };
        format!(
            "| {name} | {} | {:.0} % | {sure} |",
            cells.join(" | "),
            part(self.short)
        )
    }
}

fn recording(hands: Hands, random: &mut ChaCha8Rng) -> Strokes {
    let rest = random.random_range(0.3..1.5);
    let mut time = 0.0;
    let mut strokes = Vec::new();
    let mut mood = 0.0;
    let planned = match hands.length {
        Length::Strokes(count) => count as f64,
        Length::Minutes(minutes) => minutes * 60.0,
    };
    loop {
        let part = match hands.length {
            Length::Strokes(_) => strokes.len() as f64 / planned,
            Length::Minutes(_) => time / planned,
        };
        if part >= 1.0 {
            break;
        }
        mood = match hands.mood {
            Mood::Of(count) if strokes.len() % count == 0 => normal(random),
            Mood::Of(_) => mood,
            Mood::Wanders(_) if strokes.is_empty() => normal(random),
            Mood::Wanders(strokes) => {
                let kept = (-1.0 / strokes).exp();
                kept * mood + (1.0 - kept * kept).sqrt() * normal(random)
            }
        };
        let own = normal(random) * SPREAD * (1.0 - hands.of_mood).sqrt();
        let of_mood = mood * SPREAD * hands.of_mood.sqrt();
        let greatest = 120.0 * (of_mood + own).exp() * (1.0 - hands.tiring * part);
        let stroke = stroke(hands.shape, greatest, time, random);
        time = stroke
            .points
            .last()
            .and_then(|point| point.time_s)
            .unwrap_or(time);
        time += rest * random.random_range(0.5..1.5);
        strokes.push(stroke);
    }
    Strokes {
        strokes,
        press_unit: PressUnit::ForceGf,
        levels: None,
        has_places: false,
        tells_touch: true,
        read_at: None,
        notes: Vec::new(),
    }
}

fn normal(random: &mut ChaCha8Rng) -> f64 {
    Normal::new(0.0, 1.0).map_or(0.0, |normal| normal.sample(random))
}

fn stroke(shape: Shape, greatest: f64, begins_s: f64, random: &mut ChaCha8Rng) -> Stroke {
    let seconds: f64 = random.random_range(0.2..2.0);
    let lean: f64 = random.random_range(0.2..0.8);
    let points: Vec<u32> = (0..200)
        .take_while(|index| f64::from(index + 1) <= seconds * RATE)
        .collect();
    let count = points.len() as f64;
    let point = |index: u32| {
        let part = (f64::from(index) + 0.5) / count;
        let rise = if part < lean {
            part / lean
        } else {
            (1.0 - part) / (1.0 - lean)
        };
        StrokePoint {
            x: 0.0,
            y: 0.0,
            time_s: Some(begins_s + f64::from(index) / RATE),
            press: greatest
                * match shape {
                    Shape::Lens => 0.15 + 0.85 * rise.sqrt(),
                    Shape::Taper => rise,
                },
        }
    };
    Stroke {
        points: points.into_iter().map(point).collect(),
    }
}
