//! What a serial line tells while weights hang: each reading creeps to its place and lies still there.

use std::fmt::Write as _;

use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::StandardNormal;

use crate::scene::DUNLIN;

const SEED: u64 = 20_261_119;
/// Forces in gf, in the order in which they hung.
const PLACED: [f64; 12] = [
    5.0, 20.0, 60.0, 100.0, 160.0, 180.0, 10.0, 140.0, 165.0, 40.0, 120.0, 80.0,
];
/// Readings of a placement.
const READINGS: u32 = 70;

/// The placements, a blank line after each.
pub(crate) fn file() -> (String, String) {
    let mut random = ChaCha8Rng::seed_from_u64(SEED);
    let mut text = String::new();
    for force_gf in PLACED {
        let rest = DUNLIN.measured(force_gf, 1.004, &mut random);
        for step in 0..READINGS {
            let creep = 0.04 * (-f64::from(step) / 5.0).exp();
            let jitter: f64 = if rest > 0.0 && rest < 1.0 {
                2e-4 * random.sample::<f64, _>(StandardNormal)
            } else {
                0.0
            };
            let percent = 100.0 * (rest - creep + jitter).clamp(0.0, 1.0);
            let _ = writeln!(text, "{percent:.2}");
        }
        text.push('\n');
    }
    ("readings.txt".to_owned(), text)
}
