//! Tables of a curve: inputs and outputs, a line for each point.

use std::path::Path;

use evenhand_receiver::MapInterpolation;
use evenhand_text::{
    Cell, Fault, Faults, Place, Quantity, ReadAs, RemarkSpec, Row, Table, TableFile, TableSpec,
    count, quoted, read_bytes,
};

use crate::map_file::MapTable;

/// A list of points larger than this is none.
const MOST_BYTES: u64 = 1 << 20;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Column {
    Input,
    Output,
}

const fn part(
    kind: Column,
    meaning: &'static str,
    columns: &'static [(&'static str, &'static str)],
    words: &'static [&'static str],
) -> Quantity<Column> {
    Quantity {
        kind,
        meaning,
        columns,
        words,
        units: &[
            ("percent", "percent"),
            ("percentage", "percent"),
            ("pct", "percent"),
            ("fraction", "fraction"),
            ("01", "fraction"),
            ("0to1", "fraction"),
        ],
        is_unitless: false,
        is_essential: true,
    }
}

const EVERY_POINT: &str = "delete those lines: every point counts";
const STRAIGHT: &str =
    "name the map file itself: the points of a table are joined by straight lines";

const SPEC: TableSpec<Column> = TableSpec {
    quantities: &[
        part(
            Column::Input,
            "input",
            &[("input", "fraction"), ("input_percent", "percent")],
            &["input", "inputs"],
        ),
        part(
            Column::Output,
            "output",
            &[("output", "fraction"), ("output_percent", "percent")],
            &["output", "outputs"],
        ),
    ],
    remarks: RemarkSpec {
        keys: &[],
        aliases: &[],
        repeatable: &[],
        refused: &[
            (
                &["skip", "ignore", "drop", "omit", "exclude", "leave"],
                EVERY_POINT,
            ),
            (&["interpolation", "exponent"], STRAIGHT),
            (&["gain"], "multiply the values themselves"),
            (&["percent"], "name the unit in the header: output_percent"),
        ],
    },
    refused_columns: &[],
    example: "input,output",
};

/// The points of a table with the columns input and output.
///
/// # Errors
/// A file that cannot be read, and everything that is wrong with the table: points outside 0..1, points that do not
/// rise, fewer than two.
pub(crate) fn read(path: &Path) -> Result<(MapTable, ReadAs), Faults> {
    let name = path.display().to_string();
    points(&name, &read_bytes(path, "a curve", MOST_BYTES)?)
}

fn points(name: &str, bytes: &[u8]) -> Result<(MapTable, ReadAs), Faults> {
    let file = TableFile::parse(name, bytes, None, SPEC.example)?;
    let mut table = Table::read_unchosen(&file, &SPEC)?;
    let columns = [Column::Input, Column::Output].map(|kind| table.needed(kind));
    let mut control_points: Vec<[f64; 2]> = Vec::new();
    let mut last: Option<Place> = None;
    let mut rows = 0;
    if let [Some(input), Some(output)] = columns {
        for row in table.rows() {
            if table.is_hopeless() {
                break;
            }
            rows += 1;
            last = Some(row.place());
            let Some(cells) = table.cells(&row) else {
                continue;
            };
            let point = [input, output].map(|at| fraction(&mut table, &row, &cells, at));
            let [Some(x), Some(y)] = point else {
                continue;
            };
            if let Some([before_x, before_y]) = control_points.last() {
                if x <= *before_x {
                    table.fault(falls(&row, &cells[input], "an input above the one before"));
                    continue;
                }
                if y < *before_y {
                    table.fault(falls(
                        &row,
                        &cells[output],
                        "an output not below the one before",
                    ));
                    continue;
                }
            }
            control_points.push([x, y]);
        }
        if rows < 2 {
            table.fault(Fault::at(
                last.unwrap_or_else(|| table.header_line()),
                count(rows, "point"),
                "two points or more",
                "write a line for each point of the curve, such as 0,0 and 1,1",
            ));
        }
    }
    let read_as = table.finish()?;
    let table = MapTable {
        interpolation: MapInterpolation::Linear.to_string(),
        exponent: None,
        control_points,
    };
    Ok((table, read_as))
}

fn fraction<'t>(
    table: &mut Table<'t, Column>,
    row: &Row<'t>,
    cells: &[Cell<'t>],
    at: usize,
) -> Option<f64> {
    let value = table.number(row, cells, at)?;
    let full = match table.unit_so_far(at) {
        Some("percent") => 100.0,
        _ => 1.0,
    };
    if (0.0..=full).contains(&value) {
        return Some(value / full);
    }
    let remedy = if full < 100.0 && value > 1.0 && value <= 100.0 {
        "write fractions from 0 to 1, or name the columns input_percent and output_percent"
            .to_owned()
    } else {
        format!("write values from 0 to {full}")
    };
    table.fault(Fault::at(
        row.place_of(&cells[at]),
        quoted(&cells[at].text),
        format!("a value from 0 to {full}"),
        remedy,
    ));
    None
}

fn falls(row: &Row<'_>, cell: &Cell<'_>, expected: &str) -> Fault {
    Fault::at(
        row.place_of(cell),
        quoted(&cell.text),
        expected,
        "write the points in order: inputs that rise, outputs that do not fall",
    )
}

#[cfg(test)]
mod tests;
