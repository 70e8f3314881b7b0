//! Tables of loads: what was placed on a bench, line by line, with what was read there perhaps.

use evenhand_bench::{BENCH_KEYS, BenchError, Budget, Load, LoadNumber, Rig};
use evenhand_measurement::{
    Direction, MOST_LEVELS, MOST_SAMPLES, ReadingUnit, SAMPLE_REMARKS, check_remark, direction,
    direction_column, missing_levels, reading_column, reading_fraction, refuse_two_seatings,
    refuse_unit_labels, seating_column,
};
use evenhand_text::{
    Cell, Fault, NoNumber, Place, Quantity, Row, Table, TableSpec, folded, quoted, written_number,
};

/// A number of levels as it could be.
const USUAL_LEVELS: u32 = 8192;

/// What a column holds, or a number inside of a cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Column {
    Load,
    /// The arm behind the `@` of a mass.
    Arm,
    Reading,
    Seating,
    Direction,
}

const LOAD_UNITS: &[(&str, &str)] = &[
    ("g", "g"),
    ("gram", "g"),
    ("grams", "g"),
    ("n", "n"),
    ("newton", "n"),
    ("newtons", "n"),
];
const ARM_UNITS: &[(&str, &str)] = &[("mm", "mm")];
const FORCES: &str = "name it load where it holds masses or what a scale or gauge showed; forces are a measurement and need no converting";

pub(crate) const SPEC: TableSpec<Column> = TableSpec {
    quantities: &[
        Quantity {
            kind: Column::Load,
            meaning: "load",
            columns: &[("load", ""), ("placed", "")],
            words: &["load", "loads", "placed"],
            units: LOAD_UNITS,
            is_unitless: true,
            is_essential: true,
        },
        Quantity {
            units: ARM_UNITS,
            ..Quantity::plain(Column::Arm, "arm", &[])
        },
        reading_column(Column::Reading),
        seating_column(Column::Seating),
        direction_column(Column::Direction),
    ],
    remarks: SAMPLE_REMARKS,
    refused_columns: &[(
        &[
            "forcegf", "forcen", "forcemn", "force", "massg", "mass", "masses", "massesg",
            "weight", "weightg", "weights", "weightsg",
        ],
        FORCES,
    )],
    example: "load,reported_percent",
};

pub(crate) type LoadTable<'t> = Table<'t, Column>;

/// A row of the table.
pub(crate) struct LoadRow<'r> {
    /// Its line, from 1.
    pub(crate) line: usize,
    /// Where it stands.
    pub(crate) place: Place,
    /// The load, as written.
    pub(crate) written: String,
    /// The load.
    pub(crate) load: Load<'r>,
    /// The force in gf with its budget.
    pub(crate) budget: Budget,
    /// The reading in the unit of its column.
    pub(crate) reading: Option<f64>,
    /// The number of its seating, where the table says it.
    pub(crate) seating: Option<i64>,
    /// Whether the force was raised or lowered, where the table says it.
    pub(crate) direction: Option<Direction>,
}

/// What a table of loads holds.
pub(crate) struct Loads<'r> {
    /// The rows, in the order of the file.
    pub(crate) rows: Vec<LoadRow<'r>>,
    /// What its columns hold, in the order of the file.
    pub(crate) columns: Vec<Column>,
    /// The unit of the readings.
    pub(crate) reading_unit: Option<ReadingUnit>,
    /// Number of levels, where it is known.
    pub(crate) levels: Option<u32>,
}

/// Reads the rows of a table; what is wrong with them is kept in the table.
pub(crate) fn read<'r>(table: &mut LoadTable<'_>, rig: &'r Rig, levels: Option<u32>) -> Loads<'r> {
    let levels = table.count("levels", &(2..=MOST_LEVELS), USUAL_LEVELS, levels);
    refuse_unit_labels(
        table,
        "name the unit of loads in the header, such as load (g)",
    );
    let load = table.needed(Column::Load);
    if let Some(load) = load {
        check_unit(table, load, rig);
    }
    table.assume_unit(Column::Load, rig.load_unit());
    table.assume_unit(Column::Arm, "mm");
    let seatings = seatings(table);
    let mut rows = Vec::new();
    // Of every row, also where its load is wrong.
    let mut readings = Vec::new();
    let mut count = 0;
    for row in table.rows() {
        if table.is_hopeless() {
            break;
        }
        if count == MOST_SAMPLES {
            table.fault(Fault::at(
                row.place(),
                format!("more than {MOST_SAMPLES} loads"),
                "",
                "a bench has tens or hundreds of samples; keep one for each load",
            ));
            break;
        }
        count += 1;
        if let Some(cells) = table.cells(&row) {
            if let Some(at) = table.column(Column::Reading) {
                let reading = table.number(&row, &cells, at);
                readings.push((reading, row.place_of(&cells[at])));
            }
            let reading = readings.last().map(|(reading, _)| *reading);
            rows.extend(load_row(table, &row, &cells, reading, rig, &seatings));
        }
    }
    if count == 0 && !table.has_faults() {
        table.fault(Fault::at(
            table.header_line(),
            "a header and nothing placed below it",
            "",
            "write one line for each load",
        ));
    }
    let reading_unit = reading_unit(table, &readings, levels);
    let mut columns: Vec<(usize, Column)> = [
        Column::Load,
        Column::Reading,
        Column::Seating,
        Column::Direction,
    ]
    .into_iter()
    .filter_map(|kind| Some((table.column(kind)?, kind)))
    .collect();
    columns.sort_by_key(|(at, _)| *at);
    Loads {
        rows,
        columns: columns.into_iter().map(|(_, kind)| kind).collect(),
        reading_unit,
        levels,
    }
}

fn load_row<'t, 'r>(
    table: &mut LoadTable<'t>,
    row: &Row<'t>,
    cells: &[Cell<'t>],
    reading: Option<Option<f64>>,
    rig: &'r Rig,
    seatings: &[(usize, i64)],
) -> Option<LoadRow<'r>> {
    let at = table.column(Column::Load);
    // Every cell is looked at, so that all that is wrong is told.
    let placed = at.map(|at| placed(table, row, &cells[at], rig));
    let seating = match table.column(Column::Seating) {
        Some(at) => Some(table.whole(row, cells, at)),
        None => seatings
            .iter()
            .rfind(|(line, _)| *line < row.line())
            .map(|(_, number)| Some(*number)),
    };
    let direction = direction(table, row, cells, Column::Direction);
    let (load, budget) = placed??;
    if reading == Some(None) || seating == Some(None) {
        return None;
    }
    Some(LoadRow {
        line: row.line(),
        place: row.place(),
        written: cells[at?].text.to_string(),
        load,
        budget,
        reading: reading.flatten(),
        seating: seating.flatten(),
        direction: direction?,
    })
}

/// The load in a cell with the force it makes.
fn placed<'t, 'r>(
    table: &mut LoadTable<'t>,
    row: &Row<'t>,
    cell: &Cell<'t>,
    rig: &'r Rig,
) -> Option<(Load<'r>, Budget)> {
    let found: Result<Load<'r>, Option<BenchError>> = rig.load_with(&cell.text, |word, what| {
        let (kind, unit, units) = match what {
            LoadNumber::Arm => (Column::Arm, "mm", ARM_UNITS),
            LoadNumber::Mass | LoadNumber::Shown => (Column::Load, rig.load_unit(), LOAD_UNITS),
        };
        let is_of_unit =
            |suffix: &str| suffix.is_empty() || units.contains(&(folded(suffix).as_str(), unit));
        match written_number(word, true) {
            Ok(number) if !is_of_unit(number.suffix) => Err(Some(rig.invalid_load(&cell.text))),
            // What is no number at all is told by how loads are written.
            Err(NoNumber::Empty | NoNumber::NotANumber) => Err(Some(rig.invalid_load(&cell.text))),
            _ => table.part(row, cell, word, kind).ok_or(None),
        }
    });
    let load = match found {
        Ok(load) => load,
        Err(error) => {
            if let Some(error) = error {
                let (place, found) = (row.place_of(cell), quoted(&cell.text));
                table.fault(Fault::at(place, found, "a load", error.help()));
            }
            return None;
        }
    };
    let budget = load.force();
    if budget.value.is_finite() && budget.value >= 0.0 {
        return Some((load, budget));
    }
    table.fault(Fault::at(
        row.place_of(cell),
        format!(
            "{}, which gives a force of {:.2} gf, away from the nib",
            quoted(&cell.text),
            budget.value
        ),
        "",
        "correct the beam's moment or the calibration in the rig",
    ));
    None
}

/// The lines at which remarks begin a seating, with its number.
fn seatings(table: &mut LoadTable<'_>) -> Vec<(usize, i64)> {
    let remarks = table.remarks().to_vec();
    let mut begun = Vec::new();
    // What the bench says of itself is compared with the rig, and levels were read.
    let is_known = |key: &str| key == "levels" || BENCH_KEYS.contains(&key);
    for remark in remarks.iter().filter(|remark| !is_known(remark.key)) {
        match check_remark(remark) {
            Err(fault) => table.fault(*fault),
            Ok(()) if remark.key == "seating" => {
                let number = remark.value.parse().unwrap_or_default();
                begun.push((remark.place.line, number));
            }
            Ok(()) => {}
        }
    }
    let first = remarks.iter().find(|remark| remark.key == "seating");
    let first = first.map(|remark| remark.place.clone());
    refuse_two_seatings(table, Column::Seating, first);
    begun
}

fn check_unit(table: &mut LoadTable<'_>, load: usize, rig: &Rig) {
    let wanted = rig.load_unit();
    let word = |unit: &str| if unit == "n" { "N" } else { "g" };
    if let Some(unit) = table.header_unit(load)
        && unit != wanted
    {
        table.fault(Fault::at(
            table.header_place(load),
            format!(
                "loads in {}, but this rig's are in {}",
                word(unit),
                word(wanted)
            ),
            "",
            format!(
                "write loads in {}, or give the rig that they were placed on",
                word(wanted)
            ),
        ));
    }
}

/// The unit of the readings, each of which must lie on its scale.
fn reading_unit(
    table: &mut LoadTable<'_>,
    readings: &[(Option<f64>, Place)],
    levels: Option<u32>,
) -> Option<ReadingUnit> {
    let at = table.column(Column::Reading)?;
    let unit = table.unit(at).and_then(ReadingUnit::from_word)?;
    if unit == ReadingUnit::Raw && levels.is_none() {
        if table.remark("levels").is_none() {
            table.fault(missing_levels(table.header_place(at)));
        }
        return Some(unit);
    }
    for (value, place) in readings {
        if let Some(value) = value
            && let Err((found, remedy)) = reading_fraction(*value, unit, levels)
        {
            table.fault(Fault::at(place.clone(), found, "", remedy));
        }
    }
    Some(unit)
}
