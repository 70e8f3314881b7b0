//! Reading a measurement from a table.

use evenhand_text::{
    Cell, Fault, Faults, Place, ReadAs, Remark, Remedy, Row, Setting, Table, TableFile, clean,
    folded, quoted, words,
};

use crate::columns::{Column, FORCE_UNITS, OUTPUTS_MEASURED, SAMPLES};
use crate::measurement::{Direction, ForceActs, ForceBudget, Measurement, ReadAt, Sample, Seating};
use crate::read::{MOST_LEVELS, MOST_SAMPLES, ReadOptions};
use crate::selection::Wanted;
use crate::unit::{ForceUnit, ReadingUnit};

/// A row whose numbers are still in the units of their columns.
struct Raw {
    force: f64,
    force_place: Place,
    reading: f64,
    reading_place: Place,
    seating: i64,
    direction: Option<Direction>,
    line: usize,
}

/// A measurement from a table, the samples it asks to exclude, and how it was understood.
pub(crate) fn read(
    file: &TableFile,
    options: &ReadOptions,
) -> Result<(Measurement, Vec<Wanted>, ReadAs), Faults> {
    let spec = if options.outputs {
        &OUTPUTS_MEASURED
    } else {
        &SAMPLES
    };
    let mut table = Table::read(file, spec, &options.columns)?;
    let force = table.needed(Column::Force);
    let reading = table.needed(Column::Reading);
    let mut measurement = Measurement::default();
    let mut exclude = Vec::new();
    let mut seatings = Vec::new();
    for remark in table.remarks().to_vec() {
        match remark.key {
            "exclude" => match excluded(&remark) {
                Ok(wanted) => exclude.extend(wanted),
                Err(fault) => table.fault(*fault),
            },
            "seating" => match seating(&remark) {
                Ok(number) => seatings.push((remark.place, number)),
                Err(fault) => table.fault(*fault),
            },
            _ => {
                if let Err(fault) = take(&remark, &mut measurement) {
                    table.fault(*fault);
                }
            }
        }
    }
    if table.column(Column::Seating).is_some()
        && let Some((place, _)) = seatings.first()
    {
        table.fault(Fault::at(
            place.clone(),
            "a remark that begins a seating beside a column of seatings",
            "",
            "keep one of them",
        ));
    }
    measurement.stylus.levels = measurement.stylus.levels.or(options.levels);
    let (Some(force), Some(reading)) = (force, reading) else {
        // Without its columns nothing of a row can be told.
        return Err(failed(table));
    };
    let mut rows = Vec::new();
    for row in table.rows() {
        if rows.len() == MOST_SAMPLES {
            table.fault(Fault::at(
                row.place(),
                format!("more than {MOST_SAMPLES} samples"),
                "",
                "a bench has tens or hundreds of samples; keep one for each applied force",
            ));
            break;
        }
        let Some(cells) = table.cells(&row) else {
            continue;
        };
        rows.extend(raw(&mut table, &row, &cells, [force, reading], &seatings));
    }
    let units = units(&mut table, force, reading);
    if rows.is_empty() && !table.has_faults() {
        table.fault(Fault::at(
            table.header_line(),
            "a header and no samples",
            "",
            "write one line for each sample below it",
        ));
    }
    let Some((force_unit, reading_unit)) = units else {
        return Err(failed(table));
    };
    if reading_unit == ReadingUnit::Raw && measurement.stylus.levels.is_none() {
        table.fault(Fault::at(
            table.header_place(reading),
            "raw readings without a number of levels",
            "",
            Remedy::from("add a line # levels = 8192, with your stylus's number")
                .or_set(Setting::Levels),
        ));
        return Err(failed(table));
    }
    measurement.bench.force_unit = force_unit;
    measurement.bench.reading_unit = reading_unit;
    for row in rows {
        add(&mut table, &mut measurement, row);
    }
    if options.outputs {
        measurement.labels = table.labels().clone();
    } else {
        take_labels(&mut table, &mut measurement);
    }
    let read_as = table.finish()?;
    Ok((measurement, exclude, read_as))
}

fn failed(mut table: Table<'_, Column>) -> Faults {
    if !table.has_faults() {
        table.fault(Fault::of_file("the table lacks what it needs", ""));
    }
    let name = table.file_name().to_owned();
    match table.finish() {
        Err(faults) => faults,
        Ok(_) => Faults::one(&name, Fault::of_file("the table lacks what it needs", "")),
    }
}

fn raw<'t>(
    table: &mut Table<'t, Column>,
    row: &Row<'t>,
    cells: &[Cell<'t>],
    [force, reading]: [usize; 2],
    seatings: &[(Place, i64)],
) -> Option<Raw> {
    let number = match table.column(Column::Seating) {
        Some(column) => table.whole(row, cells, column),
        None => {
            let began = seatings.iter().rfind(|(place, _)| place.line < row.line());
            Some(began.map_or(1, |(_, number)| *number))
        }
    };
    let direction = match table.column(Column::Direction).map(|column| &cells[column]) {
        None => Some(None),
        Some(cell) if cell.is_blank() => Some(None),
        Some(cell) => match Direction::from_word(&cell.text.to_lowercase()) {
            Some(direction) => Some(Some(direction)),
            None => {
                table.fault(Fault::at(
                    row.place_of(cell),
                    quoted(&cell.text),
                    "a direction",
                    "write loading or unloading",
                ));
                None
            }
        },
    };
    let force_value = table.number(row, cells, force);
    let reading_value = table.number(row, cells, reading);
    Some(Raw {
        force: force_value?,
        force_place: row.place_of(&cells[force]),
        reading: reading_value?,
        reading_place: row.place_of(&cells[reading]),
        seating: number?,
        direction: direction?,
        line: row.line(),
    })
}

fn units(
    table: &mut Table<'_, Column>,
    force: usize,
    reading: usize,
) -> Option<(ForceUnit, ReadingUnit)> {
    let force = table.unit(force).and_then(ForceUnit::from_word);
    let reading = table.unit(reading).and_then(ReadingUnit::from_word);
    Some((force?, reading?))
}

fn add(table: &mut Table<'_, Column>, measurement: &mut Measurement, row: Raw) {
    if row.force < 0.0 {
        table.fault(Fault::at(
            row.force_place.clone(),
            format!("a negative force, {}", row.force),
            "",
            "write the force pressing the nib as a positive number",
        ));
    }
    let unit = measurement.bench.reading_unit;
    let reading = match fraction(row.reading, unit, measurement.stylus.levels) {
        Ok(reading) => reading,
        Err((found, remedy)) => {
            table.fault(Fault::at(row.reading_place, found, "", remedy));
            return;
        }
    };
    let seating = measurement
        .seatings
        .iter()
        .position(|seating| seating.index == row.seating)
        .unwrap_or_else(|| {
            measurement.seatings.push(Seating {
                index: row.seating,
                direction: None,
            });
            measurement.seatings.len() - 1
        });
    measurement.samples.push(Sample {
        force: measurement.bench.force_unit.force(row.force),
        reading,
        seating,
        direction: row.direction,
        line: row.line,
    });
}

/// A written reading as a fraction of full scale; counts need the number of levels.
///
/// # Errors
/// A reading below 0 or above full scale, and a count that is not whole: what was found and what to write.
pub fn fraction(
    value: f64,
    unit: ReadingUnit,
    levels: Option<u32>,
) -> Result<f64, (String, String)> {
    let full = unit.full(levels);
    if value < 0.0 {
        let remedy = "write readings from 0 up".to_owned();
        return Err((format!("a negative reading, {value}"), remedy));
    }
    if unit == ReadingUnit::Raw && value.fract() != 0.0 {
        let remedy = "write whole counts, or say that readings are percent or fractions".to_owned();
        return Err((format!("the raw reading {value}"), remedy));
    }
    if value > full {
        let remedy = match unit {
            ReadingUnit::Percent => "write percent from 0 to 100".to_owned(),
            ReadingUnit::Fraction if value <= 100.0 => {
                "write fractions from 0 to 1, or say that readings are percent".to_owned()
            }
            ReadingUnit::Fraction => {
                "write fractions from 0 to 1, or say that readings are raw and give their levels"
                    .to_owned()
            }
            ReadingUnit::Raw => format!(
                "raw readings run from 0 to levels − 1, here {full}; check the number of levels"
            ),
        };
        let found = format!("a reading of {value}, above the full scale of {full}");
        return Err((found, remedy));
    }
    Ok(value / full)
}

/// Checks a remark of a table of samples by itself.
///
/// # Errors
/// A value that its key cannot have.
pub fn check_remark(remark: &Remark) -> Result<(), Box<Fault>> {
    match remark.key {
        "exclude" => excluded(remark).map(|_| ()),
        "seating" => seating(remark).map(|_| ()),
        _ => take(remark, &mut Measurement::default()),
    }
}

/// The number of the seating that begins with a remark.
fn seating(remark: &Remark) -> Result<i64, Box<Fault>> {
    remark.value.parse().map_err(|_| {
        Box::new(Fault::at(
            remark.place.clone(),
            quoted(&remark.value),
            "the number of a seating",
            "write a whole number, such as # seating = 2",
        ))
    })
}

/// The samples that `exclude = 12, 17` names.
fn excluded(remark: &Remark) -> Result<Vec<Wanted>, Box<Fault>> {
    remark
        .value
        .split(',')
        .map(|part| match part.parse() {
            Ok(place) => Ok(Wanted {
                place,
                at: Some(remark.place.clone()),
            }),
            Err(_) => Err(Box::new(Fault::at(
                remark.place.clone(),
                quoted(part.trim()),
                "the line of a sample",
                "write the lines of the samples, such as # exclude = 12, 17",
            ))),
        })
        .collect()
}

/// Takes a remark that counts once.
fn take(remark: &Remark, measurement: &mut Measurement) -> Result<(), Box<Fault>> {
    let Measurement { stylus, bench, .. } = measurement;
    let value = remark.value.as_str();
    let wrong = |expected: &str, remedy: String| {
        Box::new(Fault::at(
            remark.place.clone(),
            format!("{} = {}", remark.key, quoted(value)),
            expected,
            remedy,
        ))
    };
    let text = || Some(clean(value)).filter(|value| !value.is_empty());
    match remark.key {
        "model" => stylus.model = text(),
        "unit" => {
            let name = folded(value);
            if FORCE_UNITS.iter().any(|(unit, _)| *unit == name) {
                return Err(wrong(
                    "which stylus of its model it is",
                    "name the unit of forces in the header, such as force_n; # unit = 02 names a stylus"
                        .to_owned(),
                ));
            }
            stylus.unit = text();
        }
        "bench" => bench.name = text(),
        "date" => bench.date = text(),
        "lever" => bench.lever = text(),
        "notes" => bench.notes = text(),
        "levels" => match value.parse::<u32>() {
            Ok(levels) if (2..=MOST_LEVELS).contains(&levels) => stylus.levels = Some(levels),
            _ => {
                return Err(wrong(
                    "a number of levels",
                    format!(
                        "write a whole number from 2 to {MOST_LEVELS}, such as # levels = 8192"
                    ),
                ));
            }
        },
        "force_acts" => match ForceActs::from_word(value) {
            Some(acts) => bench.force_acts = Some(acts),
            None => {
                return Err(wrong(
                    "along-stylus or on-surface",
                    "write # force_acts = along-stylus, or on-surface with the tilt in degrees"
                        .to_owned(),
                ));
            }
        },
        "read_at" => match ReadAt::from_word(value) {
            Some(read_at) => bench.read_at = Some(read_at),
            None => {
                return Err(wrong(
                    "device, browser or program",
                    "write where readings were taken: # read_at = device".to_owned(),
                ));
            }
        },
        "tilt_deg" => match value.parse::<f64>() {
            Ok(tilt) if tilt.is_finite() => bench.tilt_deg = Some(tilt),
            _ => {
                return Err(wrong(
                    "a tilt",
                    "write degrees as a number, such as # tilt_deg = 30".to_owned(),
                ));
            }
        },
        key => match value.parse::<f64>() {
            Ok(figure) if ForceBudget::accepts(key, figure) => {
                bench.budget.get_or_insert_default().set(key, figure);
            }
            _ => {
                return Err(wrong(
                    "a standard uncertainty",
                    format!("write a number, such as # {key} = 0.002"),
                ));
            }
        },
    }
    Ok(())
}

/// Words of a key whose value could be meant as the unit of forces.
const UNIT_KEYS: &[&str] = &[
    "force", "forces", "unit", "units", "weight", "weights", "mass", "load",
];

/// Whether a remark with a key of the writer's own says a unit of force, which only a header can.
#[must_use]
pub fn names_force_unit(key: &str, value: &str) -> bool {
    let name = folded(value);
    let mut words = words(key).into_iter();
    words.any(|word| UNIT_KEYS.contains(&word.as_str()))
        && FORCE_UNITS.iter().any(|(unit, _)| *unit == name)
}

/// Keeps remarks with keys of one's own; one that gives a unit of force says what only the header can.
fn take_labels(table: &mut Table<'_, Column>, measurement: &mut Measurement) {
    let labels = table.labels().clone();
    for (key, value) in &labels {
        if names_force_unit(key, value) {
            table.fault(Fault::at(
                table.header_line(),
                format!(
                    "the remark {key} = {}, which would change nothing",
                    quoted(value)
                ),
                "",
                "name the unit of forces in the header, such as force_n or Force (N)",
            ));
        }
    }
    measurement.labels = labels;
}
