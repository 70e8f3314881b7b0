//! Recordings as tables: a line for each point.

use std::ops::Range;

use evenhand_measurement::{
    DecimalMark, ForceUnit, MOST_LEVELS, ReadingUnit, TableCell, table_cells, table_lines,
    table_separator, written_number,
};

use crate::error::RecordingError;
use crate::stroke::{Pressing, Stroke, StrokePoint, Strokes, runs};

/// More points than this are refused.
const MOST_POINTS: usize = 5_000_000;
/// Time steps this long in a column of seconds are milliseconds, or no recording of a hand.
const LONG_STEP_S: f64 = 0.5;

const KNOWN: &str = "x and y, t_s or t_ms, stroke, and one of reported_percent, reported, reported_raw, force_gf, force_n, force_mn";

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Column {
    X,
    Y,
    /// Seconds in its unit.
    Time(f64),
    Stroke,
    Reading(ReadingUnit),
    Force(ForceUnit),
}

/// Reads a recording from a table: a header that names the columns, then a line for each point in order of
/// time. `x` and `y` (or `x_mm`, `y_mm`) are places, to the right and downwards; `t_s` or `t_ms` times
/// (`t` is taken as seconds); the press is a reading or a force, named as in a measurement; `stroke` is a
/// number that changes from stroke to stroke. Comments, separators and decimal commas are as in a
/// measurement.
///
/// # Errors
/// A header without a press, an unknown column, a cell that is no such value, times that run backwards
/// within a stroke, and a table without a stroke.
pub fn read_stroke_table(text: &str, levels: Option<u32>) -> Result<Strokes, RecordingError> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut levels = levels;
    let mut rows = Vec::new();
    for (line, span) in table_lines(text) {
        let trimmed = line.trim_start();
        if let Some(comment) = trimmed.strip_prefix('#') {
            levels = told_levels(comment, &span)?.or(levels);
        } else if !trimmed.is_empty() {
            rows.push((line, span));
        }
    }
    let mut rows = rows.into_iter();
    let Some((header, place)) = rows.next() else {
        return Err(RecordingError::new(
            "a table without a header",
            "write a header such as x,y,t_s,reported_percent",
            0..text.len(),
        ));
    };
    let separator = table_separator(header);
    let head_place = place.clone();
    let head = split(header, separator, &place)?;
    let columns = columns(&head, &place)?;
    let pressing = columns.iter().find_map(|column| match column {
        Column::Reading(_) => Some(Pressing::Reading),
        Column::Force(_) => Some(Pressing::ForceGf),
        _ => None,
    });
    let Some(pressing) = pressing else {
        return Err(RecordingError::new(
            "a header without a reading or a force",
            format!("name the columns: {KNOWN}"),
            place,
        ));
    };
    if columns.contains(&Column::Reading(ReadingUnit::Raw)) && levels.is_none() {
        return Err(RecordingError::new(
            "raw readings without a number of levels",
            "add a line `# levels = 8192` (with your stylus's number of levels), or give --levels",
            place,
        ));
    }
    let mut table = Table {
        columns: &columns,
        separator,
        levels,
        decimal: None,
    };
    let numbered = columns.contains(&Column::Stroke);
    let mut points: Vec<(Option<i64>, StrokePoint)> = Vec::new();
    for (line, span) in rows {
        if points.len() == MOST_POINTS {
            return Err(RecordingError::new(
                format!("more than {MOST_POINTS} points"),
                "split the recording",
                span,
            ));
        }
        let row = table.row(line, &span)?;
        if let Some((number, before)) = points.last()
            && *number == row.0
            && let (Some(before), Some(now)) = (before.time_s, row.1.time_s)
            && now < before
        {
            return Err(RecordingError::new(
                format!("a time of {now} s after one of {before} s"),
                "write the points in order of time",
                span,
            ));
        }
        points.push(row);
    }
    let strokes = if numbered {
        grouped(&points)
    } else {
        runs(points.iter().map(|(_, point)| *point))
    };
    let strokes = Strokes {
        notes: notes(&points),
        strokes,
        pressing,
        levels: levels.filter(|_| pressing == Pressing::Reading),
        has_places: columns.contains(&Column::X) && columns.contains(&Column::Y),
        tells_touch: numbered,
    };
    if strokes.is_empty() {
        return Err(RecordingError::new(
            "a table without a point at which the nib touches",
            "record some strokes first",
            head_place,
        ));
    }
    Ok(strokes)
}

fn told_levels(comment: &str, span: &Range<usize>) -> Result<Option<u32>, RecordingError> {
    let Some((key, value)) = comment.split_once('=') else {
        return Ok(None);
    };
    if key.trim() != "levels" {
        return Ok(None);
    }
    match value.trim().parse::<u32>() {
        Ok(levels) if (2..=MOST_LEVELS).contains(&levels) => Ok(Some(levels)),
        _ => Err(RecordingError::new(
            format!("`{}` as the number of levels", value.trim()),
            "write a whole number from 2 to 16777216, such as # levels = 8192",
            span.clone(),
        )),
    }
}

fn split(
    line: &str,
    separator: char,
    span: &Range<usize>,
) -> Result<Vec<TableCell>, RecordingError> {
    table_cells(line, separator, span.start).map_err(|quote| {
        RecordingError::new(
            "a quote that is never closed",
            "close it in the same line",
            quote.span,
        )
    })
}

fn columns(head: &[TableCell], line: &Range<usize>) -> Result<Vec<Column>, RecordingError> {
    if head.iter().all(|(name, _)| name.parse::<f64>().is_ok()) {
        return Err(RecordingError::new(
            "numbers where the header should name the columns",
            "write a first line such as x,y,t_s,reported_percent",
            line.clone(),
        ));
    }
    let mut found: Vec<Column> = Vec::new();
    for (name, span) in head {
        let reading = ReadingUnit::ALL
            .into_iter()
            .find(|unit| unit.column() == name);
        let force = ForceUnit::ALL
            .into_iter()
            .find(|unit| unit.column() == name);
        let column = match (name.as_str(), reading, force) {
            ("x" | "x_mm", ..) => Column::X,
            ("y" | "y_mm", ..) => Column::Y,
            ("t" | "t_s", ..) => Column::Time(1.0),
            ("t_ms", ..) => Column::Time(1e-3),
            ("stroke", ..) => Column::Stroke,
            (_, Some(unit), _) => Column::Reading(unit),
            (_, _, Some(unit)) => Column::Force(unit),
            _ => {
                let help = if name.contains("force") {
                    "forces need their unit in the name: force_gf, force_n or force_mn".to_owned()
                } else {
                    format!("name the columns: {KNOWN}")
                };
                return Err(RecordingError::new(
                    format!("an unknown column `{name}`"),
                    help,
                    span.clone(),
                ));
            }
        };
        let kind = |column: &Column| match column {
            Column::Force(_) | Column::Reading(_) => 9,
            Column::X => 0,
            Column::Y => 1,
            Column::Time(_) => 2,
            Column::Stroke => 3,
        };
        if found.iter().any(|other| kind(other) == kind(&column)) {
            return Err(RecordingError::new(
                format!("a second column of the same kind, `{name}`"),
                "keep one place, one time and one reading or force",
                span.clone(),
            ));
        }
        found.push(column);
    }
    Ok(found)
}

struct Table<'a> {
    columns: &'a [Column],
    separator: char,
    levels: Option<u32>,
    decimal: Option<DecimalMark>,
}

impl Table<'_> {
    fn row(
        &mut self,
        line: &str,
        span: &Range<usize>,
    ) -> Result<(Option<i64>, StrokePoint), RecordingError> {
        let cells = split(line, self.separator, span)?;
        if cells.len() != self.columns.len() {
            return Err(RecordingError::new(
                format!("{} cells", cells.len()),
                format!(
                    "write {} cells, as many as the header has; decimal commas need semicolons or tabs between",
                    self.columns.len()
                ),
                span.clone(),
            ));
        }
        let mut number = None;
        let mut point = StrokePoint {
            x: 0.0,
            y: 0.0,
            time_s: None,
            press: 0.0,
        };
        for (column, cell) in self.columns.iter().zip(&cells) {
            if *column == Column::Stroke {
                let parsed = cell.0.parse::<i64>().map_err(|_| {
                    RecordingError::new(
                        format!("`{}` as the number of a stroke", cell.0),
                        "write a whole number",
                        cell.1.clone(),
                    )
                })?;
                number = Some(parsed);
                continue;
            }
            let value = self.number(cell)?;
            let outside = |help: &str| {
                Err(RecordingError::new(
                    format!("`{}`, outside its range", cell.0),
                    help,
                    cell.1.clone(),
                ))
            };
            match *column {
                Column::X => point.x = value,
                Column::Y => point.y = value,
                Column::Time(unit) => point.time_s = Some(value * unit),
                Column::Stroke => {}
                Column::Force(_) if value < 0.0 => {
                    return outside("write the force pressing the nib as a positive number");
                }
                Column::Force(unit) => point.press = unit.force(value).gf(),
                Column::Reading(unit) => {
                    let full = unit.full(self.levels);
                    if !(0.0..=full).contains(&value) {
                        return outside(&format!("write readings from 0 to {full}"));
                    }
                    point.press = value / full;
                }
            }
        }
        Ok((number, point))
    }

    fn number(&mut self, (cell, place): &TableCell) -> Result<f64, RecordingError> {
        let found = written_number(cell, self.separator != ',')
            .map_err(|wrong| RecordingError::new(wrong.message, wrong.help, place.clone()))?;
        match (self.decimal, found.mark) {
            (Some(first), Some(mark)) if first != mark => Err(RecordingError::new(
                format!("`{cell}` with another decimal mark than the cells before"),
                "write one decimal mark throughout and no thousands marks",
                place.clone(),
            )),
            (_, mark) => {
                self.decimal = self.decimal.or(mark);
                Ok(found.value)
            }
        }
    }
}

fn grouped(points: &[(Option<i64>, StrokePoint)]) -> Vec<Stroke> {
    points
        .chunk_by(|a, b| a.0 == b.0)
        .map(|part| Stroke {
            points: part.iter().map(|(_, point)| *point).collect(),
        })
        .collect()
}

fn notes(points: &[(Option<i64>, StrokePoint)]) -> Vec<String> {
    let mut steps: Vec<f64> = points
        .windows(2)
        .filter(|pair| pair[0].0 == pair[1].0)
        .filter_map(|pair| Some(pair[1].1.time_s? - pair[0].1.time_s?))
        .collect();
    steps.sort_by(f64::total_cmp);
    match steps.get(steps.len() / 2) {
        Some(step) if *step > LONG_STEP_S => vec![format!(
            "points lie {step} s apart: if these are milliseconds, name the column t_ms"
        )],
        _ => Vec::new(),
    }
}
