//! Saving without loss: what exists stays unless it is meant to be replaced.

use std::path::Path;

use evenhand_measurement::{SaveError, save_atomically};
use evenhand_preview::svg_to_png;

use crate::failure::Failure;
use crate::input::save_failure;

/// Pixels per unit of a PNG: twice, for screens that are fine and for print.
const SCALE: f32 = 2.0;

/// A target that exists is refused before the work, not after it.
pub fn refuse_existing(out: &Path, force: bool) -> Result<(), Failure> {
    if out.exists() && !force {
        return Err(save_failure(&SaveError::Exists {
            path: out.display().to_string(),
        }));
    }
    Ok(())
}

/// The form of a chart, by the ending of its file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PictureForm {
    /// Vectors.
    Svg,
    /// Pixels.
    Png,
}

/// Refuses, before any work, a target that cannot be meant.
pub fn picture_form(out: &Path, force: bool) -> Result<PictureForm, Failure> {
    let form = picture_by_ending(out).ok_or_else(|| {
        Failure::bad_input(
            format!("{}: the ending says neither SVG nor PNG", out.display()),
            "name the chart OUT.svg or OUT.png",
        )
    })?;
    refuse_existing(out, force)?;
    Ok(form)
}

/// The form that a file's ending says.
pub fn picture_by_ending(out: &Path) -> Option<PictureForm> {
    let ending = out.extension()?.to_str()?.to_ascii_lowercase();
    match ending.as_str() {
        "svg" => Some(PictureForm::Svg),
        "png" => Some(PictureForm::Png),
        _ => None,
    }
}

/// Saves a picture in its form.
pub fn save_picture(
    svg: String,
    out: &Path,
    form: PictureForm,
    force: bool,
) -> Result<(), Failure> {
    let bytes = match form {
        PictureForm::Svg => svg.into_bytes(),
        PictureForm::Png => svg_to_png(&svg, SCALE).map_err(|error| {
            Failure::cannot(
                format!("{}: {error}", out.display()),
                "this is a fault of evenhand; please report it with the measurement",
            )
        })?,
    };
    save_atomically(out, &bytes, force).map_err(|error| save_failure(&error))
}
