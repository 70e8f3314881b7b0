//! What few samples bracket whatever the shape between them.

use evenhand_measurement::Force;

use crate::interval::ForceInterval;
use crate::observation::{Censoring, Observation};

/// What the samples bracket whatever the shape between them.
#[derive(Clone)]
pub(crate) struct Brackets {
    last_zero: f64,
    first_response: f64,
    last_below_full: f64,
    first_full: f64,
    /// Force and reading of every sample that surely lies on one side of every other reading.
    sure: Vec<(f64, f64)>,
}

impl Brackets {
    pub(crate) fn of(observations: &[Observation]) -> Self {
        let forces = |keep: fn(Censoring) -> bool| {
            observations
                .iter()
                .filter(move |o| keep(o.censoring))
                .map(|o| o.force)
        };
        let sure = |o: &Observation| match o.censoring {
            Censoring::NotAbove => Some((o.force, 0.0)),
            Censoring::Inside => Some((o.force, o.reading)),
            Censoring::NotBelow => Some((o.force, 1.0)),
            Censoring::NearZero | Censoring::NearFull => None,
        };
        Self {
            last_zero: forces(|c| c == Censoring::NotAbove).fold(0.0, f64::max),
            first_response: forces(|c| !matches!(c, Censoring::NotAbove | Censoring::NearZero))
                .fold(f64::INFINITY, f64::min),
            last_below_full: forces(|c| !matches!(c, Censoring::NotBelow | Censoring::NearFull))
                .fold(0.0, f64::max),
            first_full: forces(|c| c == Censoring::NotBelow).fold(f64::INFINITY, f64::min),
            sure: observations.iter().filter_map(sure).collect(),
        }
    }

    pub(crate) fn widen_onset(&self, found: ForceInterval) -> ForceInterval {
        widen(found, self.last_zero, self.first_response)
    }

    pub(crate) fn widen_saturation(&self, found: ForceInterval) -> ForceInterval {
        widen(found, self.last_below_full, self.first_full)
    }

    pub(crate) fn widen_force_at(&self, reading: f64, found: ForceInterval) -> ForceInterval {
        let below = self.sure.iter().filter(|(_, y)| *y < reading);
        let last_below = below.map(|(force, _)| *force).fold(0.0, f64::max);
        let above = self.sure.iter().filter(|(_, y)| *y >= reading);
        let first_above = above.map(|(force, _)| *force).reduce(f64::min);
        // Where no sample surely lies above, the samples give no upper end.
        widen(found, last_below, first_above.unwrap_or(last_below))
    }

    /// Least and greatest reading at a force, gf.
    pub(crate) fn readings(&self, force: f64) -> (f64, f64) {
        let below = self.sure.iter().filter(|(at, _)| *at <= force);
        let above = self.sure.iter().filter(|(at, _)| *at >= force);
        let low = below.map(|(_, y)| *y).fold(0.0, f64::max);
        (low, above.map(|(_, y)| *y).fold(1.0, f64::min).max(low))
    }
}

pub(crate) fn widen(found: ForceInterval, a: f64, b: f64) -> ForceInterval {
    ForceInterval {
        estimate: found.estimate,
        low: Force::from_gf(found.low.gf().min(a.min(b))),
        high: Force::from_gf(found.high.gf().max(a.max(b))),
    }
}
