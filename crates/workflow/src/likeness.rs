//! Which units a map can make feel like another stylus, and how near.

use evenhand_curve::{Point, Polyline};
use evenhand_inversion::{Target, achieved, ideal_map};
use evenhand_measurement::Force;
use evenhand_population::{Profile, READING_GRID, Unit};
use evenhand_receiver::{Profile as Receiver, compile};
use rayon::prelude::*;

use crate::failure::Failure;
use crate::targets::climb;
use evenhand_text::{Remedy, Setting, gf};

/// How near a map brings a unit to the response that is wished for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Likeness {
    /// The unit, by its place among those given.
    pub unit: usize,
    /// Worst error of the output between the wished onset and saturation, part of full scale.
    pub max_error: f64,
    /// Root mean square of that error.
    pub rms_error: f64,
    /// What of the worst error no map can take away: the unit responds later, or is full earlier, than the
    /// response that is wished for.
    pub uncorrectable_error: f64,
    /// Worst error without a map.
    pub without_map: f64,
}

/// Maps every unit of `units` to the response `wished` within what the receiver takes, the nearest first;
/// units whose curve is not known to its end come last, without their unknown part.
///
/// # Errors
/// A wished response without saturation, and rules that no map keeps.
pub fn likenesses(
    units: &[&Unit],
    wished: &Profile,
    receiver: &Receiver,
) -> Result<Vec<Likeness>, Failure> {
    let onset = wished.forces()[0];
    let full = wished.forces()[READING_GRID - 1];
    let cannot = |message: String| {
        Failure::cannot(
            message,
            "choose a model that reaches full scale on the bench",
        )
    };
    if !full.is_finite() {
        return Err(cannot(
            "its saturation was not reached, so its climb has no end".to_owned(),
        ));
    }
    let internal = |error: &dyn std::fmt::Display| cannot(error.to_string());
    let response = wished.response().ok_or_else(|| {
        cannot(format!(
            "it rises from {} to {} in one step",
            gf(onset),
            gf(full)
        ))
    })?;
    let shape = climb(response.curve(), onset, full).map_err(|error| internal(&error))?;
    let target = Target::new(Force::from_gf(onset), Force::from_gf(full), shape)
        .map_err(|error| internal(&error))?;
    let mut found: Vec<Likeness> = (0..units.len())
        .into_par_iter()
        .map(|unit| likeness(unit, units[unit], &target, receiver))
        .collect::<Result<_, _>>()?;
    found.sort_by(|a, b| {
        a.max_error
            .total_cmp(&b.max_error)
            .then(a.unit.cmp(&b.unit))
    });
    Ok(found)
}

fn likeness(
    place: usize,
    unit: &Unit,
    target: &Target,
    receiver: &Receiver,
) -> Result<Likeness, Failure> {
    let cannot = |error: &dyn std::fmt::Display| {
        Failure::cannot(
            format!("{}: {error}", unit.name),
            Remedy::from("choose another receiver").or_set(Setting::Exclude),
        )
    };
    let response = unit
        .profile
        .response()
        .ok_or_else(|| cannot(&"its response has no rise"))?;
    let curve = response.curve();
    let ideal = ideal_map(curve, target).map_err(|error| cannot(&error))?;
    let compiled = compile(receiver, &ideal).map_err(|error| cannot(&error))?;
    let with = achieved(curve, &compiled.curve, target);
    let straight = Polyline::new(vec![Point { x: 0.0, y: 0.0 }, Point { x: 1.0, y: 1.0 }])
        .map_err(|error| cannot(&error))?;
    let without = achieved(curve, &straight, target);
    let late = target.output(response.onset());
    let early = response
        .saturation()
        .map_or(0.0, |saturation| 1.0 - target.output(saturation));
    // Beyond its last force a unit that did not saturate holds the output of its last reading.
    let uncorrectable_error = late.max(early).min(with.max_error);
    Ok(Likeness {
        unit: place,
        max_error: with.max_error,
        rms_error: with.rms_error,
        uncorrectable_error,
        without_map: without.max_error,
    })
}
