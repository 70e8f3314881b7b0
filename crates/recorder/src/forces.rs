//! Forces that are asked for, as the bench makes them.

use evenhand_bench::{AvailableForce, LoadRecipe, nearest_available};
use evenhand_measurement::Force;
use evenhand_text::gf;

use crate::error::RecordError;

/// A force that is not made by the bench is taken for the nearest that is, up to so far off: gf, or part of it.
const NEAR_GF: f64 = 1.0;
const NEAR_PART: f64 = 0.1;

/// A force as the bench makes it, gf: itself where nothing is known of the bench, else the nearest that is near
/// enough.
pub(crate) fn made(force_gf: f64, forces: &[AvailableForce]) -> Option<f64> {
    let found = nearest_available(forces, force_gf)?;
    if found.recipe == LoadRecipe::Free {
        return Some(force_gf);
    }
    let off = (found.force_gf - force_gf).abs();
    (off <= NEAR_GF.max(NEAR_PART * force_gf)).then_some(found.force_gf)
}

/// The nearest force that the bench makes, with what to do for it.
pub(crate) fn nearest_in_words(force: Force, forces: &[AvailableForce]) -> String {
    let Some(found) = nearest_available(forces, force.gf()) else {
        return String::new();
    };
    match found.recipe.in_words() {
        Some(how) => format!("{} ({how})", gf(found.force_gf)),
        None => gf(found.force_gf),
    }
}

/// The list as the bench makes it.
pub(crate) fn listed(
    asked: &[Force],
    forces: &[AvailableForce],
) -> Result<Vec<(f64, Force)>, RecordError> {
    asked
        .iter()
        .map(|force| match made(force.gf(), forces) {
            Some(force_gf) => Ok((force_gf, *force)),
            None => Err(RecordError::Unreachable {
                force: *force,
                nearest: nearest_in_words(*force, forces),
            }),
        })
        .collect()
}
