//! Every line of a table by what it is, for those who write it anew.

use std::borrow::Cow;

use super::{Row, Table};
use crate::line::{Body, Cell};
use crate::line_kind::{is_blank, remark_text, stated_separator};

/// What a line of a table is.
#[derive(Clone, Debug)]
pub enum TableLine<'t> {
    /// Nothing, or what only says how the table is written, such as `sep=;`.
    Blank,
    /// Above the header: the text of its cells.
    Title(String),
    /// What a remark says behind its `#`.
    Remark(Cow<'t, str>),
    /// The names of the columns.
    Header,
    /// Values.
    Row(Row<'t>),
}

impl<'t, K: Copy + PartialEq + std::fmt::Debug> Table<'t, K> {
    /// Every line with its number from 1, in the order of the file.
    pub fn lines(&self) -> impl Iterator<Item = (usize, TableLine<'t>)> + use<'t, K> {
        let (header, separator) = (self.header.number, self.separator);
        self.file.content.lines().map(move |line| {
            let is_above = line.number < header;
            let found = if line.number == header {
                TableLine::Header
            } else if let Some(text) = remark_text(&line) {
                TableLine::Remark(text)
            } else if is_blank(&line, separator) || is_above && stated_separator(&line).is_some() {
                TableLine::Blank
            } else if is_above {
                let cells = line.cells(separator, 0).unwrap_or_default();
                let filled: Vec<&str> = cells
                    .iter()
                    .filter(|cell| !Cell::is_blank(cell))
                    .map(|cell| cell.text.as_ref())
                    .collect();
                let whole = match line.body {
                    Body::Text(text, _) if filled.is_empty() => text.trim().to_owned(),
                    _ => filled.join(", "),
                };
                TableLine::Title(whole)
            } else {
                TableLine::Row(Row { line })
            };
            (line.number, found)
        })
    }
}
