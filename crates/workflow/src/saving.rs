//! Saving without loss: what exists stays unless it is meant to be replaced.

use std::path::Path;

use evenhand_preview::svg_to_png;
use evenhand_text::{SaveError, check_kind, refuse_input, save_atomically};

use crate::failure::Failure;

/// Pixels per unit of a PNG: twice, for screens that are fine and for print.
const SCALE: f32 = 2.0;

/// Refuses, before the work and not after it, a target that is no file, that exists where `force` does not say that
/// it may be replaced, or that is one of `inputs`: what is read for a result is not replaced by it. Inputs that are
/// no files, such as names, are passed over.
///
/// # Errors
/// Why the target cannot be meant.
pub fn check_target(out: &Path, force: bool, inputs: &[&Path]) -> Result<(), Failure> {
    check_kind(out)?;
    if out.exists() && !force {
        let path = out.display().to_string();
        return Err(SaveError::Exists { path }.into());
    }
    Ok(refuse_input(out, inputs)?)
}

/// The form of a chart, by the ending of its file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PictureForm {
    /// Vectors.
    Svg,
    /// Pixels.
    Png,
}

/// The form of a picture; refuses, before any work, a target that cannot be meant, as [`check_target`] does.
///
/// # Errors
/// Why the target cannot be meant.
pub fn picture_form(out: &Path, force: bool, inputs: &[&Path]) -> Result<PictureForm, Failure> {
    let form = picture_by_ending(out).ok_or_else(|| {
        Failure::bad_input(
            format!("{}: the ending says neither SVG nor PNG", out.display()),
            "name the chart OUT.svg or OUT.png",
        )
    })?;
    check_target(out, force, inputs)?;
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
    Ok(save_atomically(out, &bytes, force)?)
}
