//! Within which forces the responses of a collection lie.

use crate::profile::{Profile, READING_GRID};
use crate::quantile::quantile_of_sorted;
use crate::tolerance::part_within_extremes;

/// Percentiles are given once this many units lie beyond them on average.
const BEYOND: f64 = 2.0;
/// The outer percentiles of an envelope.
const OUTER: f64 = 0.1;
/// From so many units on there is a median.
const LEAST_FOR_MEDIAN: usize = 5;

/// Pointwise limits of responses: a force, gf, for each level of [`Profile`]; infinite where a unit did not
/// get there. Extremes are those of the units that were measured, not of all that were made.
#[derive(Clone, Debug, PartialEq)]
pub struct Envelope {
    /// How many units it holds.
    pub units: usize,
    /// Least force at each level.
    pub least: Vec<f64>,
    /// Greatest force at each level.
    pub greatest: Vec<f64>,
    /// 10 and 90 percent of the units lie below, where there are enough (20).
    pub outer: Option<(Vec<f64>, Vec<f64>)>,
    /// Half of the units lie below, where there are enough (5).
    pub median: Option<Vec<f64>>,
    /// Part of all such units, at any one level, that the extremes hold at the confidence, whatever the
    /// distribution.
    pub holds: f64,
}

/// Envelope of profiles; `None` of none.
#[must_use]
pub fn envelope(profiles: &[&Profile], confidence: f64) -> Option<Envelope> {
    let units = profiles.len();
    if units == 0 {
        return None;
    }
    let sorted: Vec<Vec<f64>> = (0..READING_GRID)
        .map(|level| {
            let mut forces: Vec<f64> = profiles.iter().map(|p| p.forces()[level]).collect();
            forces.sort_by(f64::total_cmp);
            forces
        })
        .collect();
    let at = |part: f64| -> Vec<f64> {
        sorted
            .iter()
            .map(|forces| quantile_of_sorted(forces, part))
            .collect()
    };
    Some(Envelope {
        units,
        least: at(0.0),
        greatest: at(1.0),
        outer: (units as f64 * OUTER >= BEYOND).then(|| (at(OUTER), at(1.0 - OUTER))),
        median: (units >= LEAST_FOR_MEDIAN).then(|| at(0.5)),
        holds: part_within_extremes(u32::try_from(units).unwrap_or(u32::MAX), confidence),
    })
}
