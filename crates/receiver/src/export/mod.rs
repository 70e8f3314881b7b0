//! Forms in which a map is handed out. Each is read back and compared before it leaves.

mod card;
mod css;
mod csv;
mod inkml;
mod json;
mod svg;
mod table;

pub use card::TypedPoints;
pub use css::{CssError, CssLinear};
use evenhand_curve::Curve;
use thiserror::Error;

use crate::control_point::ControlPoint;
use crate::interpolation::MapInterpolation;
use crate::map_curve::{MapCurve, MapCurveError};
use crate::profile::Profile;

/// A form of export.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ExportForm {
    /// Columns `input,output`.
    Csv,
    /// One object with receiver, interpolation and control points.
    Json,
    /// Outputs at evenly spaced readings as whole numbers, one a line.
    Table {
        /// Number of readings, 0 and full scale included; at least 2.
        entries: u32,
        /// The number that stands for full output; at least 1.
        full_scale: u32,
    },
    /// A page of text to type the points from.
    Card,
    /// An easing function `linear()` of CSS Easing Level 2.
    Css,
    /// A path in the unit square.
    Svg,
    /// A mapping of the force channel of `InkML`.
    Inkml,
}

/// An export that was not handed out.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum ExportError {
    /// What was written does not say what the map says.
    #[error("the {form} export does not read back as the map: {found}")]
    ReadsBackWrong {
        /// The form.
        form: &'static str,
        /// What is different.
        found: String,
    },
    /// Points that make no map.
    #[error(transparent)]
    NoMap(#[from] MapCurveError),
    /// Fewer than two points, two entries or one step.
    #[error("there is nothing to export: {what}")]
    Nothing {
        /// What is missing.
        what: &'static str,
    },
}

/// Even readings at which a map that bends is told as straight segments.
const SAMPLES: usize = 257;

/// Writes a map in a form, reads it back and compares. `exponent` is that of a power.
///
/// CSS and SVG say a Bézier as it is; where a form knows straight segments only, a map that bends is
/// sampled at 257 even readings.
///
/// # Errors
/// See [`ExportError`].
pub fn export(
    form: ExportForm,
    profile: &Profile,
    points: &[ControlPoint],
    exponent: Option<f64>,
) -> Result<String, ExportError> {
    if points.len() < 2 {
        return Err(ExportError::Nothing {
            what: "a map has at least two points",
        });
    }
    let interpolation = profile.interpolation();
    let curve = MapCurve::new(interpolation, points, exponent)?;
    let segments = if curve.is_straight() {
        points.to_vec()
    } else {
        let sampled = curve.sample(SAMPLES).into_iter();
        sampled.map(|p| ControlPoint::new(p.x, p.y)).collect()
    };
    let bezier = match points {
        &[_, first, second, _] if interpolation == MapInterpolation::CubicBezier => {
            Some([first, second])
        }
        _ => None,
    };
    let (name, text, found) = match form {
        ExportForm::Csv => {
            let text = csv::write(points);
            let found = csv::differs(&text, points);
            ("csv", text, found)
        }
        ExportForm::Json => {
            let text = json::write(profile, points, exponent);
            let found = json::differs(&text, points, exponent);
            ("json", text, found)
        }
        ExportForm::Table {
            entries,
            full_scale,
        } => {
            if entries < 2 || full_scale < 1 {
                let what = "a table has at least two entries and one step";
                return Err(ExportError::Nothing { what });
            }
            let text = table::write(&curve, entries, full_scale);
            let found = table::differs(&text, &curve, entries, full_scale);
            ("table", text, found)
        }
        ExportForm::Card => {
            let text = card::write(profile, points, exponent);
            let found = card::differs(&text, profile, points, exponent);
            ("card", text, found)
        }
        ExportForm::Css => {
            let (text, found) = match bezier {
                Some(handles) => {
                    let text = css::write_bezier(handles);
                    let found = css::differs_from_bezier(&text, handles);
                    (text, found)
                }
                None => {
                    let text = css::write(&segments);
                    let found = css::differs(&text, &segments);
                    (text, found)
                }
            };
            ("css", text, found)
        }
        ExportForm::Svg => {
            let drawn = if bezier.is_some() { points } else { &segments };
            let text = svg::write(drawn, bezier.is_some());
            let found = svg::differs(&text, drawn);
            ("svg", text, found)
        }
        ExportForm::Inkml => {
            let text = inkml::write(&segments);
            let found = inkml::differs(&text, &segments);
            ("inkml", text, found)
        }
    };
    match found {
        None => Ok(text),
        Some(found) => Err(ExportError::ReadsBackWrong { form: name, found }),
    }
}

/// The first difference between points that must be the same to the last bit.
fn first_difference(found: &[(f64, f64)], points: &[ControlPoint]) -> Option<String> {
    if found.len() != points.len() {
        return Some(format!(
            "{} points instead of {}",
            found.len(),
            points.len()
        ));
    }
    let mut pairs = found.iter().zip(points).enumerate();
    pairs
        .find(|(_, (found, point))| found.0 != point.input || found.1 != point.output)
        .map(|(index, (found, _))| format!("point {} is {found:?}", index + 1))
}
