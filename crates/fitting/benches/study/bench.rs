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

/// How many samples are taken, how readings are rounded, how often there is a second seating, and
/// whether one reading is a slip.
#[derive(Clone, Copy)]
pub(crate) struct Plan {
    least: usize,
    most: usize,
    /// Step of the readings, fraction of full scale.
    step: f64,
    second_seating: f64,
    slip: bool,
    /// Whether readings scatter at rest and at full scale as they do between.
    scatter_at_limits: bool,
}

impl Plan {
    pub(crate) fn all() -> Vec<Self> {
        let usual = Self {
            least: 14,
            most: 60,
            step: 1e-4,
            second_seating: 0.4,
            slip: false,
            scatter_at_limits: false,
        };
        let mut plans = vec![usual];
        for second_seating in [0.0, 1.0] {
            for step in [1e-4, 1e-3, 1e-2] {
                plans.push(Self {
                    least: 8,
                    step,
                    second_seating,
                    ..usual
                });
            }
        }
        plans.push(Self {
            scatter_at_limits: true,
            ..usual
        });
        plans.push(Self {
            slip: true,
            ..usual
        });
        for (least, most) in [(8, 13), (5, 7), (3, 4)] {
            plans.push(Self {
                least,
                most,
                second_seating: 0.0,
                ..usual
            });
        }
        plans
    }

    fn reading(&self) -> Reading {
        Reading {
            step: self.step,
            scatters_at_limits: self.scatter_at_limits,
        }
    }

    /// Measures a stylus: an even or a narrowing ladder from near zero to beyond saturation, the
    /// samples of two seatings by turns.
    pub(crate) fn measure(&self, truth: &Truth, random: &mut ChaCha8Rng) -> Measurement {
        let count = random.random_range(self.least..=self.most);
        let two = random.random_bool(self.second_seating);
        let gains = [1.0, 1.0 + normal(SEATING_GAIN, random)];
        let top = truth.saturation * (1.175 + normal(0.05, random).clamp(-0.1, 0.1));
        let power = if count % 2 == 0 { 1.0 } else { 1.6 };
        let bench = Bench::new(random);
        let mut samples: Vec<Sample> = (0..count)
            .map(|index| {
                let force = top * ((index as f64 + 0.5) / count as f64).powf(power);
                let seating = if two { index % 2 } else { 0 };
                let reading = bench.read(truth, force * gains[seating], self.reading(), random);
                sample(index, force, reading, seating)
            })
            .collect();
        if self.slip {
            slip(&mut samples, random);
        }
        measurement(samples, if two { 2 } else { 1 })
    }
}

/// How readings are rounded, and whether they scatter at the limits too.
#[derive(Clone, Copy)]
pub(crate) struct Reading {
    pub(crate) step: f64,
    pub(crate) scatters_at_limits: bool,
}

/// One bench with its own gain.
pub(crate) struct Bench {
    gain: f64,
}

impl Bench {
    pub(crate) fn new(random: &mut ChaCha8Rng) -> Self {
        Self {
            gain: 1.0 + normal(BENCH_GAIN, random),
        }
    }

    /// What the tablet reports at a force, the gain of the seating included.
    pub(crate) fn read(
        &self,
        truth: &Truth,
        force: f64,
        how: Reading,
        random: &mut ChaCha8Rng,
    ) -> f64 {
        let placed =
            force * self.gain * (1.0 + normal(FORCE_PART, random)) + normal(FORCE_GF, random);
        let latent = truth.reading(placed);
        // Most styluses do not scatter when they do not touch or stand at their stop; some do.
        let at_limit = latent <= 0.0 || latent >= 1.0;
        let reading = if at_limit && !how.scatters_at_limits {
            latent
        } else {
            (latent + normal(READING, random)).clamp(0.0, 1.0)
        };
        ((reading / how.step).round() * how.step).clamp(0.0, 1.0)
    }
}

fn normal(spread: f64, random: &mut ChaCha8Rng) -> f64 {
    spread * random.sample::<f64, _>(StandardNormal)
}

pub(crate) fn sample(index: usize, force: f64, reading: f64, seating: usize) -> Sample {
    Sample {
        force: Force::from_gf(force),
        reading,
        seating,
        direction: None,
        line: index + 2,
    }
}

pub(crate) fn measurement(samples: Vec<Sample>, seatings: i64) -> Measurement {
    Measurement {
        seatings: (1..=seatings)
            .map(|index| Seating {
                index,
                direction: None,
            })
            .collect(),
        samples,
        ..Measurement::default()
    }
}

/// Moves one reading between the limits by 5 to 30 % of full scale.
fn slip(samples: &mut [Sample], random: &mut ChaCha8Rng) {
    let inside: Vec<usize> = (0..samples.len())
        .filter(|i| samples[*i].reading > 0.0 && samples[*i].reading < 1.0)
        .collect();
    if inside.is_empty() {
        return;
    }
    let reading = &mut samples[inside[random.random_range(0..inside.len())]].reading;
    let by = random.random_range(0.05..0.3);
    let moved = if random.random_bool(0.5) { by } else { -by };
    *reading = (*reading + moved).clamp(0.01, 0.99);
}

impl fmt::Display for Plan {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{} to {} samples, step {} %, {}{}",
            self.least,
            self.most,
            100.0 * self.step,
            if self.second_seating == 0.0 {
                "one seating"
            } else if self.second_seating == 1.0 {
                "two seatings"
            } else {
                "two seatings in 4 of 10"
            },
            match (self.slip, self.scatter_at_limits) {
                (true, _) => ", one slip",
                (_, true) => ", scatter at the limits too",
                _ => "",
            },
        )
    }
}
