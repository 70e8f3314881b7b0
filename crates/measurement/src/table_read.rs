//! Reading a measurement from a table.

use evenhand_text::{Cell, Fault, Faults, Place, ReadAs, Row, Table, TableFile};

use crate::columns::{Column, OUTPUTS_MEASURED, SAMPLES};
use crate::measurement::{Direction, Measurement, Sample, Seating};
use crate::options::{MOST_SAMPLES, ReadOptions};
use crate::remarks::{excluded, seating, take};
use crate::sample_table::{
    UNIT_IN_HEADER, direction, missing_levels, refuse_two_seatings, refuse_unit_labels,
};
use crate::selection::SampleRequest;
use crate::unit::{ForceUnit, ReadingUnit, reading_fraction};

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
) -> Result<(Measurement, Vec<SampleRequest>, ReadAs), Faults> {
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
    let remark = seatings.first().map(|(place, _)| place.clone());
    refuse_two_seatings(&mut table, Column::Seating, remark);
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
        table.fault(missing_levels(table.header_place(reading)));
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
        refuse_unit_labels(&mut table, UNIT_IN_HEADER);
        measurement.labels = table.labels().clone();
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
    let direction = direction(table, row, cells, Column::Direction);
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
    let reading = match reading_fraction(row.reading, unit, measurement.stylus.levels) {
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
