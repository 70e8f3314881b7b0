//! Lines and cells of a table, each with its place in the text.
//!
//! Written here rather than taken from a library because every cell needs its place for messages,
//! comments may stand anywhere, and no quoted cell may span lines: with that rule an unclosed quote
//! is found in its own line instead of swallowing the rest of the file.

use std::ops::Range;

/// Lines of a text with their bytes; LF, CR LF and CR end a line.
pub fn table_lines(text: &str) -> impl Iterator<Item = (&str, Range<usize>)> {
    let mut start = 0;
    std::iter::from_fn(move || {
        if start >= text.len() {
            return None;
        }
        let rest = &text[start..];
        let end = rest.find(['\n', '\r']).map_or(text.len(), |at| start + at);
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

/// A cell that was opened with a quote and never closed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnclosedQuote {
    /// From the quote to the end of its line, bytes of the text.
    pub span: Range<usize>,
}

/// A cell's text and its place in the whole text.
pub type TableCell = (String, Range<usize>);

/// Cells of a line that starts at `offset`, spaces and quotes around them taken off.
///
/// # Errors
/// A quote that is not closed in its line.
pub fn table_cells(
    line: &str,
    separator: char,
    offset: usize,
) -> Result<Vec<TableCell>, UnclosedQuote> {
    let mut found = Vec::new();
    let mut start = 0;
    loop {
        let rest = &line[start..];
        let lead = rest.len() - rest.trim_start_matches(' ').len();
        let from = start + lead;
        if line[from..].starts_with('"') {
            let mut value = String::new();
            let mut at = from + 1;
            loop {
                let Some(quote) = line[at..].find('"') else {
                    return Err(UnclosedQuote {
                        span: offset + from..offset + line.len(),
                    });
                };
                value.push_str(&line[at..at + quote]);
                at += quote + 1;
                // A doubled quote stands for one (RFC 4180, 2.7).
                if !line[at..].starts_with('"') {
                    break;
                }
                value.push('"');
                at += 1;
            }
            let end = line[at..]
                .find(separator)
                .map_or(line.len(), |next| at + next);
            value.push_str(line[at..end].trim());
            found.push((value.trim().to_owned(), offset + from..offset + end));
            start = end;
        } else {
            let end = line[start..]
                .find(separator)
                .map_or(line.len(), |next| start + next);
            let cell = &line[start..end];
            let trimmed = cell.trim();
            let from = start + (cell.len() - cell.trim_start().len()).min(cell.len());
            let from = if trimmed.is_empty() { start } else { from };
            found.push((
                trimmed.to_owned(),
                offset + from..offset + from + trimmed.len(),
            ));
            start = end;
        }
        if start >= line.len() {
            return Ok(found);
        }
        start += separator.len_utf8();
    }
}

/// The separator of a header: a tab if there is one, else a semicolon, else a comma.
#[must_use]
pub fn table_separator(header: &str) -> char {
    ['\t', ';']
        .into_iter()
        .find(|mark| header.contains(*mark))
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

    #[test]
    fn cells_keep_their_places() {
        let values = |line: &str| -> Vec<(String, usize)> {
            table_cells(line, ';', 10)
                .ok()
                .unwrap()
                .into_iter()
                .map(|(v, s)| (v, s.start))
                .collect()
        };
        let cell = |text: &str, at: usize| (text.to_owned(), at);
        assert_eq!(
            values("1; 2,5 ;"),
            [cell("1", 10), cell("2,5", 13), cell("", 18)]
        );
        assert_eq!(values("\"a;\"\"b\";c"), [cell("a;\"b", 10), cell("c", 18)]);
        assert!(table_cells("1;\"2", ';', 0).is_err());
    }
}
