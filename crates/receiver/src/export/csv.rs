//! Columns input and output, the shortest decimals that read back the same.

use std::fmt::Write as _;

use crate::control_point::ControlPoint;

const HEADER: &str = "input,output";

pub(super) fn write(points: &[ControlPoint]) -> String {
    let mut text = format!("{HEADER}\n");
    for point in points {
        let _ = writeln!(text, "{},{}", point.input, point.output);
    }
    text
}

/// Reads only what [`write`] writes: whatever else stood there would be a fault of ours.
pub(super) fn read(text: &str) -> Result<Vec<(f64, f64)>, String> {
    let mut lines = text.lines();
    let header = lines.next().unwrap_or_default();
    if header != HEADER {
        return Err(format!("the header is `{header}`"));
    }
    lines
        .map(|line| {
            line.split_once(',')
                .and_then(|(input, output)| Some((input.parse().ok()?, output.parse().ok()?)))
                .ok_or_else(|| format!("`{line}` is not two numbers"))
        })
        .collect()
}
