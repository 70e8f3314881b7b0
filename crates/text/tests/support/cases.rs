//! Refusals as a list, one case a line.

/// A text that is refused.
pub(crate) struct Case {
    /// The text.
    pub(crate) text: String,
    /// Line and column of its one fault, from 1.
    pub(crate) place: (usize, usize),
    /// A part of what is told.
    pub(crate) found: String,
    /// A part of its remedy.
    pub(crate) remedy: String,
}

/// The parts of lines such as `x,y⏎1,b | 2:3 | what is told`; `⏎` ends a line within a part.
pub(crate) fn rows<const N: usize>(list: &str) -> impl Iterator<Item = [String; N]> {
    list.lines().filter(|line| !line.is_empty()).map(|line| {
        let parts: Vec<String> = line
            .split(" | ")
            .map(|part| part.replace('⏎', "\n"))
            .collect();
        parts
            .try_into()
            .unwrap_or_else(|_| panic!("{N} parts, not {line}"))
    })
}

/// Words of a list such as `one & two`.
pub(crate) fn listed(words: &str) -> Vec<&str> {
    words.split(" & ").collect()
}

/// A text with changes such as `this → that & one → two`; each must find something to change.
#[track_caller]
pub(crate) fn changed(text: &str, changes: &str) -> String {
    listed(changes)
        .iter()
        .fold(text.to_owned(), |text, change| {
            let (from, to) = change.split_once(" →").expect("a change");
            assert!(text.contains(from), "no `{from}` in\n{text}");
            text.replace(from, to.strip_prefix(' ').unwrap_or(to))
        })
}

/// Cases from lines such as `x,y⏎1,b | 2:3 | what is told | what the remedy says`.
pub(crate) fn cases(list: &str) -> impl Iterator<Item = Case> {
    rows(list).map(|[text, place, found, remedy]| {
        let (row, column) = place.split_once(':').expect("line and column");
        Case {
            text,
            place: (
                row.parse().expect("a line"),
                column.parse().expect("a column"),
            ),
            found,
            remedy,
        }
    })
}
