//! Saving without loss: what exists stays unless it is meant to be replaced.

use std::path::Path;

use evenhand_preview::svg_to_png;
use evenhand_text::{SaveError, check_kind, save_atomically};

use crate::failure::Failure;
use crate::input::save_failure;

/// Pixels per unit of a PNG: twice, for screens that are fine and for print.
const SCALE: f32 = 2.0;

/// Refuses, before the work and not after it, a target that is no file, that exists where `force` does not say that
/// it may be replaced, or that is one of `inputs`: what is read for a result is not replaced by it. Inputs that are
/// no files, such as names, are passed over.
///
/// # Errors
/// Why the target cannot be meant.
pub fn check_target(out: &Path, force: bool, inputs: &[&Path]) -> Result<(), Failure> {
    check_kind(out).map_err(|error| save_failure(&error))?;
    if out.exists() && !force {
        return Err(save_failure(&SaveError::Exists {
            path: out.display().to_string(),
        }));
    }
    refuse_input(out, inputs)
}

/// Refuses a target that is one of `inputs`, under whatever name or link.
///
/// # Errors
/// Which of them it is.
pub fn refuse_input(out: &Path, inputs: &[&Path]) -> Result<(), Failure> {
    // To be compared files are opened, which a pipe would wait for and a serial line take for a new beginning.
    let is_file = |path: &Path| std::fs::metadata(path).is_ok_and(|meta| meta.is_file());
    if !is_file(out) {
        return Ok(());
    }
    let is_out =
        |input: &&&Path| is_file(input) && same_file::is_same_file(out, input).unwrap_or(false);
    match inputs.iter().find(is_out) {
        Some(input) => Err(Failure::bad_input(
            if out == *input {
                format!(
                    "{} is itself read for this, and was not touched",
                    out.display()
                )
            } else {
                format!(
                    "{} is the same file as {}, which is read for this, and was not touched",
                    out.display(),
                    input.display()
                )
            },
            "choose another name",
        )),
        None => Ok(()),
    }
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
    save_atomically(out, &bytes, force).map_err(|error| save_failure(&error))
}
