//! Foreign text made safe to show.

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
    fn quotations_are_short_and_closed() {
        assert_eq!(quoted("a`b"), "`a'b`");
        assert_eq!(quoted(&"x".repeat(200)).chars().count(), MOST_QUOTED + 3);
    }
}
