//! What the solver sees of a measurement.

use std::collections::BTreeMap;

use evenhand_measurement::{Direction, Measurement};

use crate::noise::{Noise, READING};

/// Whether a reading says where the latent response is or only on which side of a limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Censoring {
    /// The reading is 0: the latent response is not above the least step.
    NotAbove,
    /// The reading lies between: the latent response is there.
    Inside,
    /// The reading is full scale: the latent response is not below the last step.
    NotBelow,
    /// The reading lies so near to 0 that on this bench, which scatters at rest, it may be the limit.
    NearZero,
    /// The reading lies so near to full scale that on this bench, which scatters there, it may be the
    /// limit.
    NearFull,
}

impl Censoring {
    /// Whether the reading lies between the limits, near to one or not.
    pub(crate) const fn is_between(self) -> bool {
        matches!(self, Self::Inside | Self::NearZero | Self::NearFull)
    }
}

/// Readings within this many times the usual scatter of a limit may be the limit.
const NEAR: f64 = 4.0;
/// Forces that differ by more than this many times their scatter differ clearly.
const CLEARLY: f64 = 3.0;

/// One sample, as numbers.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Observation {
    /// Force, gf.
    pub(crate) force: f64,
    /// Reading, 0..1; for a censored one the limit it speaks of.
    pub(crate) reading: f64,
    /// Position of its seating among those in use.
    pub(crate) seating: usize,
    /// Whether the force was being lowered.
    pub(crate) unloading: bool,
    /// Which side it bounds.
    pub(crate) censoring: Censoring,
    /// How many samples it stands for.
    pub(crate) count: f64,
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
    let used = measurement.used_seatings();
    let mut observations: Vec<Observation> = measurement
        .samples
        .iter()
        .map(|sample| {
            // Rounding turns all that is within half a step of a limit into the limit.
            let (reading, censoring) = if sample.reading <= 0.25 * step {
                (0.5 * step, Censoring::NotAbove)
            } else if sample.reading >= 1.0 - 0.25 * step {
                (1.0 - 0.5 * step, Censoring::NotBelow)
            } else {
                (sample.reading, Censoring::Inside)
            };
            Observation {
                force: sample.force.gf(),
                reading,
                seating: used.partition_point(|position| *position < sample.seating),
                // Where nothing was loaded there is nothing to tell unloading from.
                unloading: both && sample.direction == Some(Direction::Unloading),
                censoring,
                count: 1.0,
            }
        })
        .collect();
    let near = NEAR * READING + step;
    // What scatters at one limit does so at the other, where there may be too few samples to see it.
    let noise = Noise::of(measurement.bench.budget.as_ref(), step);
    if scatters_at_zero(&observations, near, &noise)
        || scatters_at_full(&observations, near, &noise)
    {
        for observation in &mut observations {
            if observation.censoring != Censoring::Inside {
                continue;
            }
            if observation.reading < near {
                observation.censoring = Censoring::NearZero;
            } else if observation.reading > 1.0 - near {
                observation.censoring = Censoring::NearFull;
            }
        }
    }
    (observations, step)
}

/// Whether a reading near 0 was taken at a clearly smaller force than a reading of 0: then readings
/// scatter where the stylus does not respond.
fn scatters_at_zero(observations: &[Observation], near: f64, noise: &Noise) -> bool {
    runs(observations).iter().any(|run| {
        let zeros = run.iter().filter(|o| o.censoring == Censoring::NotAbove);
        let last = zeros.map(|o| o.force).fold(0.0, f64::max);
        let clearly = last - CLEARLY * noise.placed(last);
        let small = |o: &&&Observation| o.censoring == Censoring::Inside && o.reading < near;
        run.iter().filter(small).any(|o| o.force < clearly)
    })
}

/// Whether a reading near full scale was taken at a clearly larger force than one of full scale: then
/// readings scatter where the stylus is full.
fn scatters_at_full(observations: &[Observation], near: f64, noise: &Noise) -> bool {
    runs(observations).iter().any(|run| {
        let full = run.iter().filter(|o| o.censoring == Censoring::NotBelow);
        let first = full.map(|o| o.force).fold(f64::INFINITY, f64::min);
        let clearly = first + CLEARLY * noise.placed(first);
        let large = |o: &&&Observation| o.censoring == Censoring::Inside && o.reading > 1.0 - near;
        run.iter().filter(large).any(|o| o.force > clearly)
    })
}

/// The observations of each seating and direction.
fn runs(observations: &[Observation]) -> Vec<Vec<&Observation>> {
    let mut runs: BTreeMap<(usize, bool), Vec<&Observation>> = BTreeMap::new();
    for observation in observations {
        let run = runs.entry((observation.seating, observation.unloading));
        run.or_default().push(observation);
    }
    runs.into_values().collect()
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

#[cfg(test)]
mod tests {
    use evenhand_measurement::{ReadOptions, parse_measurement};

    use super::*;

    /// How the samples of a table are seen, on a bench with these figures of its forces' scatter.
    fn seen(scatter_gf: Option<f64>, rows: &[(f64, f64)]) -> Vec<Censoring> {
        let mut text = scatter_gf.map_or_else(String::new, |scatter| {
            format!("# force_gain_u = 0\n# force_offset_u_gf = 0\n# force_scatter_u_gf = {scatter}\n# force_scatter_u = 0\n")
        });
        text.push_str("force_gf,reported_percent\n");
        for (force, percent) in rows {
            text.push_str(&format!("{force},{percent}\n"));
        }
        let options = ReadOptions::default();
        let (measurement, _) = parse_measurement("bench.csv", text.as_bytes(), &options)
            .expect("a measurement of these rows");
        let (observations, _) = observations(&measurement);
        observations.iter().map(|o| o.censoring).collect()
    }

    #[test]
    fn what_differs_clearly_depends_on_the_bench() {
        let rest = |inner: f64| {
            [
                (10.0, 0.5),
                (inner, 0.0),
                (40.0, 30.0),
                (90.0, 90.0),
                (120.0, 100.0),
            ]
        };
        // 4 gf apart: clear where forces scatter by 0.4 gf, not where they scatter by 3 gf.
        assert_eq!(seen(None, &rest(14.0))[0], Censoring::NearZero);
        assert_eq!(seen(Some(3.0), &rest(14.0))[0], Censoring::Inside);
        // 1 gf apart: the other way round for a fine bench.
        assert_eq!(seen(None, &rest(11.0))[0], Censoring::Inside);
        assert_eq!(seen(Some(0.1), &rest(11.0))[0], Censoring::NearZero);
        // The same at full scale.
        let full = |inner: f64| {
            [
                (2.0, 0.0),
                (40.0, 30.0),
                (90.0, 90.0),
                (inner, 100.0),
                (130.0, 99.5),
            ]
        };
        assert_eq!(seen(None, &full(126.0))[4], Censoring::NearFull);
        assert_eq!(seen(Some(3.0), &full(126.0))[4], Censoring::Inside);
    }
}
