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
/// before it (or, at the beginning, after it), of the same seating where that has one. Samples without a
/// direction count as loading.
///
/// Readings are compared at equal forces; where two runs share none, the loading run is joined by
/// straight lines. None without both directions.
#[must_use]
pub fn hysteresis(measurement: &Measurement) -> Option<Hysteresis> {
    let runs: Vec<Run> = measurement
        .samples
        .chunk_by(|a, b| a.seating == b.seating && is_unloading(a) == is_unloading(b))
        .map(Run::new)
        .collect();
    let mut largest: Option<Hysteresis> = None;
    for (index, lowered) in runs.iter().enumerate().filter(|(_, run)| run.unloading) {
        let nearest = |wanted: &dyn Fn(&Run) -> bool| {
            let before = runs[..index].iter().rfind(|run| wanted(run));
            before.or_else(|| runs[index..].iter().find(|run| wanted(run)))
        };
        let own = |run: &Run| !run.unloading && run.seating == lowered.seating;
        let Some(raised) = nearest(&own).or_else(|| nearest(&|run| !run.unloading)) else {
            continue;
        };
        let shares = lowered.means.iter().any(|m| raised.at(m.force).is_some());
        for mean in &lowered.means {
            let raised = if shares {
                raised.at(mean.force)
            } else {
                raised.between(mean.force)
            };
            let Some(raised) = raised else { continue };
            let difference = mean.reading - raised;
            if largest.is_none_or(|held| difference.abs() > held.largest.abs()) {
                largest = Some(Hysteresis {
                    largest: difference,
                    force: mean.force,
                    line: mean.line,
                });
            }
        }
    }
    largest
}

/// Whether both directions occur, but never in one seating: then a gain of the seating and a lag of
/// unloading look alike.
pub(crate) fn directions_are_seatings(measurement: &Measurement) -> bool {
    let has = |unloading: bool, seating: Option<usize>| {
        measurement
            .samples
            .iter()
            .any(|s| is_unloading(s) == unloading && seating.is_none_or(|at| s.seating == at))
    };
    let both = |seating| has(true, seating) && has(false, seating);
    both(None)
        && !measurement
            .used_seatings()
            .into_iter()
            .any(|at| both(Some(at)))
}

fn is_unloading(sample: &Sample) -> bool {
    sample.direction == Some(Direction::Unloading)
}

/// Samples taken one after the other in one seating and direction, by force.
struct Run {
    seating: usize,
    unloading: bool,
    means: Vec<Mean>,
}

/// Mean reading at a force, with the line of the first sample there.
struct Mean {
    force: Force,
    reading: f64,
    line: usize,
}

impl Run {
    fn new(samples: &[Sample]) -> Self {
        let mut sorted: Vec<&Sample> = samples.iter().collect();
        sorted.sort_by(|a, b| a.force.gf().total_cmp(&b.force.gf()));
        let mean = |same: &[&Sample]| Mean {
            force: same[0].force,
            reading: same.iter().map(|s| s.reading).sum::<f64>() / same.len() as f64,
            line: same[0].line,
        };
        Self {
            seating: samples[0].seating,
            unloading: is_unloading(&samples[0]),
            means: sorted
                .chunk_by(|a, b| a.force == b.force)
                .map(mean)
                .collect(),
        }
    }

    fn at(&self, force: Force) -> Option<f64> {
        let order = |mean: &Mean| mean.force.gf().total_cmp(&force.gf());
        let found = self.means.binary_search_by(order).ok()?;
        Some(self.means[found].reading)
    }

    fn between(&self, force: Force) -> Option<f64> {
        let after = self.means.partition_point(|mean| mean.force < force);
        let (a, b) = (
            self.means.get(after.checked_sub(1)?)?,
            self.means.get(after)?,
        );
        let part = (force.gf() - a.force.gf()) / (b.force.gf() - a.force.gf());
        Some(a.reading + part * (b.reading - a.reading))
    }
}

/// The repeatability, where any force was repeated in one seating and direction with readings between the limits.
#[must_use]
pub fn repeatability(measurement: &Measurement) -> Option<Repeatability> {
    let mut samples: Vec<&Sample> = measurement.samples.iter().collect();
    let key = |s: &Sample| (s.seating, s.direction.map(Direction::as_str));
    // Readings at a limit repeat whatever the bench does.
    samples.retain(|s| s.reading > 0.0 && s.reading < 1.0);
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
    fn ten_thousand_samples_take_no_time() {
        use Direction::{Loading, Unloading};
        let up = (0..5000).map(|i| sample(i, i as f64, 1e-4 * i as f64, Loading));
        let down = (0..5000).map(|i| sample(i, i as f64 + 0.5, 1e-4 * i as f64 + 0.01, Unloading));
        let measurement = Measurement {
            samples: up.chain(down).collect(),
            ..Measurement::default()
        };
        let found = hysteresis(&measurement).unwrap();
        assert!((found.largest - 0.00995).abs() < 1e-9, "{}", found.largest);
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
