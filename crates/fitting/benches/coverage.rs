//! How near the fit comes, and how often its intervals hold, on simulated benches.
//!
//! `cargo bench -p evenhand-fitting --bench coverage` prints the tables of the crate's documentation.
//! The shapes are not the model's own: mixtures of powers, logarithms, logistic and saturating
//! exponential rises, and tables of straight lines such as firmware holds.

mod study {
    pub(crate) mod bench;
    pub(crate) mod figures;
    pub(crate) mod quantile;
    pub(crate) mod truth;
    pub(crate) mod two_passes;
}

use evenhand_fitting::{Settings, fit};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use study::bench::Plan;
use study::figures::Figures;
use study::truth::Truth;
use study::two_passes::two_passes;

const SEED: u64 = 20_260_309;
const BENCHES: usize = 300;
const RESAMPLES: usize = 400;
/// Samples in each pass where an undeclared change of seating is looked for.
const PASS: usize = 14;

#[expect(clippy::print_stdout, reason = "a study is there to print its tables")]
fn main() {
    // cargo's own flags, such as --bench, mean nothing here.
    println!("{BENCHES} simulated benches a row, {RESAMPLES} resamples, seed {SEED}");
    println!("{}", Figures::HEADING);
    for plan in Plan::all() {
        let (ours, isotonic) = studied(plan);
        println!("{}", ours.row(&format!("{plan}")));
        println!("{}", isotonic.row("the same, isotonic and PCHIP"));
    }
    println!();
    println!("| undeclared change of gain | found | placed within two samples |");
    println!("| --- | --- | --- |");
    for percent in [0.0, 1.0, 2.0, 3.0, 5.0] {
        let (found, placed) = changes(percent);
        println!("| {percent} % | {found:.1} % | {placed:.1} % |");
    }
}

fn studied(plan: Plan) -> (Figures, Figures) {
    let mut random = ChaCha8Rng::seed_from_u64(SEED);
    let mut ours = Figures::default();
    let mut isotonic = Figures::default();
    for number in 0..BENCHES {
        let truth = Truth::draw(&mut random);
        let measurement = plan.measure(&truth, &mut random);
        let settings = Settings {
            resamples: RESAMPLES,
            seed: number as u64,
            ..Settings::default()
        };
        match fit(&measurement, &settings) {
            Ok(found) => ours.add(&truth, &found),
            Err(_) => ours.failed += 1,
        }
        isotonic.add_plain(&truth, &study::figures::isotonic_response(&measurement));
    }
    (ours, isotonic)
}

/// How often a change of gain between two passes is found, and how often in its place, in percent.
fn changes(percent: f64) -> (f64, f64) {
    let mut random = ChaCha8Rng::seed_from_u64(SEED);
    let (mut found, mut placed) = (0, 0);
    for number in 0..BENCHES {
        let truth = Truth::draw(&mut random);
        let sign = if number % 2 == 0 { 1.0 } else { -1.0 };
        let gain = 1.0 + 0.01 * sign * percent;
        let measurement = two_passes(&truth, PASS, gain, &mut random);
        let settings = Settings {
            resamples: Settings::LEAST_RESAMPLES,
            ..Settings::default()
        };
        if let Ok(fit) = fit(&measurement, &settings)
            && let Some(change) = fit.seating_change
        {
            found += 1;
            // Zeros at the beginning of a pass say nothing of a gain.
            let zeros = measurement.samples[PASS..]
                .iter()
                .take_while(|s| s.reading <= 0.0);
            let first = PASS + 2;
            let last = first + zeros.count() + 2;
            placed += usize::from((first - 2..=last).contains(&change.place.line));
        }
    }
    let part = |count: usize| 100.0 * count as f64 / BENCHES as f64;
    (part(found), part(placed))
}
