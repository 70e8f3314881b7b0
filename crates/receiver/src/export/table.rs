//! Whole numbers, one a line, for evenly spaced readings.

use std::fmt::Write as _;

use evenhand_curve::Curve;

use crate::map_curve::MapCurve;

pub(super) fn write(curve: &MapCurve, entries: u32, full_scale: u32) -> String {
    let mut text = String::new();
    for entry in 0..entries {
        let output = curve.value(f64::from(entry) / f64::from(entries - 1));
        let _ = writeln!(text, "{}", (output * f64::from(full_scale)).round());
    }
    text
}

/// Compares with the map: half a step apart at most, never falling.
pub(super) fn check(
    text: &str,
    curve: &MapCurve,
    entries: u32,
    full_scale: u32,
) -> Result<(), String> {
    let mut before = 0;
    let mut count = 0;
    for (line, entry) in text.lines().zip(0..) {
        let Ok(value) = line.parse::<u32>() else {
            return Err(format!("`{line}` in line {}", entry + 1));
        };
        let wanted = curve.value(f64::from(entry) / f64::from(entries - 1)) * f64::from(full_scale);
        if (f64::from(value) - wanted).abs() > 0.5 + 1e-6 || value < before || value > full_scale {
            return Err(format!("{value} instead of {wanted} in line {}", entry + 1));
        }
        before = value;
        count += 1;
    }
    if count == entries {
        Ok(())
    } else {
        Err(format!("{count} entries instead of {entries}"))
    }
}
