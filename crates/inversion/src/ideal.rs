//! The ideal map: target ∘ response⁻¹.

use evenhand_curve::{Curve, CurveError, MonotonePath, Point, Polyline};
use evenhand_measurement::Force;

use crate::shape::TargetShape;
use crate::target::Target;

/// Even steps of force between light-at and full-at that join the response's own nodes, so that a
/// curved target is followed too.
const STEPS: u32 = 512;

/// Forces (gf, ascending) at which a response or a target bends, with a dense grid between light-at
/// and full-at. Between neighbours both are straight to far below what matters here.
pub(crate) fn forces(response: &Polyline, target: &Target) -> Vec<f64> {
    let (light, full) = (target.light_at().gf(), target.full_at().gf());
    let mut forces: Vec<f64> = response.points().iter().map(|p| p.x).collect();
    for step in 0..=STEPS {
        // Squared steps: a target may bend sharply just above light-at.
        let part = f64::from(step) / f64::from(STEPS);
        forces.push(light + (full - light) * part * part);
    }
    if let TargetShape::Drawn(drawn) = target.shape() {
        forces.extend(drawn.bends().map(|part| light + (full - light) * part));
    }
    forces.push(full);
    forces.retain(|force| *force >= 0.0);
    forces.sort_by(f64::total_cmp);
    forces.dedup();
    forces
}

/// The map reading → output that gives the target exactly, as a path whose common parameter is the
/// force. Where one reading belongs to many forces the path runs straight up; a map can then only
/// choose one output between.
///
/// The path starts at (0, 0) and ends at (1, 1). Readings above the last one known are given
/// output 1 only from full-at on.
///
/// # Errors
/// None for a response that is non-decreasing and a target as built; the path checks it again.
pub fn ideal_map(response: &Polyline, target: &Target) -> Result<MonotonePath, CurveError> {
    let last = response.domain().1.max(target.full_at().gf());
    let light = target.light_at().gf();
    let touching = response.value(light).max(f64::MIN_POSITIVE);
    let mut points = vec![Point { x: 0.0, y: 0.0 }];
    for force in forces(response, target) {
        if force > last {
            break;
        }
        let reading = response.value(force).clamp(0.0, 1.0);
        let point = Point {
            x: reading,
            y: if force < light {
                // Up to light-at nothing is promised: the output rises straight to the floor.
                target.floor() * (reading / touching)
            } else {
                target.output(Force::from_gf(force))
            },
        };
        if points.last() != Some(&point) {
            points.push(point);
        }
    }
    let end = Point { x: 1.0, y: 1.0 };
    if points.last() != Some(&end) {
        points.push(end);
    }
    MonotonePath::new(points)
}
