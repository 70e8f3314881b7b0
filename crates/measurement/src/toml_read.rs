//! Reading a measurement from TOML.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::measurement::{Direction, ForceActs, ForceBudget, Measurement, Sample, Seating};
use crate::nearest::nearest_name;
use crate::read::{MOST_LEVELS, MOST_SAMPLES, ReadOptions};
use crate::read_error::{ReadError, line_and_column};
use crate::selection::Wanted;
use crate::unit::{ForceUnit, ReadingUnit};

const TOP: &[&str] = &["stylus", "bench", "seating", "exclude"];
const STYLUS: &[&str] = &["model", "unit", "levels"];
const BENCH: &[&str] = &[
    "name",
    "date",
    "force",
    "force_acts",
    "reading",
    "tilt_deg",
    "lever",
    "notes",
    "force_gain_u",
    "force_offset_u_gf",
    "force_scatter_u_gf",
    "force_scatter_u",
];
const SEATING: &[&str] = &["direction", "samples"];

pub(crate) fn read(
    name: &str,
    text: &str,
    options: &ReadOptions,
) -> Result<(Measurement, Vec<Wanted>), ReadError> {
    let file = File { name, text };
    let table = DeTable::parse(text).map_err(|error| {
        let span = error.span().unwrap_or(0..0);
        file.error(
            span,
            error.message().trim(),
            "a measurement has [stylus], [bench] and one [[seating]] or more",
        )
    })?;
    let top = Table {
        file: &file,
        entries: table.get_ref(),
        place: 0..0,
    };
    top.only(TOP)?;
    let mut measurement = Measurement::default();
    if let Some(stylus) = top.table("stylus")? {
        stylus.only(STYLUS)?;
        measurement.stylus.model = stylus.text("model")?;
        measurement.stylus.unit = stylus.text("unit")?;
        if let Some((levels, place)) = stylus.number("levels")? {
            measurement.stylus.levels = Some(file.levels(levels, place)?);
        }
    }
    let bench = top.table("bench")?.ok_or_else(|| {
        file.error(
            0..0,
            "no [bench]",
            "add [bench] with force = \"gf\" and reading = \"percent\"",
        )
    })?;
    bench.only(BENCH)?;
    measurement.bench.name = bench.text("name")?;
    measurement.bench.date = bench.text("date")?;
    measurement.bench.lever = bench.text("lever")?;
    measurement.bench.notes = bench.text("notes")?;
    if let Some((tilt, place)) = bench.number("tilt_deg")? {
        file.finite(tilt, &place)?;
        measurement.bench.tilt_deg = Some(tilt);
    }
    for key in ForceBudget::KEYS {
        if let Some((figure, place)) = bench.number(key)? {
            if !ForceBudget::accepts(key, figure) {
                let found = format!("`{}` as {key}", file.written(&place));
                let help = format!("write a standard uncertainty, such as {key} = 0.002");
                return Err(file.error(place, found, help));
            }
            let budget = measurement.bench.budget.get_or_insert_default();
            budget.set(key, figure);
        }
    }
    if bench.find("force_acts").is_some() {
        let words = "along-stylus or on-surface";
        measurement.bench.force_acts = bench.word("force_acts", words, ForceActs::from_word)?;
    }
    let force_unit = bench.word("force", "gf, n, mn or mass_g", ForceUnit::from_word)?;
    let reading_unit = bench.word(
        "reading",
        "percent, fraction or raw",
        ReadingUnit::from_word,
    )?;
    measurement.bench.force_unit = force_unit;
    measurement.bench.reading_unit = reading_unit;
    let levels = measurement.stylus.levels.or(options.levels);
    measurement.stylus.levels = levels;
    if reading_unit == ReadingUnit::Raw && levels.is_none() {
        let place = bench.find("reading").map_or(0..0, Spanned::span);
        return Err(file.error(
            place,
            "raw readings without a number of levels",
            "add levels = 8192 (with your stylus's number) to [stylus], or give --levels",
        ));
    }
    let units = Units {
        force: force_unit,
        reading: reading_unit,
        full: reading_unit.full(levels),
    };
    let mut lines = Lines {
        text,
        at: 0,
        line: 1,
    };
    for (index, seating) in (1..).zip(top.tables("seating")?) {
        seating.only(SEATING)?;
        let direction = match seating.find("direction") {
            None => None,
            Some(_) => {
                Some(seating.word("direction", "loading or unloading", Direction::from_word)?)
            }
        };
        measurement.seatings.push(Seating { index, direction });
        let position = measurement.seatings.len() - 1;
        for (force, reading, place) in seating.samples(&units)? {
            if measurement.samples.len() == MOST_SAMPLES {
                return Err(file.error(
                    place,
                    format!("more than {MOST_SAMPLES} samples"),
                    "a bench has tens or hundreds of samples; keep one for each force placed",
                ));
            }
            let line = lines.line_of(place.start);
            measurement.samples.push(Sample {
                force,
                reading,
                seating: position,
                direction,
                line,
            });
        }
    }
    if measurement.samples.is_empty() {
        return Err(ReadError::of_file(
            name,
            "there are no samples",
            "add [[seating]] with samples = [[5, 0.0], [10, 1.3]]",
        ));
    }
    Ok((measurement, top.excluded()?))
}

struct Units {
    force: ForceUnit,
    reading: ReadingUnit,
    full: f64,
}

/// Counts lines as places move on, so that a long file takes one pass.
struct Lines<'a> {
    text: &'a str,
    at: usize,
    line: usize,
}

impl Lines<'_> {
    fn line_of(&mut self, at: usize) -> usize {
        if at < self.at {
            return line_and_column(self.text, at).0;
        }
        self.line += self.text.as_bytes()[self.at..at]
            .iter()
            .filter(|byte| **byte == b'\n')
            .count();
        self.at = at;
        self.line
    }
}

/// The text being read, for messages.
struct File<'a> {
    name: &'a str,
    text: &'a str,
}

impl File<'_> {
    fn error(
        &self,
        span: Range<usize>,
        found: impl AsRef<str>,
        help: impl Into<String>,
    ) -> ReadError {
        ReadError::at(
            self.name,
            self.text,
            span,
            format!("found {}", found.as_ref()),
            help,
        )
    }

    fn written(&self, place: &Range<usize>) -> &str {
        self.text.get(place.clone()).unwrap_or_default()
    }

    fn finite(&self, value: f64, place: &Range<usize>) -> Result<f64, ReadError> {
        if value.is_finite() {
            return Ok(value);
        }
        let found = format!("`{}`", self.written(place));
        Err(self.error(
            place.clone(),
            found,
            "write a finite number, or leave the sample out",
        ))
    }

    fn levels(&self, value: f64, place: Range<usize>) -> Result<u32, ReadError> {
        if value.fract() == 0.0 && (2.0..=f64::from(MOST_LEVELS)).contains(&value) {
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "checked above"
            )]
            return Ok(value as u32);
        }
        let found = format!("`{}` as the number of levels", self.written(&place));
        Err(self.error(
            place,
            found,
            "write a whole number from 2 to 16777216, such as levels = 8192",
        ))
    }
}

/// A table with the place of its name.
struct Table<'a> {
    file: &'a File<'a>,
    entries: &'a DeTable<'a>,
    place: Range<usize>,
}

impl<'a> Table<'a> {
    fn only(&self, known: &[&str]) -> Result<(), ReadError> {
        for (key, _) in self.entries {
            let word: &str = key.get_ref();
            if word == "exclude" && !known.contains(&word) {
                return Err(self.file.error(
                    key.span(),
                    "exclude below a heading",
                    "write it above the first [heading] of the file: exclude = [12, 17]",
                ));
            }
            if !known.contains(&word) {
                let near = nearest_name(word, known).unwrap_or_default();
                return Err(self.file.error(
                    key.span(),
                    format!("an unknown key `{word}`"),
                    format!(
                        "the nearest known key here is {near}; there are {}",
                        known.join(", ")
                    ),
                ));
            }
        }
        Ok(())
    }

    fn find(&self, word: &str) -> Option<&'a Spanned<DeValue<'a>>> {
        let same = |key: &str| key == word;
        self.entries
            .iter()
            .find(|(key, _)| same(key.get_ref()))
            .map(|(_, value)| value)
    }

    fn table(&self, word: &str) -> Result<Option<Self>, ReadError> {
        match self.find(word) {
            None => Ok(None),
            Some(value) => match value.get_ref() {
                DeValue::Table(entries) => Ok(Some(Self {
                    file: self.file,
                    entries,
                    place: value.span(),
                })),
                _ => Err(self.wrong(
                    value,
                    &format!("as {word}"),
                    &format!("write a table [{word}]"),
                )),
            },
        }
    }

    fn tables(&self, word: &str) -> Result<Vec<Self>, ReadError> {
        let help = format!("write [[{word}]] with samples = [[5, 0.0], [10, 1.3]]");
        let Some(value) = self.find(word) else {
            return Err(self.file.error(0..0, format!("no [[{word}]]"), help));
        };
        let DeValue::Array(items) = value.get_ref() else {
            return Err(self.wrong(value, &format!("a single [{word}]"), &help));
        };
        items
            .iter()
            .map(|item| match item.get_ref() {
                DeValue::Table(entries) => Ok(Self {
                    file: self.file,
                    entries,
                    place: item.span(),
                }),
                _ => Err(self.wrong(item, &format!("in {word}"), &help)),
            })
            .collect()
    }

    /// The samples that `exclude` names: lines, or texts such as "12:2".
    fn excluded(&self) -> Result<Vec<Wanted>, ReadError> {
        const HELP: &str = "write the lines of the samples, such as exclude = [12, 17] or exclude = [\"12:2\"] for the second sample of line 12, above the first [table]";
        let Some(value) = self.find("exclude") else {
            return Ok(Vec::new());
        };
        let DeValue::Array(items) = value.get_ref() else {
            return Err(self.wrong(value, "as exclude", HELP));
        };
        items
            .iter()
            .map(|item| {
                let place = match item.get_ref() {
                    DeValue::Integer(_) => {
                        number(item.get_ref()).and_then(|line| line.to_string().parse().ok())
                    }
                    DeValue::String(text) => text.parse().ok(),
                    _ => None,
                };
                place
                    .map(|place| Wanted {
                        by: "exclude",
                        place,
                        span: Some(item.span()),
                    })
                    .ok_or_else(|| {
                        let found = self.file.written(&item.span());
                        self.file
                            .error(item.span(), format!("`{found}` in exclude"), HELP)
                    })
            })
            .collect()
    }

    fn wrong(&self, value: &Spanned<DeValue<'_>>, what: &str, help: &str) -> ReadError {
        let kind = match value.get_ref() {
            DeValue::String(_) => "a text",
            DeValue::Integer(_) | DeValue::Float(_) => "a number",
            DeValue::Boolean(_) => "true or false",
            DeValue::Datetime(_) => "a date",
            DeValue::Array(_) => "a list",
            DeValue::Table(_) => "a table",
        };
        self.file
            .error(value.span(), format!("{kind} {what}"), help)
    }

    /// A text; dates are taken as written, and a table of numbers (a lever's lengths) too.
    fn text(&self, word: &str) -> Result<Option<String>, ReadError> {
        let Some(value) = self.find(word) else {
            return Ok(None);
        };
        match value.get_ref() {
            DeValue::String(text) => Ok(Some(text.to_string())),
            DeValue::Datetime(date) if word == "date" => Ok(Some(date.to_string())),
            DeValue::Table(_) if word == "lever" => {
                let written = self.file.written(&value.span());
                Ok(Some(written.trim_matches(['{', '}']).trim().to_owned()))
            }
            _ => Err(self.wrong(value, &format!("as {word}"), "write a text in quotes")),
        }
    }

    fn number(&self, word: &str) -> Result<Option<(f64, Range<usize>)>, ReadError> {
        let Some(value) = self.find(word) else {
            return Ok(None);
        };
        match number(value.get_ref()) {
            Some(found) => Ok(Some((found, value.span()))),
            None => Err(self.wrong(value, &format!("as {word}"), "write a number")),
        }
    }

    /// A word out of a few.
    fn word<T>(
        &self,
        word: &str,
        known: &str,
        take: fn(&str) -> Option<T>,
    ) -> Result<T, ReadError> {
        let help = format!("write {word} = with one of {known}, in quotes");
        let Some(value) = self.find(word) else {
            return Err(self
                .file
                .error(self.place.clone(), format!("no {word}"), help));
        };
        match value.get_ref() {
            DeValue::String(text) => take(text).ok_or_else(|| {
                self.file
                    .error(value.span(), format!("`{text}` as {word}"), help)
            }),
            _ => Err(self.wrong(value, &format!("as {word}"), &help)),
        }
    }

    fn samples(&self, units: &Units) -> Result<Vec<(crate::Force, f64, Range<usize>)>, ReadError> {
        const HELP: &str =
            "write pairs of force and reading, such as samples = [[5, 0.0], [10, 1.3]]";
        let Some(value) = self.find("samples") else {
            return Err(self
                .file
                .error(self.place.clone(), "a seating without samples", HELP));
        };
        let DeValue::Array(items) = value.get_ref() else {
            return Err(self.wrong(value, "as samples", HELP));
        };
        items
            .iter()
            .map(|item| {
                let DeValue::Array(pair) = item.get_ref() else {
                    return Err(self.wrong(item, "as a sample", HELP));
                };
                let cells: Vec<_> = pair.iter().collect();
                let [force, reading] = cells[..] else {
                    return Err(self.wrong(item, &format!("of {} as a sample", pair.len()), HELP));
                };
                let mut values = [0.0; 2];
                for (slot, cell) in values.iter_mut().zip([force, reading]) {
                    let found = number(cell.get_ref())
                        .ok_or_else(|| self.wrong(cell, "in a sample", HELP))?;
                    *slot = self.file.finite(found, &cell.span())?;
                }
                let [f, r] = values;
                self.check(f, r, units, force.span(), reading.span())?;
                Ok((units.force.force(f), r / units.full, item.span()))
            })
            .collect()
    }

    fn check(
        &self,
        force: f64,
        reading: f64,
        units: &Units,
        force_place: Range<usize>,
        reading_place: Range<usize>,
    ) -> Result<(), ReadError> {
        let file = self.file;
        if force < 0.0 {
            return Err(file.error(
                force_place,
                format!("a negative force, {force}"),
                "write the force pressing the nib as a positive number",
            ));
        }
        if reading < 0.0 {
            let found = format!("a negative reading, {reading}");
            return Err(file.error(reading_place, found, "write readings from 0 up"));
        }
        if reading > units.full {
            return Err(file.error(
                reading_place,
                format!(
                    "a reading of {reading}, above the full scale of {}",
                    units.full
                ),
                format!(
                    "write readings from 0 to {}, or check `reading` in [bench]",
                    units.full
                ),
            ));
        }
        if units.reading == ReadingUnit::Raw && reading.fract() != 0.0 {
            let found = format!("the raw reading {reading}");
            return Err(file.error(
                reading_place,
                found,
                "write whole counts, or check `reading` in [bench]",
            ));
        }
        Ok(())
    }
}

fn number(value: &DeValue<'_>) -> Option<f64> {
    match value {
        DeValue::Integer(integer) => {
            let digits = integer.as_str();
            i64::from_str_radix(digits, integer.radix())
                .ok()
                .map(|whole| {
                    #[expect(
                        clippy::cast_precision_loss,
                        reason = "counts and forces are far below 2⁵³"
                    )]
                    let found = whole as f64;
                    found
                })
        }
        DeValue::Float(float) => float.as_str().parse().ok(),
        _ => None,
    }
}
