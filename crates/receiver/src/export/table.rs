//! Whole numbers, one a line, for evenly spaced readings.

use std::fmt::Write as _;

use evenhand_curve::{Curve, Point, Polyline};

use crate::control_point::ControlPoint;

pub(super) fn write(points: &[ControlPoint], entries: u32, full_scale: u32) -> String {
    let mut text = String::new();
    let mut segment = 0;
    for entry in 0..entries {
        let x = f64::from(entry) / f64::from(entries - 1);
        while segment + 2 < points.len() && points[segment + 1].input < x {
            segment += 1;
        }
        let (a, b) = (points[segment], points[segment + 1]);
        let part = ((x - a.input) / (b.input - a.input)).clamp(0.0, 1.0);
        let output = a.output + part * (b.output - a.output);
        let _ = writeln!(text, "{}", (output * f64::from(full_scale)).round());
    }
    text
}

/// Compares with the map as the curve library draws it: half a step apart at most, never falling.
pub(super) fn differs(
    text: &str,
    points: &[ControlPoint],
    entries: u32,
    full_scale: u32,
) -> Option<String> {
    let corners = points
        .iter()
        .map(|p| Point::new(p.input, p.output))
        .collect();
    let map = match Polyline::new(corners) {
        Ok(map) => map,
        Err(error) => return Some(error.to_string()),
    };
    let mut before = 0;
    let mut count = 0;
    for (line, entry) in text.lines().zip(0..) {
        let Ok(value) = line.parse::<u32>() else {
            return Some(format!("`{line}` in line {}", entry + 1));
        };
        let wanted = map.value(f64::from(entry) / f64::from(entries - 1)) * f64::from(full_scale);
        if (f64::from(value) - wanted).abs() > 0.5 + 1e-6 || value < before || value > full_scale {
            return Some(format!("{value} instead of {wanted} in line {}", entry + 1));
        }
        before = value;
        count += 1;
    }
    (count != entries).then(|| format!("{count} entries instead of {entries}"))
}
