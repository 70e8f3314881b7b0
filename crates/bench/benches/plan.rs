//! How many readings planned forces need against an even ladder, on simulated benches.
//!
//! `cargo bench -p evenhand-bench --bench plan` prints the table of the crate's documentation. The even ladder is
//! told what the plan has to find out: it goes from 0 to 10 % beyond the true saturation force.

#[path = "../../fitting/benches/study/quantile.rs"]
mod quantile;
#[path = "../../fitting/benches/study/truth.rs"]
mod truth;

use evenhand_bench::{PlanSettings, PrecisionGoal, Step, next_force};
use evenhand_fitting::{Fit, Settings, fit};
use evenhand_measurement::{Force, Measurement, Sample, Seating};
use quantile::quantile;
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::StandardNormal;
use rayon::prelude::*;
use truth::Truth;

const SEED: u64 = 20_261_126;
const STYLUSES: u64 = 200;
const RESAMPLES: usize = 200;
/// Readings of the even ladder; the plan gets six tenths of them.
const LADDERS: [usize; 4] = [15, 20, 30, 40];

#[expect(clippy::print_stdout, reason = "a study is there to print its table")]
fn main() {
    println!(
        "{STYLUSES} simulated styluses a row, {RESAMPLES} resamples, seed {SEED}; median widths of 95 % intervals"
    );
    println!("| readings | onset, gf | saturation, % | band of the curve, % |");
    println!("| --- | --- | --- | --- |");
    for even in LADDERS {
        let planned = even * 6 / 10;
        let rows: Vec<Both> = (0..STYLUSES)
            .into_par_iter()
            .filter_map(|number| Some((laddered(number, even)?, followed(number, planned)?)))
            .collect();
        let median = |of: &dyn Fn(&Both) -> f64| {
            let values: Vec<f64> = rows.iter().map(of).collect();
            quantile(&values, 0.5)
        };
        let column = |widths: &dyn Fn(&Both) -> [f64; 3]| {
            let [onset, saturation, band] =
                [0, 1, 2].map(|index| median(&|row| widths(row)[index]));
            format!("{onset:.2} | {saturation:.2} | {band:.2}")
        };
        println!("| {even}, even ladder | {} |", column(&|row| row.0));
        println!("| {planned}, planned | {} |", column(&|row| row.1));
    }
}

/// Widths by the even ladder and as planned.
type Both = ([f64; 3], [f64; 3]);

/// Widths of onset (gf), saturation and band (percent).
fn widths(fit: &Fit) -> Option<[f64; 3]> {
    let saturation = fit.saturation.interval()?;
    let width = |low: Force, high: Force| high.gf() - low.gf();
    let curve = fit.curve();
    let (onset, end) = (fit.onset.estimate, saturation.estimate);
    let inside: Vec<f64> = curve
        .iter()
        .filter(|row| row.force > onset && row.force < end)
        .map(|row| row.high - row.low)
        .collect();
    Some([
        width(fit.onset.low, fit.onset.high),
        100.0 * width(saturation.low, saturation.high) / end.gf(),
        100.0 * inside.iter().sum::<f64>() / inside.len() as f64,
    ])
}

fn settings(number: u64) -> Settings {
    Settings {
        resamples: RESAMPLES,
        seed: number,
        ..Settings::default()
    }
}

/// The same errors as in the study of the fit: a gain of the bench, scatter of forces and readings.
struct Bench {
    truth: Truth,
    gain: f64,
    random: ChaCha8Rng,
}

impl Bench {
    fn new(number: u64) -> Self {
        let mut random = ChaCha8Rng::seed_from_u64(SEED + number);
        let truth = Truth::draw(&mut random);
        let gain = 1.0 + 0.003 * random.sample::<f64, _>(StandardNormal);
        Self {
            truth,
            gain,
            random,
        }
    }

    fn place(&mut self, measurement: &mut Measurement, force: f64) {
        let mut noise = |spread: f64| spread * self.random.sample::<f64, _>(StandardNormal);
        let acting = if force > 0.0 {
            force * self.gain * (1.0 + noise(0.002)) + noise(0.4)
        } else {
            0.0
        };
        let exact = self.truth.reading(acting);
        let reading = if exact <= 0.0 || exact >= 1.0 {
            exact
        } else {
            (1e4 * (exact + noise(0.004))).round().clamp(0.0, 1e4) / 1e4
        };
        let line = measurement.samples.len() + 2;
        measurement.samples.push(Sample {
            force: Force::from_gf(force),
            reading,
            seating: 0,
            direction: None,
            line,
        });
    }
}

fn empty() -> Measurement {
    Measurement {
        seatings: vec![Seating {
            index: 1,
            direction: None,
        }],
        ..Measurement::default()
    }
}

fn laddered(number: u64, readings: usize) -> Option<[f64; 3]> {
    let mut bench = Bench::new(number);
    let mut measurement = empty();
    let top = 1.1 * bench.truth.saturation;
    for step in 0..readings {
        bench.place(&mut measurement, top * step as f64 / (readings - 1) as f64);
    }
    widths(&fit(&measurement, &settings(number)).ok()?)
}

fn followed(number: u64, readings: usize) -> Option<[f64; 3]> {
    let mut bench = Bench::new(number);
    let mut measurement = empty();
    // Whole gf up to 1 kgf, no more than a box of weights makes.
    let candidates: Vec<f64> = (0..=1000).map(f64::from).collect();
    // A goal that is never reached keeps it going.
    let plan = PlanSettings {
        limit_gf: 1000.0,
        goal: PrecisionGoal {
            onset_gf: 2.5,
            saturation_part: 0.008,
            curve: 0.008,
        },
    };
    let mut found = fit(&measurement, &settings(number)).ok();
    while measurement.samples.len() < readings {
        let step = next_force(Some(&measurement), found.as_ref(), &candidates, &plan);
        let Step::Place { force_gf, .. } = step else {
            break;
        };
        bench.place(&mut measurement, force_gf);
        found = fit(&measurement, &settings(number)).ok();
    }
    widths(&found?)
}
