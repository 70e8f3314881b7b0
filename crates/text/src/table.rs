//! A table as people write it: title lines, remarks, a header, rows.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::path::Path;

use evenhand_sheet::{SheetError, looks_like_sheet, read_sheet};
use serde::Serialize;

use crate::clean::{clean, quoted};
use crate::fault::{Fault, Faults, MOST_FAULTS, Remedy, Setting};
use crate::figures::{ColumnFigures, Figures};
use crate::file::{Encoding, decode};
use crate::header::{Named, Quantity, named, unit_fault};
use crate::line::{BadQuote, Body, Cell, Content, Line, separator_of};
use crate::names::folded;
use crate::number::{DecimalMark, written_number};
use crate::place::Place;
use crate::remark::{Remark, RemarkSpec, Understood};

mod count;
mod lines;
mod part;

pub use lines::TableLine;

/// Lines above a header that are looked at.
const MOST_TITLES: usize = 200;

/// What a kind of table holds.
#[derive(Clone, Copy, Debug)]
pub struct TableSpec<K: 'static> {
    /// The kinds of columns.
    pub quantities: &'static [Quantity<K>],
    /// The remarks.
    pub remarks: RemarkSpec,
    /// Columns of another kind of table, folded, with what to do instead.
    pub refused_columns: &'static [(&'static str, &'static str)],
    /// A header as it could be.
    pub example: &'static str,
}

/// A file that holds a table: a text or a sheet of a spreadsheet.
#[derive(Clone, Debug)]
pub struct TableFile {
    name: String,
    format: &'static str,
    sheet: Option<String>,
    content: Content,
    /// Whether characters that are not ASCII are a guess.
    is_guessed: bool,
}

impl TableFile {
    /// Of the bytes of a text or of a spreadsheet, whose `sheet` is read, the first one by default; `example` is a
    /// header as it could be.
    ///
    /// # Errors
    /// Bytes that are neither, a text without anything in it, and a spreadsheet that cannot be read.
    pub fn parse(
        name: &str,
        bytes: &[u8],
        sheet: Option<&str>,
        example: &str,
    ) -> Result<Self, Faults> {
        let is_named_so = Path::new(name).extension().is_some_and(|ending| {
            ["xlsx", "ods", "xls"]
                .iter()
                .any(|known| ending.eq_ignore_ascii_case(known))
        });
        if looks_like_sheet(bytes) || is_named_so {
            return Self::from_sheet(name, bytes, sheet);
        }
        if let Some(sheet) = sheet {
            let found = format!("a text, which has no sheet {}", quoted(sheet));
            return Err(Faults::one(name, Fault::of_file(found, Setting::NoSheet)));
        }
        Self::from_text(name, bytes, example)
    }

    fn from_text(name: &str, bytes: &[u8], example: &str) -> Result<Self, Faults> {
        let (text, encoding) = decode(name, bytes)?;
        if text.trim().is_empty() {
            let remedy = format!("write a header such as {example} and one line for each sample");
            return Err(Faults::one(
                name,
                Fault::of_file("the file is empty", remedy),
            ));
        }
        Ok(Self {
            name: name.to_owned(),
            format: "csv",
            sheet: None,
            content: Content::Text(text),
            is_guessed: encoding == Encoding::Windows1252,
        })
    }

    fn from_sheet(name: &str, bytes: &[u8], sheet: Option<&str>) -> Result<Self, Faults> {
        let found = read_sheet(bytes, sheet).map_err(|error| {
            let fault = match error {
                SheetError::NoSuchSheet { wanted, names } => Fault::of_file(
                    format!("no sheet named {}", quoted(&wanted)),
                    Setting::Sheet(names),
                ),
                // What to do stands behind the semicolon.
                other => {
                    let text = other.to_string();
                    let (found, remedy) = text.split_once("; ").unwrap_or((&text, ""));
                    Fault::of_file(clean(found), clean(remedy))
                }
            };
            Faults::one(name, fault)
        })?;
        if found.rows.is_empty() {
            let fault = Fault::of_file(
                format!("the sheet {} is empty", quoted(&found.name)),
                Setting::Sheet(found.names),
            );
            return Err(Faults::one(name, fault));
        }
        Ok(Self {
            name: name.to_owned(),
            format: found.format.as_str(),
            sheet: Some(found.name),
            content: Content::Grid(found.rows),
            is_guessed: false,
        })
    }

    /// The file, as it was named.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Its text; `None` for a spreadsheet.
    #[must_use]
    pub fn text(&self) -> Option<&str> {
        self.content.text()
    }

    /// Faults found in it by other means.
    #[must_use]
    pub fn faults(&self, faults: Vec<Fault>) -> Option<Faults> {
        Faults::of(&self.name, self.text(), faults)
    }
}

/// How a table was understood.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct ReadAs {
    /// Kind of file: `csv`, `toml`, `xlsx`, `ods`.
    pub format: String,
    /// Sheet of a spreadsheet.
    pub sheet: Option<String>,
    /// Line or row of the header, from 1; none where there is no header.
    pub header_line: Option<usize>,
    /// The columns that are read.
    pub columns: Vec<ReadColumn>,
    /// Remarks with keys of one's own.
    pub labels: BTreeMap<String, String>,
    /// Columns that are not read.
    pub ignored: Vec<String>,
}

/// A column that is read.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct ReadColumn {
    /// Its name in the file.
    pub name: String,
    /// What it is taken for.
    pub meaning: String,
    /// The unit its numbers are in.
    pub unit: Option<String>,
}

impl ReadAs {
    /// In one line, such as `force in gf from Weight (g), reading in percent from Pressure %; not read: notes`.
    #[must_use]
    pub fn in_words(&self) -> String {
        let columns: Vec<String> = self
            .columns
            .iter()
            .map(|column| match &column.unit {
                Some(unit) => {
                    // A force that is told by its mass.
                    let unit = unit.strip_prefix("mass_").unwrap_or(unit);
                    format!("{} in {unit} from `{}`", column.meaning, column.name)
                }
                None => format!("{} from `{}`", column.meaning, column.name),
            })
            .collect();
        let mut text = columns.join(", ");
        if let Some(sheet) = &self.sheet {
            text = format!("sheet `{sheet}`: {text}");
        }
        if !self.labels.is_empty() {
            let labels = self
                .labels
                .iter()
                .map(|(key, value)| format!("{key} = {value}"));
            text.push_str(&format!(
                "; labels: {}",
                labels.collect::<Vec<_>>().join(", ")
            ));
        }
        if !self.ignored.is_empty() {
            text.push_str(&format!("; not read: {}", self.ignored.join(", ")));
        }
        text
    }
}

/// A column of a header.
#[derive(Debug)]
struct Column<K> {
    name: String,
    place: Place,
    /// What it holds; `None` where it is not read.
    kind: Option<K>,
    figures: ColumnFigures,
}

/// A row of a table.
#[derive(Clone, Copy, Debug)]
pub struct Row<'t> {
    line: Line<'t>,
}

impl<'t> Row<'t> {
    /// Its line or row in the file, from 1.
    #[must_use]
    pub fn line(&self) -> usize {
        self.line.number
    }

    /// The place of the whole row.
    #[must_use]
    pub fn place(&self) -> Place {
        self.line.whole()
    }

    /// The place of one of its cells.
    #[must_use]
    pub fn place_of(&self, cell: &Cell<'t>) -> Place {
        self.line.place_of(cell)
    }
}

/// A table whose header and remarks were read; rows come next, and every fault is kept until [`Table::finish`].
#[derive(Debug)]
pub struct Table<'t, K: 'static> {
    file: &'t TableFile,
    spec: &'static TableSpec<K>,
    header: Line<'t>,
    separator: char,
    columns: Vec<Column<K>>,
    remarks: Vec<Remark>,
    labels: BTreeMap<String, String>,
    ignored: Vec<String>,
    figures: Figures,
    /// What numbers in parts of cells have in common, by what they are.
    parts: Vec<(K, ColumnFigures)>,
    faults: Vec<Fault>,
}

/// A line above a header, or the header.
struct Titled<'t, K> {
    line: Line<'t>,
    separator: char,
    cells: Vec<Cell<'t>>,
    named: Vec<Named<K>>,
}

impl<'t, K: Copy + PartialEq + std::fmt::Debug> Table<'t, K> {
    /// Reads remarks and header; `choose` names columns that are to be read where several are of one kind.
    ///
    /// # Errors
    /// A table without a header that can be used, with all else that is wrong above the rows.
    pub fn read(
        file: &'t TableFile,
        spec: &'static TableSpec<K>,
        choose: &[String],
    ) -> Result<Self, Faults> {
        Self::read_head(file, spec, Some(choose))
    }

    /// Reads remarks and header where nobody can choose among columns, so that no remedy offers it.
    ///
    /// # Errors
    /// As [`Table::read`].
    pub fn read_unchosen(file: &'t TableFile, spec: &'static TableSpec<K>) -> Result<Self, Faults> {
        Self::read_head(file, spec, None)
    }

    fn read_head(
        file: &'t TableFile,
        spec: &'static TableSpec<K>,
        choose: Option<&[String]>,
    ) -> Result<Self, Faults> {
        let (titles, header, separator) =
            find_header(file, spec).map_err(|fault| match file.text() {
                Some(text) => Faults::one_in(file.name(), text, *fault),
                None => Faults::one(file.name(), *fault),
            })?;
        let mut table = Self {
            file,
            spec,
            header: header.line,
            separator,
            columns: Vec::new(),
            remarks: Vec::new(),
            labels: BTreeMap::new(),
            ignored: Vec::new(),
            figures: Figures::new(separator != ','),
            parts: Vec::new(),
            faults: Vec::new(),
        };
        for title in &titles {
            table.take_title(title);
        }
        table.take_remarks();
        table.take_header(&header, choose);
        spec.remarks
            .contradictions(&table.remarks, &mut table.faults);
        Ok(table)
    }

    fn take_title(&mut self, title: &Titled<'_, K>) {
        let filled: Vec<&Cell<'_>> = title.cells.iter().filter(|cell| !cell.is_blank()).collect();
        let text = match filled.as_slice() {
            [only] => only.text.to_string(),
            [key, value] => {
                format!(
                    "{} = {}",
                    key.text.trim_end_matches([':', '=', ' ']),
                    value.text
                )
            }
            _ => return,
        };
        self.take_remark(&text, title.line.whole(), true);
    }

    fn take_remarks(&mut self) {
        for line in self.file.content.lines() {
            if let Some(text) = remark_text(&line) {
                self.take_remark(&text, line.whole(), false);
            }
        }
    }

    fn take_remark(&mut self, text: &str, place: Place, is_title: bool) {
        match self.spec.remarks.understand(text, place.clone(), is_title) {
            Understood::Known(remark) => self.remarks.push(remark),
            Understood::Comment => {}
            Understood::Wrong(fault) => self.faults.push(fault),
            Understood::Label(key, value) => {
                let before = self.labels.get(&key).filter(|before| **before != value);
                if let Some(before) = before {
                    self.faults.push(Fault::at(
                        place,
                        format!(
                            "{key} = {} here and {} before",
                            quoted(&value),
                            quoted(before)
                        ),
                        "",
                        "keep the one that is true",
                    ));
                }
                self.labels.insert(key, value);
            }
        }
    }

    fn take_header(&mut self, header: &Titled<'t, K>, choice: Option<&[String]>) {
        let choose = choice.unwrap_or_default();
        let place = |index: usize| header.line.place_of(&header.cells[index]);
        let is_chosen = |cell: &Cell<'_>| {
            let name = folded(&cell.text);
            choose.iter().any(|chosen| folded(chosen) == name)
        };
        for chosen in choose {
            let count = header
                .cells
                .iter()
                .filter(|cell| folded(&cell.text) == folded(chosen))
                .count();
            if count != 1 {
                let there = header
                    .cells
                    .iter()
                    .map(|cell| cell.text.to_string())
                    .collect();
                self.faults.push(Fault::at(
                    header.line.whole(),
                    format!("{count} columns named {}", quoted(chosen)),
                    "one",
                    Setting::Column(there),
                ));
            }
        }
        // What a chosen column is makes others of its kind unread.
        let kind_of = |named: &Named<K>| match named {
            Named::Known(kind, _) | Named::WrongUnit(kind, _) => Some(*kind),
            _ => None,
        };
        let chosen_kinds: Vec<K> = header
            .cells
            .iter()
            .zip(&header.named)
            .filter(|(cell, _)| is_chosen(cell))
            .filter_map(|(_, named)| kind_of(named))
            .collect();
        let mut columns: Vec<Column<K>> = Vec::new();
        for (index, (cell, named)) in header.cells.iter().zip(&header.named).enumerate() {
            let mut column = Column {
                name: clean(&cell.text),
                place: place(index),
                kind: None,
                figures: ColumnFigures::new(None),
            };
            let unread =
                kind_of(named).is_some_and(|kind| chosen_kinds.contains(&kind) && !is_chosen(cell));
            if let Some(flaw) = cell.flaw {
                self.faults
                    .push(*crate::figures::flawed(&cell.text, flaw, place(index)));
            }
            match named {
                _ if unread => self.ignored.push(column.name.clone()),
                Named::Known(kind, unit) => {
                    let same: Vec<&Column<K>> = columns
                        .iter()
                        .filter(|other| other.kind == Some(*kind))
                        .collect();
                    if let [first, ..] = same.as_slice() {
                        let meaning = self.quantity(*kind).map_or("", |found| found.meaning);
                        self.faults.push(Fault::at(
                            place(index),
                            format!(
                                "a second column of {meaning}, {}, beside {}",
                                quoted(&cell.text),
                                quoted(&first.name)
                            ),
                            "",
                            match choice {
                                Some(_) => {
                                    Remedy::from("keep one of them").or_set(Setting::Column(vec![
                                        first.name.clone(),
                                        column.name.clone(),
                                    ]))
                                }
                                None => "keep one of them".into(),
                            },
                        ));
                    } else {
                        column.kind = Some(*kind);
                        column.figures = ColumnFigures::new(*unit);
                    }
                }
                Named::WrongUnit(kind, unit) => {
                    if let Some(quantity) = self.quantity(*kind) {
                        let (found, remedy) = unit_fault(&cell.text, quantity, Some(unit));
                        self.faults.push(Fault::at(place(index), found, "", remedy));
                    }
                }
                Named::Nearly(near) => self.faults.push(Fault::at(
                    place(index),
                    format!("the column {}", quoted(&cell.text)),
                    "",
                    format!(
                        "write {near} if that is meant, else give it a name that is less like it"
                    ),
                )),
                Named::Number => self.faults.push(Fault::at(
                    place(index),
                    format!("the number {} in the header", quoted(&cell.text)),
                    "the name of a column",
                    format!("write a header such as {}", self.spec.example),
                )),
                Named::Blank => {}
                Named::Unknown => {
                    let name = folded(&cell.text);
                    let refused = self
                        .spec
                        .refused_columns
                        .iter()
                        .find(|(word, _)| *word == name);
                    match refused {
                        Some((_, advice)) => self.faults.push(Fault::at(
                            place(index),
                            format!("the column {}", quoted(&cell.text)),
                            "",
                            *advice,
                        )),
                        None => self.ignored.push(column.name.clone()),
                    }
                }
            }
            columns.push(column);
        }
        if self.file.is_guessed
            && let Some(cell) = header.cells.iter().find(|cell| !cell.text.is_ascii())
        {
            self.faults.push(guessed(cell, header.line.place_of(cell)));
        }
        self.columns = columns;
    }

    fn quantity(&self, kind: K) -> Option<&'static Quantity<K>> {
        self.spec
            .quantities
            .iter()
            .find(|quantity| quantity.kind == kind)
    }

    /// The position of a column of this kind.
    #[must_use]
    pub fn column(&self, kind: K) -> Option<usize> {
        self.columns
            .iter()
            .position(|column| column.kind == Some(kind))
    }

    /// The column of a kind that the table must have; a fault where it lacks.
    pub fn needed(&mut self, kind: K) -> Option<usize> {
        self.needed_one_of(&[kind])
    }

    /// The column of the first of some kinds of which the table must have one; a fault where it has none.
    pub fn needed_one_of(&mut self, kinds: &[K]) -> Option<usize> {
        let found = kinds.iter().find_map(|kind| self.column(*kind));
        let is_told = self.faults.iter().any(|fault| {
            fault
                .place
                .as_ref()
                .is_some_and(|place| place.line == self.header.number)
        });
        if found.is_none() && !is_told {
            let wanted: Vec<&Quantity<K>> = kinds
                .iter()
                .filter_map(|kind| self.quantity(*kind))
                .collect();
            let meanings: Vec<&str> = wanted.iter().map(|quantity| quantity.meaning).collect();
            let columns: Vec<String> = wanted.iter().map(|quantity| quantity.names()).collect();
            // What is not known is most likely what was meant.
            let unknown: Vec<&Column<K>> = self
                .columns
                .iter()
                .filter(|column| self.ignored.contains(&column.name))
                .collect();
            let names: Vec<String> = unknown.iter().map(|column| quoted(&column.name)).collect();
            let place = unknown.first().map(|column| column.place.clone());
            let but = match names.as_slice() {
                [] => String::new(),
                [only] => format!("; {only} is not known"),
                several => format!("; {} are not known", several.join(", ")),
            };
            self.faults.push(Fault::at(
                place.unwrap_or_else(|| self.header.whole()),
                format!("no {} column in the header{but}", meanings.join(" or ")),
                "",
                format!("name one column {}", columns.join(", ")),
            ));
        }
        found
    }

    /// The unit that the header gives a column; what its cells say is known after the rows, from [`Table::unit`].
    #[must_use]
    pub fn header_unit(&self, column: usize) -> Option<&'static str> {
        self.columns[column].figures.declared()
    }

    /// The unit that the numbers of a column are in as far as its header and the cells read up to here say.
    #[must_use]
    pub fn unit_so_far(&self, column: usize) -> Option<&'static str> {
        self.columns[column].figures.so_far()
    }

    /// What stands between cells; of no meaning in a spreadsheet.
    #[must_use]
    pub fn separator(&self) -> char {
        self.separator
    }

    /// The mark before decimals, once a number had one.
    #[must_use]
    pub fn decimal_mark(&self) -> Option<DecimalMark> {
        self.figures.mark()
    }

    /// Where a column's name stands.
    #[must_use]
    pub fn header_place(&self, column: usize) -> Place {
        self.columns[column].place.clone()
    }

    /// The place of the whole header.
    #[must_use]
    pub fn header_line(&self) -> Place {
        self.header.whole()
    }

    /// The remarks, in the order of the file.
    #[must_use]
    pub fn remarks(&self) -> &[Remark] {
        &self.remarks
    }

    /// The remarks with keys of the writer's own.
    #[must_use]
    pub fn labels(&self) -> &BTreeMap<String, String> {
        &self.labels
    }

    /// The file, as it was named.
    #[must_use]
    pub fn file_name(&self) -> &str {
        self.file.name()
    }

    /// The value of a remark that counts once.
    #[must_use]
    pub fn remark(&self, key: &str) -> Option<&Remark> {
        self.remarks.iter().find(|remark| remark.key == key)
    }

    /// The rows, in the order of the file; blank lines and remarks are left out.
    pub fn rows(&self) -> impl Iterator<Item = Row<'t>> + use<'t, K> {
        let (from, separator) = (self.header.number, self.separator);
        self.file
            .content
            .lines()
            .filter(move |line| {
                line.number > from && !is_blank(line, separator) && remark_text(line).is_none()
            })
            .map(|line| Row { line })
    }

    /// The cells of a row, as many as the header has; a fault where it has more, or a broken quotation.
    pub fn cells(&mut self, row: &Row<'t>) -> Option<Vec<Cell<'t>>> {
        let mut cells = match row.line.cells(self.separator, self.columns.len()) {
            Ok(cells) => cells,
            Err(quote) => {
                self.fault(quote_fault(&row.line, &quote));
                return None;
            }
        };
        let count = self.columns.len();
        // Behind semicolons and tabs, and in spreadsheets, nothing more is only nothing; behind commas it may be
        // half of a decimal comma.
        let is_loose = self.separator != ',' || matches!(row.line.body, Body::Grid(_));
        while is_loose && cells.len() > count && cells.last().is_some_and(Cell::is_blank) {
            cells.pop();
        }
        if cells.len() > count {
            let hint = if self.separator == ',' {
                "; decimal commas need semicolons or tabs between the cells"
            } else {
                ""
            };
            self.fault(Fault::at(
                row.place(),
                format!("{} cells", cells.len()),
                format!("{count} cells, as the header has"),
                format!("write {count} cells{hint}"),
            ));
            return None;
        }
        while cells.len() < count {
            cells.push(blank_behind(&row.line));
        }
        for (index, cell) in cells.iter().enumerate() {
            if self.columns[index].name.is_empty() && !cell.is_blank() {
                let name = format!("column {} (without a name)", index + 1);
                if !self.ignored.contains(&name) {
                    self.ignored.push(name);
                }
            }
        }
        if self.file.is_guessed
            && let Some(cell) = cells.iter().find(|cell| !cell.text.is_ascii())
        {
            self.fault(guessed(cell, row.place_of(cell)));
            return None;
        }
        Some(cells)
    }

    /// The number in a cell of a column; a fault where there is none.
    pub fn number(&mut self, row: &Row<'t>, cells: &[Cell<'t>], column: usize) -> Option<f64> {
        let kind = self.columns[column].kind?;
        let quantity = self.quantity(kind)?;
        let cell = &cells[column];
        let found = self.figures.number(
            cell,
            || row.place_of(cell),
            &mut self.columns[column].figures,
            quantity,
        );
        match found {
            Ok(value) => Some(value),
            Err(fault) => {
                self.fault(*fault);
                None
            }
        }
    }

    /// A whole number in a cell; a fault where there is none.
    pub fn whole(&mut self, row: &Row<'t>, cells: &[Cell<'t>], column: usize) -> Option<i64> {
        let cell = &cells[column];
        match cell.text.parse() {
            Ok(whole) if cell.flaw.is_none() => Some(whole),
            _ => {
                let found = if cell.is_blank() {
                    "an empty cell".to_owned()
                } else {
                    quoted(&cell.text)
                };
                self.fault(Fault::at(
                    row.place_of(cell),
                    found,
                    "a whole number",
                    "write a whole number, such as 1",
                ));
                None
            }
        }
    }

    /// The unit of a column's numbers, once all rows are read; a fault where it is open or the column contradicts
    /// itself.
    pub fn unit(&mut self, column: usize) -> Option<&'static str> {
        let found = &self.columns[column];
        let quantity = self.quantity(found.kind?)?;
        match self
            .figures
            .unit(&found.figures, quantity, &found.name, &found.place)
        {
            Ok(unit) => unit,
            Err(fault) => {
                self.fault(*fault);
                None
            }
        }
    }

    /// Keeps a fault.
    pub fn fault(&mut self, fault: Fault) {
        if self.faults.len() < MOST_FAULTS {
            self.faults.push(fault);
        }
    }

    /// Whether anything is wrong so far.
    #[must_use]
    pub fn has_faults(&self) -> bool {
        !self.faults.is_empty()
    }

    /// Whether so much is wrong that no further fault is kept.
    #[must_use]
    pub fn is_hopeless(&self) -> bool {
        self.faults.len() >= MOST_FAULTS
    }

    /// How the table was understood, or all that is wrong with it. `units` are those of [`Table::unit`].
    ///
    /// # Errors
    /// Every fault that was kept.
    pub fn finish(mut self) -> Result<ReadAs, Faults> {
        let columns = (0..self.columns.len())
            .filter(|index| self.columns[*index].kind.is_some())
            .collect::<Vec<_>>();
        let mut read = Vec::new();
        for index in columns {
            let unit = self.unit(index).map(str::to_owned);
            let column = &self.columns[index];
            let meaning = column.kind.and_then(|kind| self.quantity(kind));
            read.push(ReadColumn {
                name: column.name.clone(),
                meaning: meaning.map_or("", |found| found.meaning).to_owned(),
                unit,
            });
        }
        self.finish_parts();
        if let Some(faults) = self.file.faults(self.faults) {
            return Err(faults);
        }
        Ok(ReadAs {
            format: self.file.format.to_owned(),
            sheet: self.file.sheet.as_deref().map(clean),
            header_line: Some(self.header.number),
            columns: read,
            labels: self.labels,
            ignored: self.ignored,
        })
    }
}

fn blank_behind<'t>(line: &Line<'t>) -> Cell<'t> {
    let end = match line.body {
        Body::Text(text, _) => text.len(),
        Body::Grid(cells) => cells.len(),
    };
    Cell::blank_at(end)
}

fn guessed(cell: &Cell<'_>, place: Place) -> Fault {
    Fault::at(
        place,
        format!("{} in a file that is not UTF-8", quoted(&cell.text)),
        "letters that can be told",
        "save the file as UTF-8",
    )
}

fn quote_fault(line: &Line<'_>, quote: &BadQuote) -> Fault {
    Fault::at(line.place(&quote.range), quote.found, "", quote.remedy)
}

/// Whether a line holds separators and spaces only.
fn is_blank(line: &Line<'_>, separator: char) -> bool {
    match line.body {
        Body::Text(text, _) => text
            .chars()
            .all(|c| c == separator || c.is_whitespace() || matches!(c, '"' | '\u{feff}')),
        Body::Grid(cells) => cells
            .iter()
            .all(|cell| cell.text.trim().is_empty() && cell.flaw.is_none()),
    }
}

/// What a remark says behind its `#`; padding and quotes that spreadsheets put around it are taken off.
fn remark_text<'t>(line: &Line<'t>) -> Option<Cow<'t, str>> {
    match line.body {
        Body::Text(text, _) => {
            let text = text.trim_matches(|c: char| c.is_whitespace() || c == '\u{feff}');
            if let Some(rest) = text.strip_prefix('#') {
                return Some(Cow::Borrowed(without_padding(rest)));
            }
            let inside = text.strip_prefix('"')?.trim_start();
            if !inside.starts_with('#') {
                return None;
            }
            // A quoted cell, its inner quotes doubled, perhaps with padding behind.
            let whole = without_padding(text);
            let cell = whole
                .strip_prefix('"')?
                .strip_suffix('"')
                .unwrap_or(&whole[1..]);
            let said = cell.replace("\"\"", "\"");
            Some(Cow::Owned(
                said.trim_start().trim_start_matches('#').trim().to_owned(),
            ))
        }
        Body::Grid(cells) => {
            let mut filled = cells
                .iter()
                .map(|cell| cell.text.trim())
                .filter(|text| !text.is_empty());
            let first = filled.next()?.strip_prefix('#')?.trim();
            let rest: Vec<&str> = filled.collect();
            Some(match rest.as_slice() {
                [] => Cow::Borrowed(first),
                [value] if !first.contains(['=', ':']) => Cow::Owned(format!("{first} = {value}")),
                _ => Cow::Owned(format!("{first}, {}", rest.join(", "))),
            })
        }
    }
}

fn without_padding(text: &str) -> &str {
    text.trim_end_matches(|c: char| matches!(c, ',' | ';') || c.is_whitespace())
}

/// The separator that a line `sep=;` names.
fn stated_separator(line: &Line<'_>) -> Option<char> {
    let Body::Text(text, _) = line.body else {
        return None;
    };
    let text = text
        .trim_start_matches('\u{feff}')
        .trim_matches([' ', '"', '\r']);
    let (word, mark) = text.split_once('=')?;
    let mut marks = mark.chars();
    let mark = marks
        .next()
        .filter(|mark| matches!(mark, ',' | ';' | '\t'))?;
    (word.eq_ignore_ascii_case("sep") && marks.all(|c| c == '"' || c.is_whitespace()))
        .then_some(mark)
}

type Found<'t, K> = (Vec<Titled<'t, K>>, Titled<'t, K>, char);

/// The header, and the lines above it.
fn find_header<'t, K: Copy + PartialEq>(
    file: &'t TableFile,
    spec: &TableSpec<K>,
) -> Result<Found<'t, K>, Box<Fault>> {
    let mut stated = None;
    let mut lines: Vec<Titled<'t, K>> = Vec::new();
    for line in file.content.lines() {
        if remark_text(&line).is_some() || is_blank(&line, ',') {
            continue;
        }
        if lines.is_empty()
            && stated.is_none()
            && let Some(mark) = stated_separator(&line)
        {
            stated = Some(mark);
            continue;
        }
        let separator = stated.unwrap_or_else(|| match line.body {
            Body::Text(text, _) => separator_of(text),
            Body::Grid(_) => ';',
        });
        let cells = match line.cells(separator, 0) {
            Ok(cells) => cells,
            // A title may have an odd quotation mark; a header must not.
            Err(quote) if lines.len() + 1 >= MOST_TITLES => {
                return Err(Box::new(quote_fault(&line, &quote)));
            }
            Err(_) => continue,
        };
        if cells.iter().all(Cell::is_blank) {
            continue;
        }
        let found: Vec<Named<K>> = cells
            .iter()
            .map(|cell| named(&cell.text, spec.quantities))
            .collect();
        let titled = Titled {
            line,
            separator,
            cells,
            named: found,
        };
        if is_header(&titled, spec, 2) {
            return Ok((lines, titled, separator));
        }
        if is_data(&titled) {
            return weak_header(lines, spec)
                .ok_or_else(|| Box::new(no_header(titled.line.whole(), spec)));
        }
        lines.push(titled);
        if lines.len() >= MOST_TITLES {
            break;
        }
    }
    let any = lines.first().map(|title| title.line);
    weak_header(lines, spec).ok_or_else(|| {
        Box::new(match any {
            Some(line) => no_header_at(line.whole(), spec),
            None => Fault::of_file(
                "the file holds no table, only remarks",
                format!(
                    "write a header such as {} and one line for each sample",
                    spec.example
                ),
            ),
        })
    })
}

/// Whether a line names so many kinds of columns by which a header is known, well or badly.
fn is_header<K: Copy + PartialEq>(
    titled: &Titled<'_, K>,
    spec: &TableSpec<K>,
    least: usize,
) -> bool {
    let mut kinds: Vec<K> = Vec::new();
    for named in &titled.named {
        if let Named::Known(kind, _) | Named::WrongUnit(kind, _) = named
            && !kinds.contains(kind)
            && spec
                .quantities
                .iter()
                .any(|quantity| quantity.kind == *kind && quantity.is_essential)
        {
            kinds.push(*kind);
        }
    }
    kinds.len() >= least
}

/// A line of numbers.
fn is_data<K>(titled: &Titled<'_, K>) -> bool {
    let mut filled = titled.cells.iter().filter(|cell| !cell.is_blank());
    let is_number = |cell: &Cell<'_>| written_number(&cell.text, true).is_ok();
    filled.clone().count() >= 2 && filled.all(is_number)
}

/// The line that looks most like a header where none names all it should: one that names something known, else the
/// last one with several cells.
fn weak_header<'t, K: Copy + PartialEq>(
    mut lines: Vec<Titled<'t, K>>,
    spec: &TableSpec<K>,
) -> Option<Found<'t, K>> {
    let is_several =
        |title: &Titled<'_, K>| title.cells.iter().filter(|cell| !cell.is_blank()).count() >= 2;
    let is_near = |title: &Titled<'_, K>| {
        title
            .named
            .iter()
            .any(|named| matches!(named, Named::Nearly(_)))
    };
    let at = lines
        .iter()
        .position(|title| is_header(title, spec, 1) && is_several(title))
        .or_else(|| {
            lines
                .iter()
                .position(|title| is_near(title) && is_several(title))
        })
        .or_else(|| lines.iter().position(|title| is_header(title, spec, 1)))
        .or_else(|| lines.iter().rposition(is_several))?;
    let header = lines.swap_remove(at);
    lines.truncate(at);
    let separator = header.separator;
    Some((lines, header, separator))
}

fn no_header<K>(place: Place, spec: &TableSpec<K>) -> Fault {
    Fault::at(
        place,
        "numbers",
        "a header that names the columns",
        format!("write a line such as {} above", spec.example),
    )
}

fn no_header_at<K>(place: Place, spec: &TableSpec<K>) -> Fault {
    Fault::at(
        place,
        "no line that names the columns",
        "a header",
        format!("write a line such as {}", spec.example),
    )
}
