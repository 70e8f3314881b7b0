//! The plain form of a table of loads turned into forces.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use evenhand_measurement::{
    Direction, ReadOptions, ReadingUnit, SAMPLE_REMARKS, Sample, parse_measurement,
    reading_fraction, remark_line,
};
use evenhand_text::{DecimalMark, Fault, Place, TableLine, clean};

use crate::loads::{Column, LoadRow, LoadTable, Loads};

/// A measurement as it is written, with where its lines come from.
pub(crate) struct Plain {
    /// Its text.
    pub(crate) text: String,
    unit: ReadingUnit,
    /// Places of the table by their lines, which are those of the measurement.
    places: BTreeMap<usize, Place>,
}

/// How cells and lines are written.
struct Writer<'w> {
    columns: Vec<Column>,
    separator: char,
    mark: Option<DecimalMark>,
    unit: ReadingUnit,
    loads: &'w Loads<'w>,
}

impl Plain {
    /// Writes every line where the table has it: remarks, names of columns, forces and readings; below comes what
    /// the rig says of the bench and the table does not.
    pub(crate) fn of(
        table: &LoadTable<'_>,
        loads: &Loads<'_>,
        unit: ReadingUnit,
        bench: &[(&'static str, String)],
    ) -> Self {
        let mut columns = loads.columns.clone();
        let is_seated = loads.rows.iter().any(|row| row.seating.is_some());
        if is_seated && !columns.contains(&Column::Seating) {
            // Remarks between rows become a column.
            columns.push(Column::Seating);
        }
        let writer = Writer {
            columns,
            separator: table.separator(),
            mark: table.decimal_mark(),
            unit,
            loads,
        };
        let mut places = BTreeMap::from([(table.header_line().line, table.header_line())]);
        let known: BTreeMap<usize, String> = table
            .remarks()
            .iter()
            .map(|remark| {
                places.insert(remark.place.line, remark.place.clone());
                let said = bench
                    .iter()
                    .find(|(key, _)| *key == remark.key && *key != "lever");
                let line = match (said, remark.key) {
                    (_, "seating") => String::new(),
                    (Some((key, value)), _) => remark_line(key, value),
                    (None, key) => remark_line(key, &clean(&remark.value)),
                };
                (remark.place.line, line)
            })
            .collect();
        places.extend(loads.rows.iter().map(|row| (row.line, row.place.clone())));
        let mut text = String::new();
        let mut next = 1;
        let mut titles = 0;
        for (number, line) in table.lines() {
            while next < number {
                text.push('\n');
                next += 1;
            }
            next += 1;
            let written = match (known.get(&number), line) {
                (Some(known), _) => known.clone(),
                (None, TableLine::Blank) => String::new(),
                (None, TableLine::Title(title)) => title_line(&clean(&title), &mut titles),
                (None, TableLine::Remark(said)) => {
                    format!("# {}", clean(said.trim())).trim_end().to_owned()
                }
                (None, TableLine::Header) => writer.header(),
                (None, TableLine::Row(row)) => writer.row(row.line()),
            };
            let _ = writeln!(text, "{written}");
        }
        let is_said = |key: &str| table.remark(key).is_some();
        for (key, value) in bench.iter().filter(|(key, _)| !is_said(key)) {
            let _ = writeln!(text, "{}", remark_line(key, value));
        }
        if let Some(levels) = loads.levels.filter(|_| !is_said("levels")) {
            let _ = writeln!(text, "{}", remark_line("levels", &levels.to_string()));
        }
        Self { text, unit, places }
    }

    /// Reads the measurement back and compares it with the loads: what no measurement has, where it stands in the
    /// table of loads.
    pub(crate) fn faults(&self, loads: &Loads<'_>) -> Vec<Fault> {
        let read = parse_measurement(
            "measurement.csv",
            self.text.as_bytes(),
            &ReadOptions::default(),
        );
        let measurement = match read {
            Ok((measurement, _)) => measurement,
            Err(faults) => {
                let faults = faults.iter().cloned();
                return faults.map(|fault| self.in_table(fault)).collect();
            }
        };
        let samples = measurement.samples.iter().chain(&measurement.excluded);
        let mut samples: Vec<&Sample> = samples.collect();
        samples.sort_by_key(|sample| sample.line);
        let seating = |sample: &Sample| measurement.seatings.get(sample.seating).map(|s| s.index);
        let is_same = |(sample, row): (&&Sample, &LoadRow<'_>)| {
            let reading = row
                .reading
                .and_then(|value| reading_fraction(value, self.unit, loads.levels).ok());
            sample.line == row.line
                && (sample.force.gf() - row.budget.value).abs() < 1e-4
                && Some(sample.reading) == reading
                && seating(sample) == Some(row.seating.unwrap_or(1))
                && sample.direction == row.direction
        };
        if samples.len() == loads.rows.len() && samples.iter().zip(&loads.rows).all(is_same) {
            return Vec::new();
        }
        vec![Fault::of_file(
            "the measurement does not read back as it was written",
            "this is a bug in evenhand; please report it with the table",
        )]
    }

    fn in_table(&self, fault: Fault) -> Fault {
        let line = fault.place.as_ref().map(|place| place.line);
        Fault {
            place: line.and_then(|line| self.places.get(&line).cloned()),
            ..fault
        }
    }
}

impl Writer<'_> {
    fn joined(&self, cell: impl Fn(Column) -> String) -> String {
        let cells: Vec<String> = self.columns.iter().map(|column| cell(*column)).collect();
        cells.join(&self.separator.to_string())
    }

    fn header(&self) -> String {
        self.joined(|column| {
            let name = match column {
                Column::Load | Column::Arm => "force_gf",
                Column::Reading => self.unit.column(),
                Column::Seating => "seating",
                Column::Direction => "direction",
            };
            name.to_owned()
        })
    }

    fn row(&self, line: usize) -> String {
        let rows = &self.loads.rows;
        let found = rows.binary_search_by_key(&line, |row| row.line);
        let Some(row) = found.ok().and_then(|at| rows.get(at)) else {
            return String::new();
        };
        self.joined(|column| match column {
            Column::Load | Column::Arm => self.marked(format!("{:.4}", row.budget.value)),
            Column::Reading => {
                let reading = row.reading.map(|value| value.to_string());
                self.marked(reading.unwrap_or_default())
            }
            Column::Seating => row.seating.unwrap_or(1).to_string(),
            Column::Direction => {
                let direction = row.direction.map(Direction::as_str);
                direction.unwrap_or_default().to_owned()
            }
        })
    }

    /// With the decimal mark of the table.
    fn marked(&self, number: String) -> String {
        if self.mark == Some(DecimalMark::Comma) {
            number.replace('.', ",")
        } else {
            number
        }
    }
}

/// A line above the header, as a remark that changes nothing: a comment, or a label where it would be taken for more.
fn title_line(title: &str, titles: &mut usize) -> String {
    if !SAMPLE_REMARKS.refuses(title) && !title.contains(['=', ':']) {
        return format!("# {title}");
    }
    *titles += 1;
    remark_line(&format!("title {titles}"), title)
}
