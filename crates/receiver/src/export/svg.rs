//! A path in the unit square: input to the right, output upwards.

use std::fmt::Write as _;

use kurbo::{BezPath, PathEl};

use crate::control_point::ControlPoint;

/// Straight segments through the points, or one Bézier with the two inner ones as handles.
pub(super) fn write(points: &[ControlPoint], bezier: bool) -> String {
    let mut path = String::new();
    for (index, point) in points.iter().enumerate() {
        let command = match (index, bezier) {
            (0, _) => "M",
            (1, true) => " C",
            (_, true) => " ",
            (_, false) => " L",
        };
        // Writing into a string cannot fail.
        let _ = write!(path, "{command}{} {}", point.input, point.output);
    }
    // The matrix turns the path upright; its numbers are inputs and outputs as they are.
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 1 1\" width=\"480\" height=\"480\">\n  <path transform=\"matrix(1 0 0 -1 0 1)\" fill=\"none\" stroke=\"#2458a0\" stroke-width=\"0.006\" d=\"{path}\"/>\n</svg>\n"
    )
}

pub(super) fn read(text: &str) -> Result<Vec<(f64, f64)>, String> {
    let document = roxmltree::Document::parse(text).map_err(|error| error.to_string())?;
    let path = document
        .descendants()
        .find(|node| node.has_tag_name("path"))
        .and_then(|node| node.attribute("d"))
        .ok_or("there is no path")?;
    let path = BezPath::from_svg(path).map_err(|error| error.to_string())?;
    let mut found = Vec::new();
    for element in path.elements() {
        match element {
            PathEl::MoveTo(point) if found.is_empty() => found.push((point.x, point.y)),
            PathEl::LineTo(point) => found.push((point.x, point.y)),
            PathEl::CurveTo(a, b, c) => found.extend([a, b, c].map(|p| (p.x, p.y))),
            other => return Err(format!("{other:?} in the path")),
        }
    }
    Ok(found)
}
