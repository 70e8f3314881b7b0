//! Which units a map can make feel like another stylus, and how near.

use evenhand_curve::Polyline;
use evenhand_inversion::{PointShape, Target, TargetShape, achieved, ideal_map};
use evenhand_measurement::Force;
use evenhand_receiver::{Profile as Receiver, compile};
use evenhand_text::{Remedy, Setting, gf};
use rayon::prelude::*;
use thiserror::Error;

use crate::profile::{Profile, READING_GRID};
use crate::unit::Unit;

/// Why units cannot be matched to a response.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum MatchError {
    /// A target response without an end.
    #[error("its saturation was not reached, so its climb has no end")]
    NoSaturation,
    /// A target response without a rise.
    #[error("it rises from {} to {} in one step", gf(*onset_gf), gf(*full_gf))]
    OneStep {
        /// Its onset force, gf.
        onset_gf: f64,
        /// Its saturation force, gf.
        full_gf: f64,
    },
    /// A target response that makes no target.
    #[error("{reason}")]
    Target {
        /// Why.
        reason: String,
    },
    /// A unit that no map can be made for.
    #[error("{unit}: {reason}")]
    Unit {
        /// Its name.
        unit: String,
        /// Why.
        reason: String,
    },
}

impl MatchError {
    /// What to do about it.
    #[must_use]
    pub fn remedy(&self) -> Remedy {
        match self {
            Self::Unit { .. } => Remedy::from("choose another receiver").or_set(Setting::Exclude),
            _ => "choose a model that reaches full scale on the bench".into(),
        }
    }
}

/// How near a map brings a unit to the target response.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct UnitMatch {
    /// The unit, by its place among those given.
    pub unit: usize,
    /// Worst error of the output between the target onset and saturation, part of full scale.
    pub max_error: f64,
    /// Root mean square of that error.
    pub rms_error: f64,
    /// What of the worst error no map can take away: the unit responds later, or is full earlier, than the
    /// the target response.
    pub uncorrectable_error: f64,
    /// Worst error without a map.
    pub without_map: f64,
}

/// Maps every unit of `units` to the response `target` within what the receiver takes, the nearest first;
/// units whose curve is not known to its end come last, without their unknown part.
///
/// # Errors
/// A target response without saturation, and rules that no map keeps.
pub fn unit_matches(
    units: &[&Unit],
    target: &Profile,
    receiver: &Receiver,
) -> Result<Vec<UnitMatch>, MatchError> {
    let onset = target.forces()[0];
    let full = target.forces()[READING_GRID - 1];
    if !full.is_finite() {
        return Err(MatchError::NoSaturation);
    }
    let response = target.response().ok_or(MatchError::OneStep {
        onset_gf: onset,
        full_gf: full,
    })?;
    let target = PointShape::of_response(response.curve(), onset, full)
        .map(TargetShape::Drawn)
        .and_then(|shape| Target::new(Force::from_gf(onset), Force::from_gf(full), shape))
        .map_err(|error| MatchError::Target {
            reason: error.to_string(),
        })?;
    let mut found: Vec<UnitMatch> = (0..units.len())
        .into_par_iter()
        .map(|unit| unit_match(unit, units[unit], &target, receiver))
        .collect::<Result<_, _>>()?;
    found.sort_by(|a, b| {
        a.max_error
            .total_cmp(&b.max_error)
            .then(a.unit.cmp(&b.unit))
    });
    Ok(found)
}

fn unit_match(
    place: usize,
    unit: &Unit,
    target: &Target,
    receiver: &Receiver,
) -> Result<UnitMatch, MatchError> {
    let cannot = |reason: &dyn std::fmt::Display| MatchError::Unit {
        unit: unit.name.clone(),
        reason: reason.to_string(),
    };
    let response = unit
        .profile
        .response()
        .ok_or_else(|| cannot(&"its response has no rise"))?;
    let curve = response.curve();
    let ideal = ideal_map(curve, target).map_err(|error| cannot(&error))?;
    let compiled = compile(receiver, &ideal).map_err(|error| cannot(&error))?;
    let with = achieved(curve, &compiled.curve, target);
    let without = achieved(curve, &Polyline::identity(), target);
    let late = target.output(response.onset());
    let early = response
        .saturation()
        .map_or(0.0, |saturation| 1.0 - target.output(saturation));
    // Beyond its last force a unit that did not saturate holds the output of its last reading.
    let uncorrectable_error = late.max(early).min(with.max_error);
    Ok(UnitMatch {
        unit: place,
        max_error: with.max_error,
        rms_error: with.rms_error,
        uncorrectable_error,
        without_map: without.max_error,
    })
}
