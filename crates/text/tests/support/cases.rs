//! Refusals as a list, one case a line.

/// A text that is refused.
pub(crate) struct Case {
    /// The text.
    pub(crate) text: String,
    /// Line and column of its one fault, from 1.
    pub(crate) place: (usize, usize),
    /// A part of what is told.
    pub(crate) found: &'static str,
    /// A part of its remedy.
    pub(crate) remedy: &'static str,
}

/// Cases from lines such as `x,y⏎1,b | 2:3 | what is told | what the remedy says`; `⏎` ends a line of the text.
pub(crate) fn cases(list: &'static str) -> impl Iterator<Item = Case> {
    list.lines().filter(|line| !line.is_empty()).map(|line| {
        let parts: Vec<&str> = line.split(" | ").collect();
        let [text, place, found, remedy] = parts[..] else {
            panic!("four parts, not {line}");
        };
        let (row, column) = place.split_once(':').expect("line and column");
        Case {
            text: text.replace('⏎', "\n"),
            place: (
                row.parse().expect("a line"),
                column.parse().expect("a column"),
            ),
            found,
            remedy,
        }
    })
}
