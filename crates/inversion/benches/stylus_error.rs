//! How far the output of a true stylus is from the target, beside what is said of it: a study of simulated benches.
//!
//! `cargo bench -p evenhand-inversion --bench stylus_error` prints the table of the crate's documentation; `-- 20`
//! makes 20 benches of each kind, scatter and number of samples.

#[expect(dead_code, reason = "the studies share their parts")]
#[path = "../../fitting/benches/study"]
mod study {
    pub(crate) mod bench;
    pub(crate) mod odd;
    pub(crate) mod quantile;
    pub(crate) mod truth;
}

use evenhand_curve::Curve as _;
use evenhand_fitting::{Saturation, Settings, fit};
use evenhand_inversion::{MapRequest, NamedShape, StylusError, Target, TargetShape, build};
use evenhand_measurement::Force;
use evenhand_receiver::profile;
use rand::{Rng as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use rayon::prelude::*;
use study::odd::{Kind, Scatter, Setup};
use study::quantile::quantile;

const SEED: u64 = 20_261_128;
const BENCHES: u64 = 12;
const RESAMPLES: usize = 400;
const SAMPLES: [usize; 3] = [15, 30, 60];
const RECEIVER: &str = "segments-16";
/// Forces from light-at to full-at at which the true error is looked at.
const PLACES: u32 = 4000;

/// What one bench gave.
struct Outcome {
    fitted: f64,
    stated: StylusError,
    truth: f64,
}

fn outcome(setup: Setup, number: u64) -> Option<Outcome> {
    let mut random = ChaCha8Rng::seed_from_u64(SEED);
    random.set_stream(number);
    let truth = setup.kind.draw(&mut random);
    let measurement = setup.measure(&truth, &[1.0], true, &mut random);
    let settings = Settings {
        resamples: RESAMPLES,
        seed: number,
        ..Settings::default()
    };
    let found = fit(&measurement, &settings).ok()?;
    let Saturation::Reached(saturation) = found.saturation else {
        return None;
    };
    let part = random.random_range(0.4..1.0);
    let request = MapRequest {
        full_at: Force::from_gf(part * saturation.estimate.gf()),
        light_at: None,
        target: NamedShape::new(TargetShape::Linear, "linear"),
        output_floor: 0.0,
        before: None,
        after: None,
        hold_angle: None,
    };
    let receiver = profile(RECEIVER)?;
    let map = build(&found, &request, receiver, None).ok()?;
    let target = Target::new(map.light_at, map.full_at, TargetShape::Linear).ok()?;
    let (light, full) = (map.light_at.gf(), map.full_at.gf());
    let true_error = (0..=PLACES)
        .map(|place| light + (full - light) * f64::from(place) / f64::from(PLACES))
        .map(|force| {
            let output = map.compiled.curve.value(truth.reading(force));
            (output - target.output(Force::from_gf(force))).abs()
        })
        .fold(0.0, f64::max);
    Some(Outcome {
        fitted: map.achieved.max_error,
        stated: map.stylus_error,
        truth: true_error,
    })
}

fn row(name: &str, found: &[Outcome]) -> String {
    let at = |part: f64, of: &dyn Fn(&Outcome) -> f64| {
        let values: Vec<f64> = found.iter().map(of).collect();
        100.0 * quantile(&values, part)
    };
    let held = found.iter().filter(|o| o.truth <= o.stated.high).count();
    let exceeded = found.iter().filter(|o| o.truth > o.stated.median).count();
    let share = |count: usize| 100.0 * count as f64 / found.len().max(1) as f64;
    format!(
        "| {name} | {:.2} % | {:.2} % | {:.2} % | {:.2} % | {:.2} % | {:.0} % | {:.1} % |",
        at(0.5, &|o| o.fitted),
        at(0.5, &|o| o.truth),
        at(0.5, &|o| o.stated.median),
        at(0.9, &|o| o.truth),
        at(0.5, &|o| o.stated.high),
        share(exceeded),
        share(held),
    )
}

#[expect(clippy::print_stdout, reason = "a study is there to print its table")]
fn main() {
    let asked = std::env::args().find_map(|argument| argument.parse().ok());
    let count: u64 = asked.unwrap_or(BENCHES);
    println!(
        "{count} benches of each kind, scatter and number of samples, {RESAMPLES} resamples, seed {SEED}, receiver {RECEIVER}"
    );
    println!(
        "| response | samples | against the fit | true | stated median | true, 90th percentile | stated high | true beyond the median | true below high |"
    );
    println!("|{}", " --- |".repeat(9));
    let mut all = Vec::new();
    for kind in Kind::ALL {
        for samples in SAMPLES {
            let numbers: Vec<(Scatter, u64)> = Scatter::ALL
                .into_iter()
                .flat_map(|scatter| (0..count).map(move |number| (scatter, number)))
                .collect();
            let found: Vec<Outcome> = numbers
                .into_par_iter()
                .filter_map(|(scatter, number)| {
                    let setup = Setup {
                        kind,
                        scatter,
                        samples,
                    };
                    outcome(setup, number)
                })
                .collect();
            println!("{}", row(&format!("{} | {samples}", kind.name()), &found));
            all.extend(found);
        }
    }
    println!("{}", row("**all** | all", &all));
}
