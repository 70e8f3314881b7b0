//! Reading a measurement from a table.

use std::ops::Range;

use crate::column::{Columns, columns};
use crate::csv_lines::{TableCell, table_cells, table_lines, table_separator};
use crate::measurement::{
    Bench, Direction, ForceActs, ForceBudget, Measurement, Sample, Seating, Stylus,
};
use crate::number::{DecimalMark, written_number};
use crate::read::{MOST_LEVELS, MOST_SAMPLES, ReadOptions};
use crate::read_error::ReadError;
use crate::selection::{SamplePlace, Wanted};
use crate::unit::ReadingUnit;

/// Where raw readings get their full scale from.
const LEVELS_HELP: &str =
    "add a line `# levels = 8192` (with your stylus's number of levels), or give --levels";

pub(crate) fn read(
    name: &str,
    text: &str,
    options: &ReadOptions,
) -> Result<(Measurement, Vec<Wanted>), ReadError> {
    let mut measurement = Measurement::default();
    let mut exclude = Vec::new();
    let mut remaining = Vec::new();
    for (number, (line, span)) in table_lines(text).enumerate() {
        let trimmed = line.trim_start();
        if let Some(comment) = trimmed.strip_prefix('#') {
            let at = span.end - comment.len()..span.end;
            let wrong = |(message, help)| ReadError::at(name, text, at.clone(), message, help);
            for place in excluded(comment).map_err(wrong)? {
                exclude.push(Wanted {
                    by: "exclude",
                    place,
                    span: Some(at.clone()),
                });
            }
            remark(comment, &mut measurement.stylus, &mut measurement.bench).map_err(wrong)?;
        } else if !trimmed.is_empty() {
            remaining.push((number + 1, line, span));
        }
    }
    let mut rows = remaining.into_iter();
    let Some((_, header, header_span)) = rows.next() else {
        return Err(ReadError::of_file(
            name,
            "the file holds comments only",
            "write a header such as force_gf,reported_percent and one line for each sample",
        ));
    };
    let mark = table_separator(header);
    let unclosed = |span| {
        ReadError::at(
            name,
            text,
            span,
            "a quote that is never closed",
            "close it in the same line",
        )
    };
    let head = table_cells(header, mark, header_span.start).map_err(|cell| unclosed(cell.span))?;
    let columns = columns(&head, &header_span, options.outputs)
        .map_err(|wrong| ReadError::at(name, text, wrong.span, wrong.message, wrong.help))?;
    let levels = measurement.stylus.levels.or(options.levels);
    measurement.stylus.levels = levels;
    measurement.bench.force_unit = columns.force.1;
    measurement.bench.reading_unit = columns.reading.1;
    if columns.reading.1 == ReadingUnit::Raw && levels.is_none() {
        let span = head[columns.reading.0].1.clone();
        let message = "raw readings without a number of levels";
        return Err(ReadError::at(name, text, span, message, LEVELS_HELP));
    }
    let mut table = Table {
        name,
        text,
        mark,
        columns,
        levels,
        decimal: None,
    };
    for (line, row, span) in rows {
        if measurement.samples.len() == MOST_SAMPLES {
            let message = format!("more than {MOST_SAMPLES} samples");
            return Err(ReadError::at(
                name,
                text,
                span,
                message,
                "a bench has tens or hundreds of samples; keep one for each force placed",
            ));
        }
        let found = table_cells(row, mark, span.start).map_err(|cell| unclosed(cell.span))?;
        table.row(&found, line, &span, &mut measurement)?;
    }
    if measurement.samples.is_empty() {
        return Err(ReadError::at(
            name,
            text,
            header_span,
            "a header and no samples",
            "write one line for each sample below it",
        ));
    }
    Ok((measurement, exclude))
}

/// The samples that `exclude = 12, 17` in a comment names.
fn excluded(comment: &str) -> Result<Vec<SamplePlace>, (String, String)> {
    // `# exclude: 12` or `# Excluded 12` would leave the sample in without a word.
    let lower = comment.trim().to_ascii_lowercase();
    if let Some(rest) = lower.strip_prefix("exclude") {
        let rest = rest.strip_prefix(['d', 's']).unwrap_or(rest);
        let digits = rest.contains(|c: char| c.is_ascii_digit());
        let only = rest
            .chars()
            .all(|c| c.is_ascii_digit() || " ,:=".contains(c));
        let known = comment
            .split_once('=')
            .is_some_and(|(key, _)| key.trim() == "exclude");
        if digits && only && !known {
            return Err((
                format!("found `{}`", comment.trim()),
                "write the lines of the samples, such as # exclude = 12, 17".to_owned(),
            ));
        }
    }
    match comment.split_once('=') {
        Some((key, value)) if key.trim() == "exclude" => value
            .split(',')
            .map(|part| {
                part.parse().map_err(|_| {
                    (
                        format!("found `{}` as a sample to exclude", part.trim()),
                        "write the lines of the samples, such as # exclude = 12, 17".to_owned(),
                    )
                })
            })
            .collect(),
        _ => Ok(Vec::new()),
    }
}

/// Takes `key = value` from a comment; other comments mean nothing.
fn remark(comment: &str, stylus: &mut Stylus, bench: &mut Bench) -> Result<(), (String, String)> {
    let Some((key, value)) = comment.split_once('=') else {
        return Ok(());
    };
    let value = value.trim().trim_matches('"');
    let text = || Some(value.to_owned()).filter(|value| !value.is_empty());
    match key.trim() {
        "model" => stylus.model = text(),
        "unit" => stylus.unit = text(),
        "bench" => bench.name = text(),
        "date" => bench.date = text(),
        "lever" => bench.lever = text(),
        "notes" => bench.notes = text(),
        "levels" => match value.parse::<u32>() {
            Ok(levels) if (2..=MOST_LEVELS).contains(&levels) => stylus.levels = Some(levels),
            _ => {
                return Err((
                    format!("`{value}` as the number of levels"),
                    "write a whole number from 2 to 16777216, such as # levels = 8192".to_owned(),
                ));
            }
        },
        "force_acts" => match ForceActs::from_word(value) {
            Some(acts) => bench.force_acts = acts,
            None => {
                return Err((
                    format!("`{value}` as the way the force acts"),
                    "write # force_acts = along-stylus, or on-surface with the tilt in degrees"
                        .to_owned(),
                ));
            }
        },
        "tilt_deg" => match value.parse::<f64>() {
            Ok(tilt) if tilt.is_finite() => bench.tilt_deg = Some(tilt),
            _ => {
                return Err((
                    format!("`{value}` as the tilt"),
                    "write degrees as a number, such as # tilt_deg = 30".to_owned(),
                ));
            }
        },
        key if ForceBudget::KEYS.contains(&key) => match value.parse::<f64>() {
            Ok(figure) if ForceBudget::accepts(key, figure) => {
                bench.budget.get_or_insert_default().set(key, figure);
            }
            _ => {
                return Err((
                    format!("`{value}` as {key}"),
                    format!("write a standard uncertainty, such as # {key} = 0.002"),
                ));
            }
        },
        _ => {}
    }
    Ok(())
}

/// A table while its rows are read.
struct Table<'a> {
    name: &'a str,
    text: &'a str,
    mark: char,
    columns: Columns,
    levels: Option<u32>,
    /// The decimal mark in use, and the line that showed it first.
    decimal: Option<(DecimalMark, usize)>,
}

impl Table<'_> {
    fn error(
        &self,
        span: &Range<usize>,
        message: impl std::fmt::Display,
        help: impl Into<String>,
    ) -> ReadError {
        ReadError::at(
            self.name,
            self.text,
            span.clone(),
            format!("found {message}"),
            help,
        )
    }

    fn row(
        &mut self,
        cells: &[TableCell],
        line: usize,
        span: &Range<usize>,
        measurement: &mut Measurement,
    ) -> Result<(), ReadError> {
        let wanted = self.columns.count;
        if cells.len() != wanted {
            let help = if self.mark == ',' && cells.len() > wanted {
                format!(
                    "write {wanted} cells; decimal commas need semicolons or tabs between the cells"
                )
            } else {
                format!("write {wanted} cells, as many as the header has")
            };
            return Err(self.error(span, format!("{} cells", cells.len()), help));
        }
        let (force_at, force_unit) = self.columns.force;
        let force = self.number(&cells[force_at], line)?;
        if force < 0.0 {
            return Err(self.error(
                &cells[force_at].1,
                format!("a negative force, {force}"),
                "write the force pressing the nib as a positive number",
            ));
        }
        let reading = self.reading(&cells[self.columns.reading.0], line)?;
        let number = match self.columns.seating {
            None => 1,
            Some(at) => {
                let (cell, place) = &cells[at];
                cell.parse::<i64>().map_err(|_| {
                    self.error(
                        place,
                        format!("`{cell}` as a seating"),
                        "write a whole number",
                    )
                })?
            }
        };
        let direction = match self.columns.direction.map(|at| &cells[at]) {
            None => None,
            Some((cell, _)) if cell.is_empty() => None,
            Some((cell, place)) => Some(Direction::from_word(cell).ok_or_else(|| {
                self.error(
                    place,
                    format!("`{cell}` as a direction"),
                    "write loading or unloading",
                )
            })?),
        };
        let seating = measurement.seatings.iter().position(|s| s.index == number);
        let seating = seating.unwrap_or_else(|| {
            measurement.seatings.push(Seating {
                index: number,
                direction: None,
            });
            measurement.seatings.len() - 1
        });
        let force = force_unit.force(force);
        measurement.samples.push(Sample {
            force,
            reading,
            seating,
            direction,
            line,
        });
        Ok(())
    }

    fn number(&mut self, (cell, place): &TableCell, line: usize) -> Result<f64, ReadError> {
        let found = written_number(cell, self.mark != ',')
            .map_err(|wrong| self.error(place, wrong.message, wrong.help))?;
        if let Some(mark) = found.mark {
            match self.decimal {
                None => self.decimal = Some((mark, line)),
                // 1.234 beside 5,6 may be a thousand: guessing could be wrong by that much.
                Some((first, from)) if first != mark => {
                    let (here, there) = match mark {
                        DecimalMark::Point => ("point", "comma"),
                        DecimalMark::Comma => ("comma", "point"),
                    };
                    return Err(self.error(
                        place,
                        format!(
                            "`{cell}` with a decimal {here}, but line {from} has a decimal {there}"
                        ),
                        "write one decimal mark throughout and no thousands marks",
                    ));
                }
                Some(_) => {}
            }
        }
        Ok(found.value)
    }

    /// A reading as a fraction of full scale.
    fn reading(&mut self, cell: &TableCell, line: usize) -> Result<f64, ReadError> {
        let unit = self.columns.reading.1;
        let value = self.number(cell, line)?;
        let full = unit.full(self.levels);
        if value < 0.0 {
            let help = "write readings from 0 up";
            return Err(self.error(&cell.1, format!("a negative reading, {value}"), help));
        }
        if unit == ReadingUnit::Raw && value.fract() != 0.0 {
            let help = "write whole counts, or name the column reported_percent or reported";
            return Err(self.error(&cell.1, format!("the raw reading {value}"), help));
        }
        if value > full {
            let help = match unit {
                ReadingUnit::Percent => "write percent from 0 to 100".to_owned(),
                ReadingUnit::Fraction if value <= 100.0 => {
                    "write fractions from 0 to 1, or name the column reported_percent".to_owned()
                }
                ReadingUnit::Fraction => {
                    "write fractions from 0 to 1, or name the column reported_raw and give its levels".to_owned()
                }
                ReadingUnit::Raw => {
                    format!("raw readings run from 0 to levels − 1, here {full}; check the number of levels")
                }
            };
            return Err(self.error(
                &cell.1,
                format!("a reading of {value}, above the full scale of {full}"),
                help,
            ));
        }
        Ok(value / full)
    }
}
