//! From what was placed on a bench to a measurement with its uncertainty budget.

use std::fmt::Write as _;
use std::ops::Range;
use std::path::Path;

use evenhand_bench::{BenchError, Budget, Placement, Rig, force_budget};
use evenhand_measurement::{
    ForceBudget, ReadOptions, parse_measurement, table_cells, table_lines, table_separator,
};

use crate::failure::Failure;
use crate::input::{read_failure, read_text};

/// Tables and rigs larger than this are none.
const MOST_BYTES: u64 = 4 << 20;
/// Column of what was placed.
const PLACED: &str = "placed";
/// Columns of readings, one of which makes the table a measurement.
const READINGS: [&str; 3] = ["reported_percent", "reported", "reported_raw"];

/// A placement with its force.
#[derive(Clone, Debug)]
pub struct ConvertedRow {
    /// Its line in the table, from 1.
    pub line: usize,
    /// What was placed, as written.
    pub placed: String,
    /// The force in gf with its budget.
    pub budget: Budget,
}

/// A table of placements turned into forces.
#[derive(Clone, Debug)]
pub struct Converted {
    /// The rows.
    pub rows: Vec<ConvertedRow>,
    /// What the budgets say of the whole.
    pub budget: ForceBudget,
    /// The measurement as a table, where there were readings.
    pub measurement: Option<String>,
}

/// A rig, read and checked.
///
/// # Errors
/// A file that cannot be read or is no rig.
pub fn rig(path: &Path) -> Result<Rig, Failure> {
    let name = path.display().to_string();
    let text = read_text(path, MOST_BYTES, "give a rig file such as demo/rig.toml")?;
    Rig::parse(&text).map_err(|error| {
        let span = match &error {
            BenchError::Rig { span, .. } => span.clone(),
            BenchError::Placement { .. } => None,
        };
        placed_failure(
            &name,
            &text,
            span.as_ref(),
            &error.to_string(),
            error.help(),
        )
    })
}

fn placed_failure(
    file: &str,
    text: &str,
    span: Option<&Range<usize>>,
    message: &str,
    help: &str,
) -> Failure {
    let Some(span) = span else {
        return Failure::bad_input(format!("{file}: {message}"), help).in_file(file);
    };
    let before = text.get(..span.start).unwrap_or(text);
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().map_or(0, |l| l.chars().count()) + 1;
    let mut failure =
        Failure::bad_input(format!("{file}:{line}:{column}: {message}"), help).in_file(file);
    failure.line = Some(line);
    failure.column = Some(column);
    failure.at(Some(text), Some(span.clone()))
}

/// Turns a table with a column `placed` into forces; all other cells stay as they are. What the budget says is
/// added below, so that no line moves.
///
/// # Errors
/// A table without that column, placements that the rig cannot take, and readings that no measurement has.
pub fn converted(path: &Path, rig: &Rig) -> Result<Converted, Failure> {
    let file = path.display().to_string();
    let text = read_text(path, MOST_BYTES, "give a table with a column placed")?;
    let fail = |span: &Range<usize>, message: &str, help: &str| {
        let place = Some(span).filter(|span| !span.is_empty());
        placed_failure(&file, &text, place, message, help)
    };
    let mut out = String::new();
    let mut rows = Vec::new();
    // Separator, number of cells, column of placements.
    let mut shape: Option<(char, usize, usize)> = None;
    let mut has_readings = false;
    // A table keeps to one decimal mark: whether it is the comma shows in any of its rows.
    let decimal_commas = table_lines(&text)
        .filter(|(line, _)| !line.trim_start().starts_with('#'))
        .skip(1)
        .any(|(line, _)| line.contains(','));
    for (number, (line, span)) in table_lines(&text).enumerate() {
        if line.trim_start().starts_with('#') || line.trim().is_empty() {
            let _ = writeln!(out, "{line}");
            continue;
        }
        let mark = shape.map_or_else(|| table_separator(line), |(mark, ..)| mark);
        let mut cells = table_cells(line, mark, span.start).map_err(|cell| {
            fail(
                &cell.span,
                "found a quote that is never closed",
                "close it in the same line",
            )
        })?;
        let Some((_, count, column)) = shape else {
            let column = cells
                .iter()
                .position(|(cell, _)| cell.trim_start_matches('\u{feff}') == PLACED);
            let Some(column) = column else {
                return Err(fail(
                    &span,
                    "found a header without the column placed",
                    "name the column of masses, or of what the scale showed, placed",
                ));
            };
            has_readings = cells
                .iter()
                .any(|(cell, _)| READINGS.contains(&cell.as_str()));
            shape = Some((mark, cells.len(), column));
            "force_gf".clone_into(&mut cells[column].0);
            write_row(&mut out, &cells, mark);
            continue;
        };
        if cells.len() != count {
            let message = format!("found {} cells", cells.len());
            let help = format!("write {count} cells, as many as the header has");
            return Err(fail(&span, &message, &help));
        }
        let (written, place) = cells[column].clone();
        // With semicolons or tabs a comma is a decimal mark.
        let plain = if mark == ',' {
            written.clone()
        } else {
            written.replace(',', ".")
        };
        let placed = Placement::parse(&plain, rig.kind())
            .map_err(|error| fail(&place, &format!("found {error}"), error.help()))?;
        let budget = rig.force(&placed);
        if !(budget.value.is_finite() && budget.value >= 0.0) {
            return Err(fail(
                &place,
                &format!(
                    "`{written}` gives a force of {:.2} gf, away from the nib",
                    budget.value
                ),
                "see the beam's moment and the calibration in the rig",
            ));
        }
        let force = format!("{:.4}", budget.value);
        let decimal_comma = mark != ',' && decimal_commas;
        cells[column].0 = if decimal_comma {
            force.replace('.', ",")
        } else {
            force
        };
        write_row(&mut out, &cells, mark);
        rows.push(ConvertedRow {
            line: number + 1,
            placed: written,
            budget,
        });
    }
    if rows.is_empty() {
        return Err(fail(
            &(0..0),
            "there is nothing placed",
            "write one line for each placement",
        ));
    }
    let budgets: Vec<Budget> = rows.iter().map(|row| row.budget.clone()).collect();
    let budget = force_budget(&budgets);
    let measurement = if has_readings {
        let _ = writeln!(
            out,
            "# bench = {}\n# lever = {}",
            rig.name.replace(['\n', '\r'], " "),
            rig.in_words()
        );
        let _ = writeln!(
            out,
            "# tilt_deg = {}\n# force_acts = along-stylus",
            rig.tilt_deg
        );
        for (key, figure) in ForceBudget::KEYS.iter().zip(budget.figures()) {
            let _ = writeln!(out, "# {key} = {figure:.3e}");
        }
        let options = ReadOptions::default();
        parse_measurement(&file, out.as_bytes(), &options).map_err(|error| read_failure(&error))?;
        Some(out)
    } else {
        None
    };
    Ok(Converted {
        rows,
        budget,
        measurement,
    })
}

fn write_row(out: &mut String, cells: &[(String, Range<usize>)], mark: char) {
    let joined: Vec<String> = cells
        .iter()
        .map(|(cell, _)| {
            if cell.contains([mark, '"']) {
                format!("\"{}\"", cell.replace('"', "\"\""))
            } else {
                cell.clone()
            }
        })
        .collect();
    let _ = writeln!(out, "{}", joined.join(&mark.to_string()));
}
