//! How near a map comes to the target, judged where the hand feels it.

use evenhand_curve::{Curve, Polyline};
use evenhand_measurement::Force;

use crate::ideal::forces;
use crate::target::Target;

/// Points between two neighbouring forces at which the error is looked at.
const BETWEEN: u32 = 4;

/// Figures of quality over the forces from light-at to full-at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Achieved {
    /// Largest |achieved − target|, fraction of full scale.
    pub max_error: f64,
    /// Force where it occurs.
    pub worst_at: Force,
    /// Root mean square of achieved − target over force, fraction of full scale.
    pub rms_error: f64,
}

/// Judges a map (reading → output) against a target through a response (force in gf → reading), on a
/// grid of its own: the bends of response and target, and points between them.
#[must_use]
pub fn achieved(response: &Polyline, map: &dyn Curve, target: &Target) -> Achieved {
    let (light, full) = (target.light_at().gf(), target.full_at().gf());
    let mut nodes: Vec<f64> = forces(response, target)
        .into_iter()
        .filter(|f| (light..=full).contains(f))
        .collect();
    // The map bends too.
    nodes.extend(
        readings_looked_at(map)
            .map(|reading| response.inverse(reading))
            .filter(|f| (light..=full).contains(f)),
    );
    nodes.sort_by(f64::total_cmp);
    nodes.dedup();
    let error =
        |force: f64| map.value(response.value(force)) - target.output(Force::from_gf(force));
    let mut result = Achieved {
        max_error: 0.0,
        worst_at: target.light_at(),
        rms_error: 0.0,
    };
    let mut look = |force: f64| {
        let found = error(force);
        if found.abs() > result.max_error {
            result.max_error = found.abs();
            result.worst_at = Force::from_gf(force);
        }
        found * found
    };
    let mut integral = 0.0;
    for pair in nodes.windows(2) {
        let width = (pair[1] - pair[0]) / f64::from(BETWEEN);
        let mut before = look(pair[0]);
        for step in 1..=BETWEEN {
            let after = look(pair[0] + width * f64::from(step));
            integral += 0.5 * width * (before + after);
            before = after;
        }
    }
    result.rms_error = (integral / (full - light)).sqrt();
    result
}

/// Even steps of a curve that bends smoothly.
const STEPS: usize = 1025;

/// Readings at which a curve is to be followed: those at which it bends sharply, and even steps between.
pub(crate) fn readings_looked_at(curve: &dyn Curve) -> impl Iterator<Item = f64> {
    let even = curve.sample(STEPS).into_iter().map(|point| point.x);
    curve.bends().into_iter().chain(even)
}
