//! What a map gives at evenly spaced readings.

use crate::control_point::ControlPoint;

/// Outputs of straight segments through at least two points at `count` even readings, 0 and 1
/// included; held beyond the outer points.
pub(crate) fn even_outputs(points: &[ControlPoint], count: u32) -> impl Iterator<Item = f64> {
    let last = f64::from(count.max(2) - 1);
    let mut segment = 0;
    (0..count).map(move |reading| {
        let x = f64::from(reading) / last;
        while segment + 2 < points.len() && points[segment + 1].input < x {
            segment += 1;
        }
        let (a, b) = (points[segment], points[segment + 1]);
        let part = ((x - a.input) / (b.input - a.input)).clamp(0.0, 1.0);
        a.output + part * (b.output - a.output)
    })
}
