//! What `--target` names: a shape, a target file, or the climb of another stylus.

use std::path::Path;

use evenhand_curve::{MonotonePath, Point, Polyline};
use evenhand_fitting::{Saturation, Settings};
use evenhand_inversion::{
    DrawnShape, Joining, TargetError, TargetProfile, TargetShape, shipped_targets,
};

use evenhand_measurement::ReadOptions;
use evenhand_text::read_utf8;

use crate::failure::Failure;
use crate::input;

/// A target file larger than this is none.
const MOST_BYTES: u64 = 1 << 20;
/// The climb of another stylus keeps within this of its response, fraction of full scale.
const LIKE_TOLERANCE: f64 = 1e-4;

/// A shape with the words that name it.
#[derive(Clone, Debug)]
pub struct NamedShape {
    /// The words that name it.
    pub label: String,
    /// The shape.
    pub shape: TargetShape,
}

impl NamedShape {
    fn of(shape: TargetShape, text: &str) -> Self {
        let label = match &shape {
            TargetShape::Drawn(_) => text.to_owned(),
            formula => formula.to_string(),
        };
        Self { label, shape }
    }
}

/// The shape that a word, a file or `like:MEASUREMENT` stands for.
pub fn resolve(text: &str, settings: &Settings) -> Result<NamedShape, Failure> {
    if let Some(file) = text.strip_prefix("like:") {
        let shape = like(Path::new(file), settings)?;
        return Ok(NamedShape::of(shape, text));
    }
    if let Some(target) = shipped_targets().iter().find(|target| target.name == text) {
        return Ok(NamedShape::of(target.shape.clone(), text));
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
    Ok(NamedShape::of(shape, text))
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
    Ok(NamedShape::of(target.shape, &path.display().to_string()))
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
    climb(
        fit.response.curve(),
        fit.onset.estimate.gf(),
        saturation.estimate.gf(),
    )
    .map_err(|error| cannot(format!("{name} cannot be a target: {error}")))
}

/// The climb of a response between its onset and saturation forces, gf, stretched to 0..1.
pub(crate) fn climb(
    response: &Polyline,
    onset: f64,
    full: f64,
) -> Result<TargetShape, TargetError> {
    let part = |force: f64| (force - onset) / (full - onset);
    let climbing = response
        .points()
        .iter()
        .map(|node| Point::new(part(node.x), node.y.clamp(0.0, 1.0)))
        .filter(|point| point.x > 0.0 && point.x < 1.0);
    let ends = [Point::new(0.0, 0.0), Point::new(1.0, 1.0)];
    let mut nodes = vec![ends[0]];
    nodes.extend(climbing);
    nodes.push(ends[1]);
    let path = MonotonePath::new(nodes).map_err(|error| TargetError::Drawn {
        reason: error.to_string(),
    })?;
    let mut points: Vec<[f64; 2]> = Vec::new();
    for point in path.simplified(LIKE_TOLERANCE).points() {
        // A vertical step cannot be drawn; its foot is kept.
        if points.last().is_none_or(|before| point.x > before[0]) {
            points.push([point.x, point.y]);
        }
    }
    DrawnShape::new(points, Joining::Linear).map(TargetShape::Drawn)
}
