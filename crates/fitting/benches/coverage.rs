//! How near the fit comes, and how often its intervals hold, on simulated benches.
//!
//! `cargo bench -p evenhand-fitting --bench coverage` prints the table of the crate's documentation.
//! The shapes are not the model's own: mixtures of powers, logarithms, logistic and saturating
//! exponential rises, and tables of straight lines such as firmware holds.

mod study {
    pub(crate) mod bench;
    pub(crate) mod figures;
    pub(crate) mod truth;
}

use evenhand_curve::Curve;
use evenhand_fitting::{Saturation, Settings, fit};
use evenhand_measurement::Force;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use study::bench::Plan;
use study::figures::Figures;
use study::truth::Truth;

const SEED: u64 = 20_260_309;
const BENCHES: usize = 400;
const RESAMPLES: usize = 400;

#[expect(clippy::print_stdout, reason = "a study is there to print its table")]
fn main() {
    // cargo's own flags, such as --bench, mean nothing here.
    println!("{BENCHES} simulated benches a row, {RESAMPLES} resamples, seed {SEED}");
    println!("{}", Figures::HEADING);
    for plan in Plan::all() {
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
                Ok(found) => {
                    let saturation = match found.saturation {
                        Saturation::Reached(interval) => Some(interval),
                        Saturation::NotReached { .. } => None,
                    };
                    ours.add(&truth, Some(found.onset), saturation, |force| {
                        found.response.reading(Force::from_gf(force))
                    });
                }
                Err(_) => ours.failed += 1,
            }
            let plain = study::figures::isotonic_response(&measurement);
            isotonic.add_plain(&truth, &plain, |force| plain.curve.value(force));
        }
        println!("{}", ours.row(&format!("{plan}")));
        println!("{}", isotonic.row("  isotonic + PCHIP"));
    }
}
