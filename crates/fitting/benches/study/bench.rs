//! Benches on which a simulated stylus is measured.

use std::fmt;

use evenhand_measurement::{Force, Measurement, Sample, Seating};
use rand::Rng;
use rand_chacha::ChaCha8Rng;
use rand_distr::StandardNormal;

use super::truth::Truth;

/// Errors of the bench: a gain of the whole bench, scatter of each force, scatter of each reading.
const BENCH_GAIN: f64 = 0.003;
const FORCE_PART: f64 = 0.002;
const FORCE_GF: f64 = 0.4;
const READING: f64 = 0.004;
/// Spread of a second seating's gain.
const SEATING_GAIN: f64 = 0.03;

/// How many samples are taken, how readings are rounded, and how often there is a second seating.
pub(crate) struct Plan {
    least: usize,
    most: usize,
    /// Step of the readings, fraction of full scale.
    step: f64,
    second_seating: f64,
}

impl Plan {
    pub(crate) fn all() -> Vec<Self> {
        let plan = |least, most, step, second_seating| Self {
            least,
            most,
            step,
            second_seating,
        };
        vec![
            plan(14, 60, 1e-4, 0.4),
            plan(14, 60, 1e-4, 0.0),
            plan(14, 60, 1e-4, 1.0),
            plan(14, 60, 1e-3, 0.4),
            plan(14, 60, 1e-2, 0.4),
            plan(8, 13, 1e-4, 0.0),
            plan(5, 7, 1e-4, 0.0),
        ]
    }

    /// Measures a stylus: an even or a narrowing ladder from near zero to beyond saturation.
    pub(crate) fn measure(&self, truth: &Truth, random: &mut ChaCha8Rng) -> Measurement {
        let count = random.random_range(self.least..=self.most);
        let two = random.random_bool(self.second_seating);
        let mut normal = |spread: f64| spread * random.sample::<f64, _>(StandardNormal);
        let bench = 1.0 + normal(BENCH_GAIN);
        let gains = [1.0, 1.0 + normal(SEATING_GAIN)];
        let top = truth.saturation * (1.175 + normal(0.05).clamp(-0.1, 0.1));
        let power = if count % 2 == 0 { 1.0 } else { 1.6 };
        let samples = (0..count).map(|index| {
            let force = top * ((index as f64 + 0.5) / count as f64).powf(power);
            let seating = if two { index % 2 } else { 0 };
            let placed =
                force * bench * gains[seating] * (1.0 + normal(FORCE_PART)) + normal(FORCE_GF);
            let latent = truth.reading(placed);
            // A stylus that does not touch or stands at its stop does not scatter.
            let reading = if latent <= 0.0 || latent >= 1.0 {
                latent
            } else {
                (latent + normal(READING)).clamp(0.0, 1.0)
            };
            Sample {
                force: Force::from_gf(force),
                reading: ((reading / self.step).round() * self.step).clamp(0.0, 1.0),
                seating,
                direction: None,
                line: index + 2,
            }
        });
        let samples = samples.collect();
        let seatings = if two { 1..=2 } else { 1..=1 };
        Measurement {
            stylus: Default::default(),
            bench: Default::default(),
            seatings: seatings
                .map(|index| Seating {
                    index,
                    direction: None,
                })
                .collect(),
            samples,
        }
    }
}

impl fmt::Display for Plan {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{}-{} samples, step {} %, second seating {} %",
            self.least,
            self.most,
            100.0 * self.step,
            100.0 * self.second_seating
        )
    }
}
