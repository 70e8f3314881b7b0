//! Whole numbers, one a line, for evenly spaced readings.

use std::fmt::Write as _;

use evenhand_curve::{Curve, Point, Polyline};

use crate::control_point::ControlPoint;
use crate::even_outputs::even_outputs;

pub(super) fn write(points: &[ControlPoint], entries: u32, full_scale: u32) -> String {
    let mut text = String::new();
    for output in even_outputs(points, entries) {
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
