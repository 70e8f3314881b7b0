//! Where something stands in a text.

use std::ops::Range;

/// A place in a file, from 1: a line with a column in characters, or a row and column of a spreadsheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// The bytes of the text that are meant; `None` in a spreadsheet.
    pub span: Option<Range<usize>>,
}

impl Place {
    /// The place of some bytes of a text; lines end with LF, CR LF or CR.
    #[must_use]
    pub fn of(text: &str, span: Range<usize>) -> Self {
        let (line, column) = line_and_column(text, span.start);
        Self {
            line,
            column,
            span: Some(span),
        }
    }
}

/// A value with the place it was read from.
#[derive(Clone, Debug, PartialEq)]
pub struct Located<T> {
    /// The value.
    pub value: T,
    /// Where it stands, bytes of the text.
    pub span: Range<usize>,
}

/// Line and column (in characters), both from 1, of a byte of a text; lines end with LF, CR LF or CR.
#[must_use]
pub fn line_and_column(text: &str, at: usize) -> (usize, usize) {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    let before = &text[..at];
    let mut line = 1;
    let mut start = 0;
    for (index, byte) in before.bytes().enumerate() {
        let ends = match byte {
            b'\n' => true,
            // The LF of a CR LF ends the line.
            b'\r' => text.as_bytes().get(index + 1) != Some(&b'\n'),
            _ => false,
        };
        if ends {
            line += 1;
            start = index + 1;
        }
    }
    (line, before[start..].chars().count() + 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_break_counts_once() {
        let text = "ab\ncd\r\nef\rgé h";
        let place = |part: &str| line_and_column(text, text.find(part).unwrap());
        assert_eq!(place("a"), (1, 1));
        assert_eq!(place("d"), (2, 2));
        assert_eq!(place("f"), (3, 2));
        assert_eq!(place("h"), (4, 4));
        assert_eq!(line_and_column(text, usize::MAX), (4, 5));
        assert_eq!(line_and_column("", 0), (1, 1));
    }
}
