//! A curve that something else applies before or after the map.

use std::path::Path;

use evenhand_receiver::{MapCurve, MapInterpolation};

use crate::failure::Failure;
use crate::input;
use crate::map_file::{MapFile, MapTable};

/// A list of points larger than this is none.
const MOST_BYTES: u64 = 1 << 20;
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
        let table = if path.extension().is_some_and(|ending| ending == "toml") {
            MapFile::read(path)?.0.map
        } else {
            points(path)?
        };
        Self::from_table(table).map_err(|reason| {
            Failure::bad_input(format!("{text}: the points make no curve: {reason}"), HELP)
                .in_file(text)
        })
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
        })
    }
}

/// The rows of a table with the columns input,output.
fn points(path: &Path) -> Result<MapTable, Failure> {
    let name = path.display().to_string();
    let text = input::read_text(path, MOST_BYTES, HELP)?;
    let wrong = |line: usize, message: String| {
        let mut failure =
            Failure::bad_input(format!("{name}:{line}: {message}"), HELP).in_file(name.clone());
        failure.line = Some(line);
        failure
    };
    let mut rows = text
        .trim_start_matches('\u{feff}')
        .lines()
        .enumerate()
        .map(|(index, line)| (index + 1, line.trim()))
        .filter(|(_, line)| !line.is_empty() && !line.starts_with('#'));
    match rows.next() {
        Some((_, "input,output")) => {}
        Some((line, found)) => {
            return Err(wrong(
                line,
                format!("the header is `{found}`, not input,output"),
            ));
        }
        None => return Err(wrong(1, "the table is empty".to_owned())),
    }
    let mut control_points: Vec<[f64; 2]> = Vec::new();
    for (line, row) in rows {
        let cells: Result<Vec<f64>, _> = row.split(',').map(|cell| cell.trim().parse()).collect();
        let Ok(&[input, output]) = cells.as_deref() else {
            return Err(wrong(line, format!("`{row}` is not two numbers")));
        };
        if !(0.0..=1.0).contains(&input) || !(0.0..=1.0).contains(&output) {
            return Err(wrong(line, format!("`{row}` lies outside 0 to 1")));
        }
        if let Some([x, y]) = control_points.last()
            && (input <= *x || output < *y)
        {
            return Err(wrong(
                line,
                format!("`{row}` does not rise from the row before"),
            ));
        }
        control_points.push([input, output]);
    }
    if control_points.len() < 2 {
        let found = control_points.len();
        let last = text.lines().count().max(1);
        return Err(wrong(
            last,
            format!("{found} rows where two at least make a curve"),
        ));
    }
    Ok(MapTable {
        interpolation: MapInterpolation::Linear.to_string(),
        exponent: None,
        control_points,
    })
}
