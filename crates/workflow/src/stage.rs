//! A curve that something else applies before or after the map.

use std::path::Path;

use evenhand_receiver::{MapCurve, MapInterpolation};
use evenhand_text::ReadAs;

use crate::curve_table;
use crate::failure::Failure;
use crate::map_file::{MapFile, MapTable};

/// Exponents outside these make a step, not a curve.
const EXPONENTS: std::ops::RangeInclusive<f64> = 0.05..=20.0;
const HELP: &str =
    "write power:E, or give a map file or a table with the columns input,output, both 0 to 1";

/// A curve of the chain, with the points it is saved by.
#[derive(Clone, Debug)]
pub struct Stage {
    /// Its points as they are saved.
    pub table: MapTable,
    /// What joins the points.
    pub interpolation: MapInterpolation,
    /// The curve.
    pub curve: MapCurve,
    /// How a table of points was understood; none for a power, a map file and what was saved.
    pub read_as: Option<ReadAs>,
}

impl Stage {
    /// The curve that `power:E`, a map file or a table of points stands for.
    pub fn resolve(text: &str) -> Result<Self, Failure> {
        if let Some(exponent) = text.strip_prefix("power:") {
            let wrong =
                || Failure::bad_input(format!("`{exponent}` is no exponent of a curve"), HELP);
            let exponent: f64 = exponent.parse().map_err(|_| wrong())?;
            if !EXPONENTS.contains(&exponent) {
                return Err(wrong());
            }
            let table = MapTable {
                interpolation: MapInterpolation::Power.to_string(),
                exponent: Some(exponent),
                control_points: vec![[0.0, 0.0], [1.0, 1.0]],
            };
            return Self::from_table(table).map_err(|_| wrong());
        }
        let path = Path::new(text);
        let (table, read_as) = if path.extension().is_some_and(|ending| ending == "toml") {
            (MapFile::read(path)?.0.map, None)
        } else {
            let (table, read_as) = curve_table::read(path)?;
            (table, Some(read_as))
        };
        let stage = Self::from_table(table).map_err(|reason| {
            Failure::bad_input(format!("{text}: the points make no curve: {reason}"), HELP)
                .in_file(text)
        })?;
        Ok(Self { read_as, ..stage })
    }

    /// The curve of saved points; fails with the reason where they make none that rises within 0..1.
    pub fn from_table(table: MapTable) -> Result<Self, String> {
        let interpolation: MapInterpolation = table
            .interpolation
            .parse()
            .map_err(|error| format!("{error}"))?;
        let points = table.points();
        let inside = |v: f64| (0.0..=1.0).contains(&v);
        if !points.iter().all(|p| inside(p.input) && inside(p.output)) {
            return Err("a coordinate lies outside 0..1".to_owned());
        }
        let curve = MapCurve::new(interpolation, &points, table.exponent)
            .map_err(|error| error.to_string())?;
        if !curve.is_non_decreasing() {
            return Err("it falls".to_owned());
        }
        Ok(Self {
            table,
            interpolation,
            curve,
            read_as: None,
        })
    }
}
