//! What `--target` names: a shape, a target file, or the climb of another stylus.

use std::path::Path;

use evenhand_fitting::{Saturation, Settings};
use evenhand_inversion::{
    NamedShape, PointShape, TargetError, TargetProfile, TargetShape, shipped_targets,
};

use evenhand_measurement::ReadOptions;
use evenhand_text::read_utf8;

use crate::failure::Failure;
use crate::input;

/// A target file larger than this is none.
const MOST_BYTES: u64 = 1 << 20;

/// The shape that a word, a file or `like:MEASUREMENT` stands for.
pub fn resolve(text: &str, settings: &Settings) -> Result<NamedShape, Failure> {
    if let Some(file) = text.strip_prefix("like:") {
        let shape = like(Path::new(file), settings)?;
        return Ok(NamedShape::new(shape, text));
    }
    if let Some(target) = shipped_targets().iter().find(|target| target.name == text) {
        return Ok(NamedShape::new(target.shape.clone(), text));
    }
    let path = Path::new(text);
    let is_toml = path.extension().is_some_and(|ending| ending == "toml");
    if is_toml || text.contains(['/', '\\']) || path.is_file() {
        return resolve_file(path);
    }
    let shape = text.parse::<TargetShape>().map_err(|error| {
        let names: Vec<&str> = shipped_targets().iter().map(|t| t.name.as_str()).collect();
        let help = match error {
            TargetError::UnknownShape { .. } => format!(
                "write one of {}, power:E with a number E, like:MEASUREMENT, or the path of a target file",
                names.join(", ")
            ),
            _ => error.help(),
        };
        Failure::bad_input(error.to_string(), help)
    })?;
    Ok(NamedShape::new(shape, text))
}

/// A target file, read and checked.
///
/// # Errors
/// A file that cannot be read, and everything that is wrong with it.
pub fn from_file(path: &Path) -> Result<TargetProfile, Failure> {
    let text = read_utf8(path, "a target file", MOST_BYTES)?;
    Ok(TargetProfile::parse(&text, &path.display().to_string())?)
}

/// The shape in a target file, labelled by the file's name as it can be shown.
///
/// # Errors
/// A file that cannot be read, and everything that is wrong with it.
pub fn resolve_file(path: &Path) -> Result<NamedShape, Failure> {
    let target = from_file(path)?;
    Ok(NamedShape::new(target.shape, &path.display().to_string()))
}

/// The climb of another stylus from its onset to its saturation, stretched to 0..1.
fn like(path: &Path, settings: &Settings) -> Result<TargetShape, Failure> {
    let read = input::measurement(path, &ReadOptions::default())?;
    let fit = input::fitted(&read, settings)?;
    let name = path.display();
    let cannot = |message: String| {
        Failure::cannot(
            message,
            "choose a measurement that reaches full scale, or another target",
        )
    };
    let Saturation::Reached(saturation) = fit.saturation else {
        return Err(cannot(format!(
            "{name} cannot be a target: its saturation was not reached, so its climb has no end"
        )));
    };
    PointShape::of_response(
        fit.response.curve(),
        fit.onset.estimate.gf(),
        saturation.estimate.gf(),
    )
    .map(TargetShape::Drawn)
    .map_err(|error| cannot(format!("{name} cannot be a target: {error}")))
}
