//! What the solver sees of a measurement.

use evenhand_measurement::{Direction, Measurement};

use crate::noise::READING;

/// Whether a reading says where the latent response is or only on which side of a limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Censoring {
    /// The reading is 0: the latent response is not above the least step.
    NotAbove,
    /// The reading lies between: the latent response is there.
    Inside,
    /// The reading is full scale: the latent response is not below the last step.
    NotBelow,
}

/// How far on the other side of a limit a censored reading places the latent response. A reading that
/// scatters by σ about u is clipped to 0 with probability Φ(−u/σ); from one to two σ on, the square of
/// (u + 0.8 σ)/σ, halved, is within a tenth of −ln Φ(−u/σ), while the square of u/σ says half as much.
pub(crate) const CLIPPED: f64 = 0.8 * READING;

/// One sample, as numbers.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Observation {
    /// Force, gf.
    pub(crate) force: f64,
    /// Reading, 0..1; for a censored one the limit it speaks of.
    pub(crate) reading: f64,
    /// Position of its seating.
    pub(crate) seating: usize,
    /// Whether the force was being lowered.
    pub(crate) unloading: bool,
    /// Which side it bounds.
    pub(crate) censoring: Censoring,
}

/// The samples of a measurement in file order, and the step its readings are rounded to.
pub(crate) fn observations(measurement: &Measurement) -> (Vec<Observation>, f64) {
    let step = measurement.stylus.levels.map_or_else(
        || written_step(measurement),
        |levels| 1.0 / f64::from(levels.max(2) - 1),
    );
    let both = measurement
        .samples
        .iter()
        .any(|s| s.direction != Some(Direction::Unloading));
    let observations = measurement
        .samples
        .iter()
        .map(|sample| {
            // Rounding turns all that is within half a step of a limit into the limit.
            let (reading, censoring) = if sample.reading <= 0.25 * step {
                (0.5 * step - CLIPPED, Censoring::NotAbove)
            } else if sample.reading >= 1.0 - 0.25 * step {
                (1.0 - 0.5 * step + CLIPPED, Censoring::NotBelow)
            } else {
                (sample.reading, Censoring::Inside)
            };
            Observation {
                force: sample.force.gf(),
                reading,
                seating: sample.seating,
                // Where nothing was loaded there is nothing to tell unloading from.
                unloading: both && sample.direction == Some(Direction::Unloading),
                censoring,
            }
        })
        .collect();
    (observations, step)
}

/// The coarsest decimal step (a fraction of full scale) of which all readings are multiples, from
/// 0.01 down to one part in a million.
fn written_step(measurement: &Measurement) -> f64 {
    let mut step = 0.01;
    while step > 1.5e-6 {
        let whole = |reading: f64| {
            let steps = reading / step;
            (steps - steps.round()).abs() < 1e-6
        };
        if measurement
            .samples
            .iter()
            .all(|sample| whole(sample.reading))
        {
            return step;
        }
        step /= 10.0;
    }
    step
}
