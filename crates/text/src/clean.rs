//! Foreign text made safe to show.

use std::fmt::Write as _;

/// Characters of a quotation that are shown.
const MOST_QUOTED: usize = 60;

/// Whether a character would steer a terminal, turn the direction of writing, or not be seen at all.
fn steers(c: char) -> bool {
    c.is_control()
        || matches!(
            c,
            '\u{ad}'
                | '\u{61c}'
                | '\u{180e}'
                | '\u{200b}'..='\u{200f}'
                | '\u{2028}'..='\u{202e}'
                | '\u{2060}'..='\u{206f}'
                | '\u{feff}'
                | '\u{fff9}'..='\u{fffb}'
                | '\u{e0000}'..='\u{e007f}'
        )
}

/// A text as it can be shown: each character that would steer a terminal, turn the direction of writing or be
/// invisible is replaced by U+FFFD.
#[must_use]
pub fn clean(text: &str) -> String {
    text.chars()
        .map(|c| if steers(c) { '\u{fffd}' } else { c })
        .collect()
}

/// A text of several lines as it can be shown: as [`clean`], but line breaks and tabs stay.
#[must_use]
pub fn clean_lines(text: &str) -> String {
    let mut characters = text.chars().peekable();
    let mut shown = String::with_capacity(text.len());
    while let Some(c) = characters.next() {
        let is_layout = match c {
            '\n' | '\t' => true,
            '\r' => characters.peek() == Some(&'\n'),
            _ => false,
        };
        shown.push(if is_layout || !steers(c) {
            c
        } else {
            '\u{fffd}'
        });
    }
    shown
}

/// The text of a JSON value with every character that would steer a terminal, turn the direction of writing or be
/// invisible written as an escape: the value stays what it is, the text can be shown.
#[must_use]
pub fn json_escaped(json: &str) -> String {
    let mut escaped = String::with_capacity(json.len());
    for c in json.chars() {
        // Between values there are no others; within strings these are escaped already.
        if matches!(c, '\n' | '\r' | '\t') || !steers(c) {
            escaped.push(c);
        } else {
            for unit in c.encode_utf16(&mut [0; 2]) {
                let _ = write!(escaped, "\\u{unit:04x}");
            }
        }
    }
    escaped
}

/// A text as a TOML basic string, quotes included, in which nothing steers: what has to be is escaped.
#[must_use]
pub fn toml_string(text: &str) -> String {
    let mut string = String::with_capacity(text.len() + 2);
    string.push('"');
    for c in text.chars() {
        match c {
            '"' | '\\' => {
                string.push('\\');
                string.push(c);
            }
            c if steers(c) => {
                let _ = write!(string, "\\U{:08X}", u32::from(c));
            }
            c => string.push(c),
        }
    }
    string.push('"');
    string
}

/// Whether [`clean`] would leave a text as it is.
#[must_use]
pub fn is_clean(text: &str) -> bool {
    !text.chars().any(steers)
}

/// A text as a quotation between back ticks: cleaned, on one line, and cut where it is longer than anybody reads.
#[must_use]
pub fn quoted(text: &str) -> String {
    let mut characters = text.chars();
    let mut shown: String = characters.by_ref().take(MOST_QUOTED).collect();
    if characters.next().is_some() {
        shown.push('…');
    }
    // A back tick would end the quotation.
    format!("`{}`", clean(&shown).replace('`', "'"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_that_steers_is_left() {
        let text = "a\u{1b}[31mb\u{202e}c\u{2066}d\u{200b}e\nf\u{9b}g";
        assert_eq!(
            clean(text),
            "a\u{fffd}[31mb\u{fffd}c\u{fffd}d\u{fffd}e\u{fffd}f\u{fffd}g"
        );
        assert!(is_clean(&clean(text)) && !is_clean(text));
        assert_eq!(clean("Größe 海辺 −5 µm"), "Größe 海辺 −5 µm");
    }

    #[test]
    fn lines_stay_lines() {
        assert_eq!(
            clean_lines("a\tb\r\nc\rd\u{1b}\n"),
            "a\tb\r\nc\u{fffd}d\u{fffd}\n"
        );
    }

    #[test]
    fn values_survive_being_escaped() {
        for text in ["a\u{1b}[31m\u{202e}b\u{7f}\u{9b}", "\u{e0001}\"\\é\n"] {
            let toml = toml_string(text);
            assert!(is_clean(&toml), "{toml}");
            let table: toml::Table = format!("t = {toml}").parse().unwrap();
            assert_eq!(table["t"].as_str(), Some(text));
        }
        assert_eq!(
            json_escaped("{\n \"a\": \"\u{202e}\u{e0001}\"}"),
            "{\n \"a\": \"\\u202e\\udb40\\udc01\"}"
        );
    }

    #[test]
    fn quotations_are_short_and_closed() {
        assert_eq!(quoted("a`b"), "`a'b`");
        assert_eq!(quoted(&"x".repeat(200)).chars().count(), MOST_QUOTED + 3);
    }
}
