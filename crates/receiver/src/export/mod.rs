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
use crate::power_parameters::PowerParameters;
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
    let (name, text, checked) = match form {
        ExportForm::Csv => {
            let text = csv::write(points);
            let checked = same_points(csv::read(&text), points, 0.0);
            ("csv", text, checked)
        }
        ExportForm::Json => {
            let power = PowerParameters::new(points, exponent);
            let text = json::write(profile, points, power);
            let checked = same_points(json::read(&text, power), points, 0.0);
            ("json", text, checked)
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
            let checked = table::check(&text, &curve, entries, full_scale);
            ("table", text, checked)
        }
        ExportForm::Card => {
            let text = card::write(profile, points, exponent);
            let checked = card::check(&text, profile, points, exponent);
            ("card", text, checked)
        }
        ExportForm::Css => match bezier {
            Some(handles) => {
                let text = css::write_bezier(handles);
                let checked = same_points(css::read_bezier(&text), &handles, 0.0);
                ("css", text, checked)
            }
            None => {
                let text = css::write(&segments);
                let checked = same_points(css::read(&text), &segments, css::ROUNDING);
                ("css", text, checked)
            }
        },
        ExportForm::Svg => {
            let drawn = if bezier.is_some() { points } else { &segments };
            let text = svg::write(drawn, bezier.is_some());
            let checked = same_points(svg::read(&text), drawn, 0.0);
            ("svg", text, checked)
        }
        ExportForm::Inkml => {
            let text = inkml::write(&segments);
            let checked = same_points(inkml::read(&text), &segments, 0.0);
            ("inkml", text, checked)
        }
    };
    match checked {
        Ok(()) => Ok(text),
        Err(found) => Err(ExportError::ReadsBackWrong { form: name, found }),
    }
}

/// Whether the points that were read are those of the map: outputs to the last bit, inputs within `rounding`.
/// Fails with the first difference, or with what could not be read.
fn same_points(
    read: Result<Vec<(f64, f64)>, String>,
    points: &[ControlPoint],
    rounding: f64,
) -> Result<(), String> {
    let found = read?;
    if found.len() != points.len() {
        return Err(format!(
            "{} points instead of {}",
            found.len(),
            points.len()
        ));
    }
    for (index, (found, point)) in found.iter().zip(points).enumerate() {
        if (found.0 - point.input).abs() > rounding || found.1 != point.output {
            return Err(format!("point {} is {found:?}", index + 1));
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn anything_but_the_same_points_in_csv_differs() {
        let points = [
            ControlPoint::new(0.0, 0.0),
            ControlPoint::new(0.1 + 0.2, 1.0 / 3.0),
            ControlPoint::new(1.0, 1.0),
        ];
        let text = csv::write(&points);
        assert_eq!(same_points(csv::read(&text), &points, 0.0), Ok(()));
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
            let checked = same_points(csv::read(&wrong), &points, 0.0);
            assert!(checked.is_err(), "{wrong}");
        }
    }
}
