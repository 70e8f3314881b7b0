//! Columns input and output, the shortest decimals that read back the same.

use std::fmt::Write as _;

use super::first_difference;
use crate::control_point::ControlPoint;

pub(super) fn write(points: &[ControlPoint]) -> String {
    let mut text = String::from("input,output\n");
    for point in points {
        let _ = writeln!(text, "{},{}", point.input, point.output);
    }
    text
}

pub(super) fn differs(text: &str, points: &[ControlPoint]) -> Option<String> {
    let mut reader = ::csv::Reader::from_reader(text.as_bytes());
    let rows: Result<Vec<(f64, f64)>, _> = reader.deserialize().collect();
    match rows {
        Ok(rows) => first_difference(&rows, points),
        Err(error) => Some(error.to_string()),
    }
}
