//! From what was placed on a bench to a measurement with its uncertainty budget.

use std::path::Path;

use evenhand_bench::{Budget, Rig, bench_remarks, beyond_kilogram, force_budget};
use evenhand_measurement::ForceBudget;
use evenhand_text::{Fault, ReadAs, Table, TableFile, folded, gf, quoted, read_bytes};

use crate::converted_table::Plain;
use crate::failure::Failure;
use crate::loads::{self, LoadRow, LoadTable, Loads, SPEC};

/// A table larger than this is none.
const MOST_BYTES: u64 = 4 << 20;
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
    /// How the table was understood.
    pub read_as: ReadAs,
}

/// Turns a table of loads into forces, and into a measurement in its plain form where it has readings: lines stay
/// where they are, with separators and decimal marks as the table has them. `levels` is the number of levels as it
/// was set, which may not differ from the table's own; `sheet` is that of a spreadsheet, `columns` are those to read
/// where several are of one kind.
///
/// # Errors
/// Everything that is wrong with the table: loads that the rig cannot take, remarks that contradict it, and readings
/// that no measurement has.
pub fn converted(
    path: &Path,
    rig: &Rig,
    levels: Option<u32>,
    sheet: Option<&str>,
    columns: &[String],
) -> Result<Converted, Failure> {
    let name = path.display().to_string();
    let bytes = read_bytes(path, "a table of loads", MOST_BYTES)?;
    let file = TableFile::parse(&name, &bytes, sheet, SPEC.example)?;
    let mut table = Table::read(&file, &SPEC, columns)?;
    let loads = loads::read(&mut table, rig, levels);
    let budgets: Vec<Budget> = loads.rows.iter().map(|row| row.budget.clone()).collect();
    let budget = force_budget(&budgets);
    let bench = bench_remarks(rig, &budget);
    check_bench(&mut table, &bench);
    let plain = match loads.reading_unit {
        Some(unit) if !table.has_faults() => Some(Plain::of(&table, &loads, unit, &bench)),
        _ => None,
    };
    let read_as = table.finish()?;
    if let Some(plain) = &plain
        && let Some(faults) = file.faults(plain.faults(&loads))
    {
        return Err(faults.into());
    }
    Ok(Converted {
        warnings: warnings(rig, &loads),
        rows: loads.rows.into_iter().map(ConvertedRow::from).collect(),
        budget,
        measurement: plain.map(|plain| plain.text),
        read_as,
    })
}

impl From<LoadRow<'_>> for ConvertedRow {
    fn from(row: LoadRow<'_>) -> Self {
        Self {
            line: row.line,
            placed: row.written,
            budget: row.budget,
        }
    }
}

/// Refuses remarks that say another thing of the bench than the rig does.
fn check_bench(table: &mut LoadTable<'_>, bench: &[(&'static str, String)]) {
    for remark in table.remarks().to_vec() {
        let said = bench.iter().find(|(key, _)| *key == remark.key);
        let Some((key, value)) = said else { continue };
        // How the lever is described is the owner's own affair.
        if *key == "lever" || is_same(&remark.value, value) {
            continue;
        }
        table.fault(Fault::at(
            remark.place,
            format!(
                "{key} = {}, but the rig says {value}",
                quoted(&remark.value)
            ),
            "",
            "delete the line, or give the rig that this was placed on",
        ));
    }
}

fn is_same(found: &str, value: &str) -> bool {
    let number = |text: &str| text.parse::<f64>().ok();
    match (number(found), number(value)) {
        (Some(found), Some(value)) => found == value,
        _ => folded(found) == folded(value),
    }
}

fn warnings(rig: &Rig, loads: &Loads<'_>) -> Vec<String> {
    let mut warnings: Vec<String> = rig.notes().iter().map(ToString::to_string).collect();
    let mut unlisted: Vec<String> = loads
        .rows
        .iter()
        .filter_map(|row| {
            let mass_g = row.load.unlisted_mass_g()?;
            Some(format!(
                "line {}: {mass_g} g hangs, which the rig's masses_g does not list (or not so often)",
                row.line
            ))
        })
        .collect();
    let more = unlisted.len().saturating_sub(MOST_WARNINGS);
    unlisted.truncate(MOST_WARNINGS);
    warnings.append(&mut unlisted);
    if more > 0 {
        warnings.push(format!(
            "{more} more placements hold masses that the rig does not list"
        ));
    }
    let forces = loads.rows.iter().map(|row| row.budget.value);
    let largest_gf = forces.fold(0.0, f64::max);
    if let Some(beyond) = beyond_kilogram(largest_gf) {
        warnings.push(format!(
            "the largest force, {}, is {beyond}",
            gf(largest_gf)
        ));
    }
    warnings
}
