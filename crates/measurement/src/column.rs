//! The columns that a header names.

use std::ops::Range;

use crate::nearest::nearest_name;
use crate::unit::{ForceUnit, ReadingUnit};

const SEATING: &str = "seating";
const DIRECTION: &str = "direction";

/// Positions of the columns of a table.
pub(crate) struct Columns {
    pub(crate) force: (usize, ForceUnit),
    pub(crate) reading: (usize, ReadingUnit),
    pub(crate) seating: Option<usize>,
    pub(crate) direction: Option<usize>,
    pub(crate) count: usize,
}

/// A header that does not name what is needed.
pub(crate) struct WrongHeader {
    pub(crate) span: Range<usize>,
    pub(crate) message: String,
    pub(crate) help: String,
}

fn force_columns() -> String {
    ForceUnit::ALL.map(ForceUnit::column).join(", ")
}

fn reading_columns() -> String {
    ReadingUnit::ALL.map(ReadingUnit::column).join(", ")
}

/// Finds the columns; every cell comes with its place. `line` is the whole header; with `outputs` the
/// readings may be called outputs.
pub(crate) fn columns(
    cells: &[(String, Range<usize>)],
    line: &Range<usize>,
    outputs: bool,
) -> Result<Columns, WrongHeader> {
    let mut force: Option<(usize, ForceUnit)> = None;
    let mut reading: Option<(usize, ReadingUnit)> = None;
    let mut seating = None;
    let mut direction = None;
    if cells.iter().all(|(name, _)| name.parse::<f64>().is_ok()) {
        return Err(WrongHeader {
            span: line.clone(),
            message: "numbers where the header should name the columns".to_owned(),
            help: "write a first line such as force_gf,reported_percent".to_owned(),
        });
    }
    for (position, (name, span)) in cells.iter().enumerate() {
        let twice = |first: usize| WrongHeader {
            span: span.clone(),
            message: format!(
                "a second column of the same kind, `{name}` (column {}), beside `{}` (column {})",
                position + 1,
                cells[first].0,
                first + 1
            ),
            help: "keep one force column and one reading column, each other column once".to_owned(),
        };
        let known_force = ForceUnit::ALL
            .into_iter()
            .find(|unit| unit.column() == name);
        let known_reading = ReadingUnit::ALL
            .into_iter()
            .find(|unit| unit.column() == name || (outputs && unit.output_column() == name));
        if let Some(unit) = known_force {
            if let Some((first, _)) = force {
                return Err(twice(first));
            }
            force = Some((position, unit));
        } else if let Some(unit) = known_reading {
            if let Some((first, _)) = reading {
                return Err(twice(first));
            }
            reading = Some((position, unit));
        } else if name == SEATING || name == DIRECTION {
            let slot = if name == SEATING {
                &mut seating
            } else {
                &mut direction
            };
            if let Some(first) = *slot {
                return Err(twice(first));
            }
            *slot = Some(position);
        } else {
            return Err(unknown(name, span));
        }
    }
    let missing = |kind: &str, names: String| WrongHeader {
        span: line.clone(),
        message: format!("a header without a {kind} column"),
        help: format!("name one column {names}"),
    };
    Ok(Columns {
        force: force.ok_or_else(|| missing("force", force_columns()))?,
        reading: reading.ok_or_else(|| missing("reading", reading_columns()))?,
        seating,
        direction,
        count: cells.len(),
    })
}

fn unknown(name: &str, span: &Range<usize>) -> WrongHeader {
    let lower = name.to_ascii_lowercase();
    let help = if lower.contains("force") || lower.contains("mass") || lower.contains("weight") {
        format!("forces need their unit in the name: {}", force_columns())
    } else {
        let mut known: Vec<&str> = ForceUnit::ALL.map(ForceUnit::column).to_vec();
        known.extend(ReadingUnit::ALL.map(ReadingUnit::column));
        known.extend([SEATING, DIRECTION]);
        let nearest = nearest_name(&lower, &known).unwrap_or(SEATING);
        format!(
            "the nearest known name is {nearest}; there are {}, {}, {SEATING} and {DIRECTION}",
            force_columns(),
            reading_columns()
        )
    };
    WrongHeader {
        span: span.clone(),
        message: format!("an unknown column `{name}`"),
        help,
    }
}
