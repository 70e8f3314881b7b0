//! Curves that others apply before and after the map.
//!
//! The hand's force becomes a reading, `before` changes the reading, the map makes an output of it and
//! `after` changes the output. What is left for the map is after⁻¹ ∘ target ∘ (before ∘ response)⁻¹.

use evenhand_curve::{Curve, CurveError, MonotonePath, Point, Polyline};

use crate::achieved::readings_looked_at;

/// The response (force in gf → reading) with a curve applied to its readings.
///
/// # Errors
/// None where `before` does not fall; the curve checks it again.
pub fn behind(response: &Polyline, before: &dyn Curve) -> Result<Polyline, CurveError> {
    let mut forces: Vec<f64> = response.points().iter().map(|p| p.x).collect();
    let (first, last) = response.domain();
    // Where the curve bends, between the response's own nodes.
    forces.extend(
        readings_looked_at(before)
            .map(|reading| response.inverse(reading))
            .filter(|force| (first..=last).contains(force)),
    );
    forces.sort_by(f64::total_cmp);
    forces.dedup();
    let mut level = 0.0_f64;
    let points = forces.into_iter().map(|force| {
        level = level.max(before.value(response.value(force)).clamp(0.0, 1.0));
        Point::new(force, level)
    });
    Polyline::new(points.collect())
}

/// The ideal map (reading → output) before a curve that is applied to its outputs.
///
/// # Errors
/// None where `after` does not fall; the path checks it again.
pub fn compose_inverse(
    ideal: &MonotonePath,
    after: &dyn Curve,
) -> Result<MonotonePath, CurveError> {
    let mut points = Vec::new();
    let mut level = 0.0_f64;
    let mut push = |x: f64, y: f64| {
        level = level.max(after.inverse(y).clamp(0.0, 1.0));
        let point = Point::new(x, level);
        if points.last() != Some(&point) {
            points.push(point);
        }
    };
    let mut bends: Vec<f64> = readings_looked_at(after).map(|x| after.value(x)).collect();
    bends.sort_by(f64::total_cmp);
    for pair in ideal.points().windows(2) {
        let (a, b) = (pair[0], pair[1]);
        push(a.x, a.y);
        if a.y >= 1.0 {
            break;
        }
        let first = bends.partition_point(|y| *y <= a.y);
        for y in bends[first..].iter().take_while(|y| **y < b.y) {
            push(a.x + (b.x - a.x) * ((y - a.y) / (b.y - a.y)), *y);
        }
    }
    if let Some(last) = ideal.points().last().filter(|last| last.y < 1.0) {
        push(last.x, last.y);
    }
    // From where the chain is full any output up to 1 will do, so the map runs straight on.
    let end = Point::new(1.0, 1.0);
    if points.last() != Some(&end) {
        points.push(end);
    }
    MonotonePath::new(points)
}
