//! How often intervals of a hand's percentiles hold: a study of simulated recordings, as a table.
//!
//! `cargo bench -p evenhand-strokes --bench coverage`

use evenhand_fitting::{Settings, fit};
use evenhand_measurement::{Force, ReadOptions, parse_measurement};
use evenhand_strokes::{
    HandRule, PressUnit, Stroke, StrokePoint, Strokes, summarise, weighted_quantile,
};
use rand::{Rng as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution as _, LogNormal};

const RECORDINGS: u64 = 2_000;
const SEED: u64 = 20_261_126;
const LEVELS: [f64; 3] = [0.05, 0.5, 0.95];

fn main() {
    // Recorded forces are not turned by the response, so any will do.
    let table =
        "force_gf,reported_percent\n0,0\n5,0\n100,20\n200,40\n300,60\n400,80\n500,100\n600,100\n";
    let measurement = parse_measurement("bench.csv", table.as_bytes(), &ReadOptions::default());
    let fitted = measurement
        .ok()
        .and_then(|(measurement, _)| fit(&measurement, &Settings::default()).ok());
    let Some(fitted) = fitted else { return };
    let mut all = sorted(&recording(200_000, &mut ChaCha8Rng::seed_from_u64(SEED)));
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    let truth = LEVELS.map(|level| weighted_quantile(&all, level));
    #[expect(clippy::print_stdout, reason = "the table is what this program is for")]
    {
        println!("| strokes | 5th held, open | 50th held, open | 95th held, open |");
        println!("| --- | --- | --- | --- |");
        for strokes in [5, 10, 20, 40, 80, 160, 320] {
            let mut held = [0_u32; 3];
            let mut open = [0_u32; 3];
            for run in 0..RECORDINGS {
                let mut random = ChaCha8Rng::seed_from_u64(SEED + 1);
                random.set_stream(run * 1000 + strokes as u64);
                let Ok(hand) = summarise(
                    &recording(strokes, &mut random),
                    &fitted,
                    &HandRule::default(),
                ) else {
                    continue;
                };
                for (index, level) in LEVELS.into_iter().enumerate() {
                    let Some(found) = hand.percentiles.iter().find(|p| p.level == level) else {
                        continue;
                    };
                    let low = found.low.map_or(f64::NEG_INFINITY, Force::gf);
                    let high = found.high.map_or(f64::INFINITY, Force::gf);
                    held[index] += u32::from((low..=high).contains(&truth[index]));
                    open[index] += u32::from(found.low.is_none() || found.high.is_none());
                }
            }
            let cell = |index: usize| {
                let part = |count: u32| 100.0 * f64::from(count) / RECORDINGS as f64;
                format!("{:.1} %, {:.0} %", part(held[index]), part(open[index]))
            };
            println!("| {strokes} | {} | {} | {} |", cell(0), cell(1), cell(2));
        }
    }
}

fn recording(strokes: usize, random: &mut ChaCha8Rng) -> Strokes {
    let strokes = (0..strokes)
        .map(|_| {
            // A spread of a third.
            let greatest: f64 =
                LogNormal::new(120.0_f64.ln(), 0.33).map_or(120.0, |d| d.sample(random));
            let points: u32 = random.random_range(20..=200);
            let lean: f64 = random.random_range(0.2..0.8);
            let point = |index: u32| {
                let part = (f64::from(index) + 0.5) / f64::from(points);
                let rise = if part < lean {
                    part / lean
                } else {
                    (1.0 - part) / (1.0 - lean)
                };
                StrokePoint {
                    x: 0.0,
                    y: 0.0,
                    time_s: Some(f64::from(index) * 0.005),
                    press: greatest * (0.15 + 0.85 * rise.sqrt()),
                }
            };
            Stroke {
                points: (0..points).map(point).collect(),
            }
        })
        .collect();
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

fn sorted(recording: &Strokes) -> Vec<(f64, f64)> {
    recording
        .strokes
        .iter()
        .flat_map(|stroke| &stroke.points)
        .map(|point| (point.press, 1.0))
        .collect()
}
