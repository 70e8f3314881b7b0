//! Columns input and output, the shortest decimals that read back the same.

use std::fmt::Write as _;

use super::first_difference;
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
pub(super) fn differs(text: &str, points: &[ControlPoint]) -> Option<String> {
    let mut lines = text.lines();
    let header = lines.next().unwrap_or_default();
    if header != HEADER {
        return Some(format!("the header is `{header}`"));
    }
    let mut rows = Vec::with_capacity(points.len());
    for line in lines {
        let row = line
            .split_once(',')
            .and_then(|(input, output)| Some((input.parse().ok()?, output.parse().ok()?)));
        match row {
            Some(row) => rows.push(row),
            None => return Some(format!("`{line}` is not two numbers")),
        }
    }
    first_difference(&rows, points)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn anything_but_the_same_points_differs() {
        let points = [
            ControlPoint::new(0.0, 0.0),
            ControlPoint::new(0.1 + 0.2, 1.0 / 3.0),
            ControlPoint::new(1.0, 1.0),
        ];
        let text = write(&points);
        assert_eq!(differs(&text, &points), None);
        for wrong in [
            text.replace("input", "x"),
            text.replace("0.3333333333333333", "0.33333333333333337"),
            text.replace("1,1\n", ""),
            text.replace("1,1\n", "1,1\n1,1\n"),
            text.replace("1,1\n", "1,1,1\n"),
            text.replace("1,1\n", "1;1\n"),
            text.replace("0,0\n", "\n0,0\n"),
            String::new(),
        ] {
            assert!(differs(&wrong, &points).is_some(), "{wrong}");
        }
    }
}
