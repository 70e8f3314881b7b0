//! Hysteresis and repeatability, as load cells are described.
//!
//! Hysteresis is the difference between the readings at one force, once reached by lowering and once by
//! raising it (OIML R 60:2021, 3.7; load-cell makers' glossaries give the largest one). Repeatability is
//! the largest difference between readings at one force under the same conditions (the same glossaries).
//! Both are fractions of full scale.

use evenhand_measurement::{Direction, Force, Measurement, Sample};

/// The largest difference between lowering and raising the force.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hysteresis {
    /// Reading while unloading less reading while loading, where it is largest in size.
    pub largest: f64,
    /// The force at which that was.
    pub force: Force,
    /// Line of the sample taken while unloading.
    pub line: usize,
}

/// The largest spread of readings at one force, in one seating and direction.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Repeatability {
    /// Largest less smallest reading.
    pub largest_range: f64,
    /// The force at which that was.
    pub force: Force,
    /// The direction in which that was.
    pub direction: Option<Direction>,
}

/// The largest hysteresis, over every run of unloading samples and the run of loading samples nearest
/// before it (or, at the beginning, after it).
///
/// Readings are compared at equal forces; where a run shares none, the loading run is joined by
/// straight lines. None without both directions.
#[must_use]
pub fn hysteresis(measurement: &Measurement) -> Option<Hysteresis> {
    let runs = runs(&measurement.samples);
    let mut largest: Option<Hysteresis> = None;
    for (index, run) in runs.iter().enumerate() {
        if run[0].direction != Some(Direction::Unloading) {
            continue;
        }
        let loading = |run: &&&[Sample]| run[0].direction == Some(Direction::Loading);
        let pair = runs[..index].iter().rfind(loading);
        let Some(raised) = pair.or_else(|| runs[index..].iter().find(loading)) else {
            continue;
        };
        for (force, lowered, line) in means(run) {
            let shared = |sample: &Sample| run.iter().any(|s| s.force == sample.force);
            let raised = if raised.iter().any(shared) {
                at(raised, force)
            } else {
                between(raised, force)
            };
            let Some(raised) = raised else { continue };
            let difference = lowered - raised;
            if largest.is_none_or(|held| difference.abs() > held.largest.abs()) {
                largest = Some(Hysteresis {
                    largest: difference,
                    force,
                    line,
                });
            }
        }
    }
    largest
}

/// The repeatability, where any force was repeated in one seating and direction.
#[must_use]
pub fn repeatability(measurement: &Measurement) -> Option<Repeatability> {
    let mut samples: Vec<&Sample> = measurement.samples.iter().collect();
    let key = |s: &Sample| (s.seating, s.direction.map(Direction::as_str));
    samples.sort_by(|a, b| {
        let by_force = a.force.gf().total_cmp(&b.force.gf());
        key(a).cmp(&key(b)).then(by_force)
    });
    let mut largest: Option<Repeatability> = None;
    for same in samples.chunk_by(|a, b| key(a) == key(b) && a.force == b.force) {
        if same.len() < 2 {
            continue;
        }
        let readings = || same.iter().map(|s| s.reading);
        let range =
            readings().fold(f64::NEG_INFINITY, f64::max) - readings().fold(f64::INFINITY, f64::min);
        if largest.is_none_or(|held| range > held.largest_range) {
            largest = Some(Repeatability {
                largest_range: range,
                force: same[0].force,
                direction: same[0].direction,
            });
        }
    }
    largest
}

/// Samples in the order they were taken, cut where seating or direction changes.
fn runs(samples: &[Sample]) -> Vec<&[Sample]> {
    samples
        .chunk_by(|a, b| a.seating == b.seating && a.direction == b.direction)
        .collect()
}

/// Mean reading of a run at each of its forces, with the line of the first sample there.
fn means(run: &[Sample]) -> Vec<(Force, f64, usize)> {
    let mut sorted: Vec<&Sample> = run.iter().collect();
    sorted.sort_by(|a, b| a.force.gf().total_cmp(&b.force.gf()));
    sorted
        .chunk_by(|a, b| a.force == b.force)
        .map(|same| {
            let sum: f64 = same.iter().map(|s| s.reading).sum();
            (same[0].force, sum / same.len() as f64, same[0].line)
        })
        .collect()
}

fn at(run: &[Sample], force: Force) -> Option<f64> {
    means(run)
        .into_iter()
        .find(|mean| mean.0 == force)
        .map(|mean| mean.1)
}

fn between(run: &[Sample], force: Force) -> Option<f64> {
    let means = means(run);
    let pair = means
        .windows(2)
        .find(|pair| pair[0].0 <= force && force <= pair[1].0)?;
    let (from, to) = (pair[0].0.gf(), pair[1].0.gf());
    let part = (force.gf() - from) / (to - from);
    Some(pair[0].1 + part * (pair[1].1 - pair[0].1))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sample(line: usize, gf: f64, reading: f64, direction: Direction) -> Sample {
        Sample {
            force: Force::from_gf(gf),
            reading,
            seating: 0,
            direction: Some(direction),
            line,
        }
    }

    #[test]
    fn unequal_forces_are_compared_along_straight_lines() {
        use Direction::{Loading, Unloading};
        let measurement = Measurement {
            samples: vec![
                sample(1, 100.0, 0.2, Loading),
                sample(2, 200.0, 0.4, Loading),
                sample(3, 300.0, 0.7, Loading),
                sample(4, 250.0, 0.6, Unloading),
                sample(5, 150.0, 0.33, Unloading),
                // Outside the run before it: nothing to compare with.
                sample(6, 50.0, 0.3, Unloading),
            ],
            ..Measurement::default()
        };
        let found = hysteresis(&measurement).unwrap();
        assert!((found.largest - 0.05).abs() < 1e-12);
        assert_eq!(found.line, 4);
        assert_eq!(repeatability(&measurement), None);
    }

    #[test]
    fn one_direction_has_no_hysteresis() {
        let measurement = Measurement {
            samples: vec![
                sample(1, 100.0, 0.2, Direction::Unloading),
                sample(2, 50.0, 0.1, Direction::Unloading),
            ],
            ..Measurement::default()
        };
        assert_eq!(hysteresis(&measurement), None);
    }
}
