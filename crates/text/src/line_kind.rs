//! What a line of a table is: blank, a remark, or a word on its separator.

use std::borrow::Cow;

use crate::fault::Fault;
use crate::line::{BadQuote, Body, Line};

pub(crate) fn quote_fault(line: &Line<'_>, quote: &BadQuote) -> Fault {
    Fault::at(line.place(&quote.range), quote.found, "", quote.remedy)
}

/// Whether a line holds separators and spaces only.
pub(crate) fn is_blank(line: &Line<'_>, separator: char) -> bool {
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
pub(crate) fn remark_text<'t>(line: &Line<'t>) -> Option<Cow<'t, str>> {
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
pub(crate) fn stated_separator(line: &Line<'_>) -> Option<char> {
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
