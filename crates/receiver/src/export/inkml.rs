//! A `mapping` of the force channel F of `InkML` (W3C Recommendation, 20 September 2011): a lookup table
//! with linear interpolation, as fractions of the channel's range. Element names are from memory; type,
//! interpolation and channel name were seen in published enumerations of the schema.

use std::fmt::Write as _;

use crate::control_point::ControlPoint;

const NAMESPACE: &str = "http://www.w3.org/2003/InkML";

pub(super) fn write(points: &[ControlPoint]) -> String {
    let mut rows = String::new();
    for (index, point) in points.iter().enumerate() {
        let comma = if index == 0 { "" } else { ",\n        " };
        // Writing into a string cannot fail.
        let _ = write!(rows, "{comma}{} {}", point.input, point.output);
    }
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<ink xmlns=\"{NAMESPACE}\">\n  <definitions>\n    <mapping xml:id=\"response-map\" type=\"lookup\">\n      <bind source=\"F\" column=\"1\"/>\n      <bind target=\"F\" column=\"2\"/>\n      <table apply=\"absolute\" interpolation=\"linear\">\n        {rows}\n      </table>\n    </mapping>\n  </definitions>\n</ink>\n"
    )
}

pub(super) fn read(text: &str) -> Result<Vec<(f64, f64)>, String> {
    let document = roxmltree::Document::parse(text).map_err(|error| error.to_string())?;
    let table = document
        .descendants()
        .find(|node| node.has_tag_name((NAMESPACE, "table")))
        .and_then(|node| node.text())
        .ok_or("there is no table")?;
    table
        .split(',')
        .map(|row| {
            let values: Vec<f64> = row
                .split_whitespace()
                .filter_map(|word| word.parse().ok())
                .collect();
            match values[..] {
                [input, output] => Ok((input, output)),
                _ => Err(format!("`{}` in the table", row.trim())),
            }
        })
        .collect()
}
