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
        let (line, column) = Walk::new(text).to(span.start);
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

/// A walk through a text that counts lines and columns, so that many places cost no more than the last of them.
#[derive(Debug)]
pub(crate) struct Walk<'t> {
    text: &'t str,
    at: usize,
    line: usize,
    column: usize,
}

impl<'t> Walk<'t> {
    pub(crate) fn new(text: &'t str) -> Self {
        Self {
            text,
            at: 0,
            line: 1,
            column: 1,
        }
    }

    /// Goes on to a byte that does not lie before where the walk is; gives its line and column.
    pub(crate) fn to(&mut self, at: usize) -> (usize, usize) {
        let mut at = at.min(self.text.len());
        while !self.text.is_char_boundary(at) {
            at -= 1;
        }
        for (index, byte) in self.text.bytes().enumerate().take(at).skip(self.at) {
            let ends = match byte {
                b'\n' => true,
                // The LF of a CR LF ends the line.
                b'\r' => self.text.as_bytes().get(index + 1) != Some(&b'\n'),
                _ => false,
            };
            if ends {
                self.line += 1;
                self.column = 1;
            } else if byte & 0xc0 != 0x80 {
                // Bytes that go on with a character are not counted.
                self.column += 1;
            }
        }
        self.at = self.at.max(at);
        (self.line, self.column)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_break_counts_once() {
        let text = "ab\ncd\r\nef\rgé h";
        let place = |part: &str| Walk::new(text).to(text.find(part).unwrap());
        assert_eq!(place("a"), (1, 1));
        assert_eq!(place("d"), (2, 2));
        assert_eq!(place("f"), (3, 2));
        assert_eq!(place("h"), (4, 4));
        assert_eq!(Walk::new(text).to(usize::MAX), (4, 5));
        assert_eq!(Walk::new("").to(0), (1, 1));
        // The same step by step.
        let mut walk = Walk::new(text);
        for at in (0..=text.len()).filter(|at| text.is_char_boundary(*at)) {
            assert_eq!(walk.to(at), Walk::new(text).to(at));
        }
    }
}
