//! Lines of a table and their cells, from a text or from a spreadsheet.
//!
//! Written here rather than taken from a library because every cell needs its place for messages,
//! comments may stand anywhere, and no quoted cell may span lines: with that rule an unclosed quote
//! is found in its own line instead of swallowing the rest of the file.

use std::borrow::Cow;
use std::ops::Range;

use evenhand_sheet::{Flaw, SheetCell, SheetRow};

use crate::place::Place;

/// What a table is made of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Content {
    /// A text.
    Text(String),
    /// Rows of a spreadsheet.
    Grid(Vec<SheetRow>),
}

/// A line of a text, or a row of a spreadsheet.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Line<'t> {
    /// From 1.
    pub(crate) number: usize,
    pub(crate) body: Body<'t>,
}

#[derive(Clone, Copy, Debug)]
pub(crate) enum Body<'t> {
    /// A text and where it starts in the whole.
    Text(&'t str, usize),
    Grid(&'t [SheetCell]),
}

/// A cell.
#[derive(Clone, Debug, PartialEq)]
pub struct Cell<'t> {
    /// Its text, spaces and quotes around it taken off.
    pub text: Cow<'t, str>,
    /// Bytes of its line from where to where, or its position in its row.
    range: Range<usize>,
    /// What a spreadsheet has in it beside its text.
    pub flaw: Option<Flaw>,
}

impl Cell<'_> {
    /// An empty cell behind the end of its line.
    pub(crate) fn blank_at(end: usize) -> Self {
        Self {
            text: Cow::Borrowed(""),
            range: end..end,
            flaw: None,
        }
    }

    /// A part of its text, with its own place where the text stands in the file as it is.
    pub(crate) fn part<'c>(&'c self, part: &'c str) -> Cell<'c> {
        let at = (part.as_ptr() as usize).wrapping_sub(self.text.as_ptr() as usize);
        let is_inside = at
            .checked_add(part.len())
            .is_some_and(|end| end <= self.text.len());
        let is_plain = is_inside && self.range.len() == self.text.len();
        Cell {
            text: Cow::Borrowed(part),
            range: if is_plain {
                self.range.start + at..self.range.start + at + part.len()
            } else {
                self.range.clone()
            },
            flaw: self.flaw,
        }
    }

    /// Whether there is nothing in it.
    #[must_use]
    pub fn is_blank(&self) -> bool {
        self.text.is_empty() && self.flaw.is_none()
    }
}

/// Why a line has no cells.
pub(crate) struct BadQuote {
    pub(crate) range: Range<usize>,
    pub(crate) found: &'static str,
    pub(crate) remedy: &'static str,
}

impl Content {
    pub(crate) fn lines(&self) -> Box<dyn Iterator<Item = Line<'_>> + '_> {
        match self {
            Self::Text(text) => Box::new(table_lines(text).zip(1..).map(
                |((line, span), number)| Line {
                    number,
                    body: Body::Text(line, span.start),
                },
            )),
            Self::Grid(rows) => Box::new(rows.iter().map(|row| Line {
                number: row.number,
                body: Body::Grid(&row.cells),
            })),
        }
    }

    pub(crate) fn text(&self) -> Option<&str> {
        match self {
            Self::Text(text) => Some(text),
            Self::Grid(_) => None,
        }
    }
}

impl<'t> Line<'t> {
    /// The place of a range of its bytes, or of one of its cells.
    pub(crate) fn place(&self, range: &Range<usize>) -> Place {
        match self.body {
            Body::Text(text, start) => {
                let before = text.get(..range.start).unwrap_or(text);
                Place {
                    line: self.number,
                    column: before.chars().count() + 1,
                    span: Some(start + range.start..start + range.end),
                }
            }
            Body::Grid(_) => Place {
                line: self.number,
                column: range.start + 1,
                span: None,
            },
        }
    }

    pub(crate) fn place_of(&self, cell: &Cell<'_>) -> Place {
        self.place(&cell.range)
    }

    /// The place of the whole line.
    pub(crate) fn whole(&self) -> Place {
        match self.body {
            Body::Text(text, _) => self.place(&(0..text.len())),
            Body::Grid(cells) => self.place(&(0..cells.len())),
        }
    }

    /// Its cells, `count` of them as a rule; `separator` counts for texts.
    pub(crate) fn cells(&self, separator: char, count: usize) -> Result<Vec<Cell<'t>>, BadQuote> {
        match self.body {
            Body::Text(text, _) => split(text, separator, count),
            Body::Grid(cells) => Ok(cells
                .iter()
                .enumerate()
                .map(|(index, cell)| Cell {
                    text: Cow::Borrowed(trimmed(&cell.text)),
                    range: index..index + 1,
                    flaw: cell.flaw,
                })
                .collect()),
        }
    }
}

/// Spaces of all kinds, and the byte-order mark that joining files leaves inside.
fn trimmed(text: &str) -> &str {
    // Nothing to take off, as a rule.
    if let [first, .., last] | [first @ last] = text.as_bytes()
        && first.is_ascii_graphic()
        && last.is_ascii_graphic()
    {
        return text;
    }
    text.trim_matches(|c: char| c.is_whitespace() || c == '\u{feff}')
}

/// Lines of a text with their bytes; LF, CR LF and CR end a line.
pub(crate) fn table_lines(text: &str) -> impl Iterator<Item = (&str, Range<usize>)> {
    let mut start = 0;
    std::iter::from_fn(move || {
        if start >= text.len() {
            return None;
        }
        let mut rest = text.as_bytes()[start..].iter();
        let end = rest
            .position(|byte| matches!(byte, b'\n' | b'\r'))
            .map_or(text.len(), |at| start + at);
        let line = start..end;
        start = end
            + if text[end..].starts_with("\r\n") {
                2
            } else {
                1
            };
        Some((&text[line.clone()], line))
    })
}

/// Where a separator stands next, from a place on; the end of the line where there is none. All separators are ASCII,
/// so that bytes will do.
fn next_separator(line: &str, from: usize, separator: char) -> usize {
    let mut rest = line.as_bytes()[from..].iter();
    rest.position(|byte| char::from(*byte) == separator)
        .map_or(line.len(), |at| from + at)
}

/// Cells of a line, `count` of them as a rule, spaces and quotes around them taken off.
fn split(line: &str, separator: char, count: usize) -> Result<Vec<Cell<'_>>, BadQuote> {
    let mut found = Vec::with_capacity(count);
    let mut start = 0;
    loop {
        let rest = &line[start..];
        let lead = rest.len() - rest.trim_start_matches([' ', '\u{a0}']).len();
        let from = start + lead;
        if line[from..].starts_with('"') {
            let (value, end) = quoted_cell(line, from)?;
            let behind = next_separator(line, end, separator);
            if !trimmed(&line[end..behind]).is_empty() {
                return Err(BadQuote {
                    range: from..behind,
                    found: "text behind a closing quote",
                    remedy: "put the whole cell in quotes and write each quote inside twice",
                });
            }
            found.push(Cell {
                text: match value {
                    Cow::Borrowed(text) => Cow::Borrowed(trimmed(text)),
                    Cow::Owned(text) => Cow::Owned(trimmed(&text).to_owned()),
                },
                range: from..end,
                flaw: None,
            });
            start = behind;
        } else {
            let end = next_separator(line, start, separator);
            let cell = &line[start..end];
            let text = trimmed(cell);
            let from = if text.is_empty() {
                start
            } else {
                start + (text.as_ptr() as usize - cell.as_ptr() as usize)
            };
            found.push(Cell {
                text: Cow::Borrowed(text),
                range: from..from + text.len(),
                flaw: None,
            });
            start = end;
        }
        if start >= line.len() {
            return Ok(found);
        }
        start += separator.len_utf8();
    }
}

/// What stands in quotes from `from` on, and where its closing quote ends.
fn quoted_cell(line: &str, from: usize) -> Result<(Cow<'_, str>, usize), BadQuote> {
    let mut value = String::new();
    let mut at = from + 1;
    loop {
        let Some(quote) = line[at..].find('"') else {
            return Err(BadQuote {
                range: from..line.len(),
                found: "a quote that is never closed",
                remedy: "close it in the same line",
            });
        };
        let part = &line[at..at + quote];
        at += quote + 1;
        // A doubled quote stands for one (RFC 4180, 2.7).
        if !line[at..].starts_with('"') {
            let is_plain = value.is_empty();
            value.push_str(part);
            let text = if is_plain {
                Cow::Borrowed(part)
            } else {
                Cow::Owned(value)
            };
            return Ok((text, at));
        }
        value.push_str(part);
        value.push('"');
        at += 1;
    }
}

/// The separator of a line: a tab if there is one, else a semicolon, else a comma.
pub(crate) fn separator_of(line: &str) -> char {
    ['\t', ';']
        .into_iter()
        .find(|mark| line.contains(*mark))
        .unwrap_or(',')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_ending_ends_a_line() {
        let text = "a\nb\r\nc\rd";
        let found: Vec<&str> = table_lines(text).map(|(line, _)| line).collect();
        assert_eq!(found, ["a", "b", "c", "d"]);
        for (line, span) in table_lines(text) {
            assert_eq!(line, &text[span]);
        }
    }

    fn values(line: &str, separator: char) -> Vec<(String, usize)> {
        let Ok(cells) = split(line, separator, 0) else {
            panic!("{line}");
        };
        cells
            .into_iter()
            .map(|cell| (cell.text.into_owned(), cell.range.start))
            .collect()
    }

    #[test]
    fn cells_keep_their_places() {
        let cell = |text: &str, at: usize| (text.to_owned(), at);
        assert_eq!(
            values("1; 2,5 ;", ';'),
            [cell("1", 0), cell("2,5", 3), cell("", 8)]
        );
        assert_eq!(
            values("\"a;\"\"b\";c", ';'),
            [cell("a;\"b", 0), cell("c", 8)]
        );
        assert_eq!(values("\"\"\"\"", ','), [cell("\"", 0)]);
        assert_eq!(
            values("\u{a0}\"5\" ,\u{a0}6\u{a0}", ','),
            [cell("5", 2), cell("6", 9)]
        );
    }

    #[test]
    fn bad_quotes_are_refused() {
        for line in ["1;\"2", "\"1\"2\";3", "\"1\" 2;3"] {
            assert!(split(line, ';', 0).is_err(), "{line}");
        }
    }
}
