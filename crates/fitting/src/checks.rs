//! What cannot be fitted.

use evenhand_measurement::{Force, Measurement};

use crate::error::FitError;
use crate::isotonic::isotonic;
use crate::observation::{Censoring, Observation};

/// The least number of samples that are fitted at all.
const LEAST_SAMPLES: usize = 3;
/// Forces that differ by less than this part of the largest are one force: no bench places them so finely.
const SAME_FORCE: f64 = 1e-6;
/// Readings that differ by less than this are one reading.
const SAME_READING: f64 = 1e-6;
/// Readings that rise less than this part of their spread once made non-decreasing are falling.
const LEAST_RISE: f64 = 0.3;

/// So many seatings may have few samples each; beyond them each needs …
const FEW_SEATINGS: usize = 4;
/// … so many on average, or the column numbers something else.
const SAMPLES_A_SEATING: usize = 10;

/// Refuses seatings that hold hardly any samples, as where a column that counts samples is taken for one of seatings.
pub(crate) fn check_seatings(measurement: &Measurement) -> Result<(), FitError> {
    let (seatings, samples) = (measurement.used_seatings().len(), measurement.samples.len());
    if seatings > FEW_SEATINGS && seatings * SAMPLES_A_SEATING > samples {
        return Err(FitError::TooManySeatings { seatings, samples });
    }
    Ok(())
}

/// Refuses observations without a rise, or too few for one.
pub(crate) fn check(observations: &[Observation]) -> Result<(), FitError> {
    let found = observations.len();
    if found < LEAST_SAMPLES {
        return Err(FitError::TooFewSamples {
            found,
            least: LEAST_SAMPLES,
        });
    }
    let mut sorted: Vec<&Observation> = observations.iter().collect();
    sorted.sort_by(|a, b| {
        a.force
            .total_cmp(&b.force)
            .then(a.reading.total_cmp(&b.reading))
    });
    let least = Force::from_gf(sorted[0].force);
    let largest = Force::from_gf(sorted[found - 1].force);
    if largest.gf() - least.gf() <= SAME_FORCE * largest.gf() {
        return Err(FitError::OneForce {
            force: least,
            samples: found,
        });
    }
    if sorted.iter().all(|o| o.censoring == Censoring::NotAbove) {
        return Err(FitError::NeverResponds { largest });
    }
    if sorted.iter().all(|o| o.censoring == Censoring::NotBelow) {
        return Err(FitError::AlwaysFull { least });
    }
    let readings: Vec<f64> = sorted.iter().map(|o| o.reading).collect();
    let (low, high) = readings
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), &y| {
            (low.min(y), high.max(y))
        });
    if high - low < SAME_READING {
        return Err(FitError::NoRise {
            percent: 100.0 * high,
        });
    }
    let levels = isotonic(&readings, &vec![1.0; found]);
    if levels[found - 1] - levels[0] < LEAST_RISE * (high - low) {
        return Err(FitError::Falls);
    }
    Ok(())
}
