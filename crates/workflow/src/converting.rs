//! From what was placed on a bench to a measurement with its uncertainty budget.

use std::fmt::Write as _;
use std::ops::Range;
use std::path::Path;

use evenhand_bench::{Budget, Placement, Rig, force_budget};
use evenhand_measurement::{
    ForceBudget, ReadOptions, parse_measurement, table_cells, table_lines, table_separator,
};
use evenhand_text::Faults;

use crate::cautions::beyond_kilogram;
use crate::failure::Failure;
use crate::input::read_text;
use crate::rig_file::{MOST_BYTES, bench_remarks, placed_failure};
use crate::sentences::gf;
use crate::wording::Wording;

/// Column of what was placed.
const PLACED: &str = "placed";
/// Columns of readings, one of which makes the table a measurement.
const READINGS: [&str; 3] = ["reported_percent", "reported", "reported_raw"];
/// Placements that are warned of one by one.
const MOST_WARNINGS: usize = 5;

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
    /// What to look at: masses that the rig does not list, large forces, what speaks against the rig.
    pub warnings: Vec<String>,
}

/// A table on its way to a measurement: what is written, and where each part of it stood.
struct Rewritten<'t> {
    file: &'t str,
    text: &'t str,
    out: String,
    /// Bytes of what is written, and of the table that they come from.
    places: Vec<(Range<usize>, Range<usize>)>,
    /// Comments that set a key: key, value, place.
    remarks: Vec<(String, String, Range<usize>)>,
}

/// The header of a table of placements.
struct Shape {
    mark: char,
    count: usize,
    /// Column of placements.
    placed: usize,
    has_readings: bool,
}

impl Rewritten<'_> {
    fn fail(&self, span: &Range<usize>, message: &str, help: &str) -> Failure {
        let place = Some(span).filter(|span| !span.is_empty());
        placed_failure(self.file, self.text, place, message, help)
    }

    fn comment(&mut self, line: &str, span: Range<usize>) {
        let start = self.out.len();
        let _ = writeln!(self.out, "{line}");
        self.places.push((start..self.out.len(), span.clone()));
        let set = line.trim_start().trim_start_matches('#').split_once('=');
        if let Some((key, value)) = set {
            let value = value.trim().trim_matches('"');
            self.remarks
                .push((key.trim().to_owned(), value.to_owned(), span));
        }
    }

    fn row(&mut self, cells: &[(String, Range<usize>)], mark: char) {
        for (index, (cell, span)) in cells.iter().enumerate() {
            if index > 0 {
                self.out.push(mark);
            }
            let start = self.out.len();
            if cell.contains([mark, '"']) {
                let _ = write!(self.out, "\"{}\"", cell.replace('"', "\"\""));
            } else {
                self.out.push_str(cell);
            }
            self.places.push((start..self.out.len(), span.clone()));
        }
        self.out.push('\n');
    }

    fn header(&mut self, line: &str, span: &Range<usize>) -> Result<Shape, Failure> {
        let mark = table_separator(line);
        let mut cells = self.cells(line, mark, span)?;
        let column = cells
            .iter()
            .position(|(cell, _)| cell.trim_start_matches('\u{feff}') == PLACED);
        let Some(placed) = column else {
            return Err(self.fail(
                span,
                "found a header without the column placed",
                "name the column of masses, or of what the scale showed, placed",
            ));
        };
        let has_readings = cells
            .iter()
            .any(|(cell, _)| READINGS.contains(&cell.as_str()));
        "force_gf".clone_into(&mut cells[placed].0);
        self.row(&cells, mark);
        Ok(Shape {
            mark,
            count: cells.len(),
            placed,
            has_readings,
        })
    }

    fn cells(
        &self,
        line: &str,
        mark: char,
        span: &Range<usize>,
    ) -> Result<Vec<(String, Range<usize>)>, Failure> {
        table_cells(line, mark, span.start).map_err(|cell| {
            self.fail(
                &cell.span,
                "found a quote that is never closed",
                "close it in the same line",
            )
        })
    }

    /// The force of what was placed in a cell, with its placement.
    fn force(
        &self,
        (written, place): &(String, Range<usize>),
        mark: char,
        rig: &Rig,
    ) -> Result<(Placement, Budget), Failure> {
        // With semicolons or tabs a comma is a decimal mark.
        let plain = if mark == ',' {
            written.clone()
        } else {
            written.replace(',', ".")
        };
        let placed = Placement::parse(&plain, rig)
            .map_err(|error| self.fail(place, &format!("found {error}"), error.help()))?;
        let budget = rig.force(&placed);
        if budget.value.is_finite() && budget.value >= 0.0 {
            return Ok((placed, budget));
        }
        Err(self.fail(
            place,
            &format!(
                "`{written}` gives a force of {:.2} gf, away from the nib",
                budget.value
            ),
            "see the beam's moment and the calibration in the rig",
        ))
    }

    /// Adds what the bench says of itself, below, so that no line moves; the table may say the same, no other.
    fn add_bench(&mut self, rig: &Rig, budget: &ForceBudget) -> Result<(), Failure> {
        for (key, value) in bench_remarks(rig, budget) {
            let own = self.remarks.iter().find(|(name, ..)| name == key);
            let Some((_, found, span)) = own else {
                let _ = writeln!(self.out, "# {key} = {value}");
                continue;
            };
            let is_same = found == &value
                || found
                    .parse::<f64>()
                    .is_ok_and(|found| value.parse() == Ok(found));
            // How the lever is described is the owner's own affair.
            if !is_same && key != "lever" {
                let message = format!("found {key} = {found}, but the rig says {value}");
                let help = "take the line away, or give the rig that this was placed on";
                return Err(self.fail(span, &message, help));
            }
        }
        Ok(())
    }

    /// A fault of what was written, at its place in the table that it comes from.
    fn as_found(&self, error: &Faults) -> Failure {
        let place = error.span().and_then(|span| {
            let holds = |out: &Range<usize>| out.start <= span.start && span.start <= out.end;
            let (_, place) = self.places.iter().find(|(out, _)| holds(out))?;
            Some(place.clone())
        });
        placed_failure(
            self.file,
            self.text,
            place.as_ref(),
            &error.first().to_string(),
            &Wording::CommandLine.remedy(&error.first().remedy),
        )
    }
}

/// Turns a table with a column `placed` into forces; all other cells stay as they are. `levels` stands in where the
/// table does not say how many there are.
///
/// # Errors
/// A table without that column, placements that the rig cannot take, remarks that contradict it, and readings that
/// no measurement has.
pub fn converted(path: &Path, rig: &Rig, levels: Option<u32>) -> Result<Converted, Failure> {
    let file = path.display().to_string();
    let text = read_text(path, MOST_BYTES, "give a table with a column placed")?;
    let mut table = Rewritten {
        file: &file,
        text: &text,
        out: String::new(),
        places: Vec::new(),
        remarks: Vec::new(),
    };
    let mut rows = Vec::new();
    let mut warnings: Vec<String> = rig.notes().iter().map(ToString::to_string).collect();
    let mut unlisted = Vec::new();
    let mut shape: Option<Shape> = None;
    // A table keeps to one decimal mark: whether it is the comma shows in any of its rows.
    let decimal_commas = table_lines(&text)
        .filter(|(line, _)| !line.trim_start().starts_with('#'))
        .skip(1)
        .any(|(line, _)| line.contains(','));
    for (number, (line, span)) in table_lines(&text).enumerate() {
        if line.trim_start().starts_with('#') || line.trim().is_empty() {
            table.comment(line, span);
            continue;
        }
        let Some(shape) = &shape else {
            shape = Some(table.header(line, &span)?);
            continue;
        };
        let mut cells = table.cells(line, shape.mark, &span)?;
        if cells.len() != shape.count {
            let message = format!("found {} cells", cells.len());
            let help = format!("write {} cells, as many as the header has", shape.count);
            return Err(table.fail(&span, &message, &help));
        }
        let placed_cell = cells[shape.placed].clone();
        let (placed, budget) = table.force(&placed_cell, shape.mark, rig)?;
        if let Some(what) = unlisted_mass(&placed, rig) {
            unlisted.push(format!("line {}: {what}", number + 1));
        }
        let force = format!("{:.4}", budget.value);
        cells[shape.placed].0 = if shape.mark != ',' && decimal_commas {
            force.replace('.', ",")
        } else {
            force
        };
        table.row(&cells, shape.mark);
        rows.push(ConvertedRow {
            line: number + 1,
            placed: placed_cell.0,
            budget,
        });
    }
    if rows.is_empty() {
        return Err(table.fail(
            &(0..0),
            "there is nothing placed",
            "write one line for each placement",
        ));
    }
    let more = unlisted.len().saturating_sub(MOST_WARNINGS);
    warnings.extend(unlisted.into_iter().take(MOST_WARNINGS));
    if more > 0 {
        warnings.push(format!(
            "{more} more placements hold masses that the rig does not list"
        ));
    }
    let largest_gf = rows.iter().map(|row| row.budget.value).fold(0.0, f64::max);
    if let Some(beyond) = beyond_kilogram(largest_gf) {
        warnings.push(format!(
            "the largest force, {}, is {beyond}",
            gf(largest_gf)
        ));
    }
    let budgets: Vec<Budget> = rows.iter().map(|row| row.budget.clone()).collect();
    let budget = force_budget(&budgets);
    let measurement = if shape.is_some_and(|shape| shape.has_readings) {
        table.add_bench(rig, &budget)?;
        if let Some(levels) = levels
            && !table.remarks.iter().any(|(key, ..)| key == "levels")
        {
            let _ = writeln!(table.out, "# levels = {levels}");
        }
        let options = ReadOptions {
            levels,
            ..ReadOptions::default()
        };
        parse_measurement(&file, table.out.as_bytes(), &options)
            .map_err(|error| table.as_found(&error))?;
        Some(table.out)
    } else {
        None
    };
    Ok(Converted {
        rows,
        budget,
        measurement,
        warnings,
    })
}

/// What was hung that the rig does not list; of a rig that lists nothing, nothing is said.
fn unlisted_mass(placed: &Placement, rig: &Rig) -> Option<String> {
    let listed = &rig.lever.as_ref()?.masses_g;
    let Placement::Masses(hung) = placed else {
        return None;
    };
    if listed.is_empty() {
        return None;
    }
    let mut left = listed.clone();
    for one in hung {
        match left
            .iter()
            .position(|mass| (mass - one.mass_g).abs() < 1e-6)
        {
            Some(index) => {
                left.swap_remove(index);
            }
            None => {
                return Some(format!(
                    "{} g hangs, which the rig's masses_g does not list (or not so often)",
                    one.mass_g
                ));
            }
        }
    }
    None
}
