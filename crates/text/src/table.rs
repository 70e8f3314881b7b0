//! A table as people write it: title lines, remarks, a header, rows.

use std::collections::BTreeMap;

use crate::clean::{clean, quoted};
use crate::fault::{Fault, Faults, MOST_FAULTS};
use crate::figures::{ColumnFigures, Figures};
use crate::header::Quantity;
use crate::line::{Body, Cell, Line};
use crate::line_kind::{is_blank, quote_fault, remark_text};
use crate::number::DecimalMark;
use crate::place::Place;
use crate::read_as::{ReadAs, ReadColumn};
use crate::remark::{Remark, Understood};
use crate::table_file::TableFile;
use crate::table_head::{Head, Titled, find_header};
use crate::table_spec::TableSpec;

mod columns;
mod count;
pub(crate) mod lines;
mod part;

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
        let Head { titles, header } =
            find_header(file, spec).map_err(|fault| match file.text() {
                Some(text) => Faults::one_in(file.name(), text, *fault),
                None => Faults::one(file.name(), *fault),
            })?;
        let separator = header.separator;
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
