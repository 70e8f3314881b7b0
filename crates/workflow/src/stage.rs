//! A curve that something else applies before or after the map.

use std::path::Path;

use evenhand_inversion::CurveStage;
use evenhand_receiver::{ControlPoint, MapInterpolation};

use crate::curve_table;
use crate::failure::Failure;
use crate::map_file::{MapFile, MapTable};

/// Exponents outside these make a step, not a curve.
const EXPONENTS: std::ops::RangeInclusive<f64> = 0.05..=20.0;
const HELP: &str =
    "write power:E, or give a map file or a table with the columns input,output, both 0 to 1";

impl MapTable {
    /// The curve of saved points.
    ///
    /// # Errors
    /// The reason why they make none that rises within 0..1.
    pub fn stage(&self) -> Result<CurveStage, String> {
        let interpolation: MapInterpolation = self
            .interpolation
            .parse()
            .map_err(|error| format!("{error}"))?;
        CurveStage::new(interpolation, self.points(), self.exponent)
            .map_err(|error| error.to_string())
    }
}

impl From<&CurveStage> for MapTable {
    fn from(stage: &CurveStage) -> Self {
        Self::new(stage.interpolation, stage.exponent, &stage.points)
    }
}

/// The curve that `power:E`, a map file or a table of points stands for.
///
/// # Errors
/// A file that cannot be read, and points that make no curve that rises within 0..1.
pub fn resolve_stage(text: &str) -> Result<CurveStage, Failure> {
    if let Some(exponent) = text.strip_prefix("power:") {
        let wrong = || Failure::bad_input(format!("`{exponent}` is no exponent of a curve"), HELP);
        let exponent: f64 = exponent.parse().map_err(|_| wrong())?;
        if !EXPONENTS.contains(&exponent) {
            return Err(wrong());
        }
        let ends = vec![ControlPoint::new(0.0, 0.0), ControlPoint::new(1.0, 1.0)];
        return CurveStage::new(MapInterpolation::Power, ends, Some(exponent)).map_err(|_| wrong());
    }
    let path = Path::new(text);
    let (table, read_as) = if path.extension().is_some_and(|ending| ending == "toml") {
        (MapFile::read(path)?.0.map, None)
    } else {
        let (table, read_as) = curve_table::read(path)?;
        (table, Some(read_as))
    };
    let stage = table.stage().map_err(|reason| {
        Failure::bad_input(format!("{text}: the points make no curve: {reason}"), HELP)
            .in_file(text)
    })?;
    Ok(CurveStage { read_as, ..stage })
}
