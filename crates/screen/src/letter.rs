//! Text as letters of known width.
//!
//! A terminal shows a letter in one cell or in two, and marks such as accents on the letter before them. Letters
//! that would move what follows them (controls, changes of direction, joiners) never get as far as the terminal.

use unicode_width::UnicodeWidthChar as _;

/// Most marks on a letter; more would spill over the rows around it.
const MOST_MARKS: usize = 4;
/// Stands for what must not be shown.
const REPLACEMENT: char = '?';

/// A letter with the marks that stand on it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Letter {
    base: char,
    marks: String,
    width: u16,
}

impl Letter {
    /// An empty cell.
    pub(crate) const BLANK: Self = Self::narrow(' ');

    /// A letter that is known to be one cell wide.
    pub(crate) const fn narrow(base: char) -> Self {
        Self {
            base,
            marks: String::new(),
            width: 1,
        }
    }

    /// Cells that it takes, 1 or 2.
    pub(crate) fn width(&self) -> u16 {
        self.width
    }

    /// The letter without its marks.
    pub(crate) fn base(&self) -> char {
        self.base
    }

    /// The marks that stand on it.
    pub(crate) fn marks(&self) -> &str {
        &self.marks
    }

    /// Whether all terminals agree on its width.
    pub(crate) fn is_plain(&self) -> bool {
        self.marks.is_empty() && matches!(self.base, ' '..='~' | '─'..='▟' | '⠀'..='⣿')
    }

    /// Whether a line can be broken there.
    pub(crate) fn is_space(&self) -> bool {
        self.base == ' '
    }
}

/// The letters of a text. Tabs and ends of lines become spaces, other controls a replacement.
pub(crate) fn letters(text: &str) -> Vec<Letter> {
    let mut letters: Vec<Letter> = Vec::new();
    for found in text.chars() {
        let base = match found {
            '\t'..='\r' | '\u{85}' | '\u{2028}' | '\u{2029}' => ' ',
            other => other,
        };
        match base.width() {
            Some(0) => {
                if !is_invisible(base)
                    && let Some(letter) = letters.last_mut()
                    && letter.marks.chars().count() < MOST_MARKS
                {
                    letter.marks.push(base);
                }
            }
            Some(2) => letters.push(Letter {
                width: 2,
                ..Letter::narrow(base)
            }),
            Some(1) => letters.push(Letter::narrow(base)),
            // Controls, and letters wider than terminals agree on.
            _ => letters.push(Letter::narrow(REPLACEMENT)),
        }
    }
    letters
}

/// Cells that letters take.
pub(crate) fn width_of(letters: &[Letter]) -> usize {
    letters.iter().map(|letter| usize::from(letter.width)).sum()
}

/// Whether a letter without width is no mark but steers how others are shown.
fn is_invisible(letter: char) -> bool {
    matches!(letter,
        '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{70f}' | '\u{1160}' | '\u{17b4}' | '\u{17b5}'
        | '\u{180b}'..='\u{180f}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}'
        | '\u{2060}'..='\u{206f}' | '\u{3164}' | '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{ffa0}'
        | '\u{fff0}'..='\u{fffb}' | '\u{1bca0}'..='\u{1bca3}' | '\u{1d173}'..='\u{1d17a}'
        | '\u{e0000}'..='\u{e0fff}')
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bases(text: &str) -> String {
        letters(text).iter().map(Letter::base).collect()
    }

    #[test]
    fn controls_are_never_letters() {
        assert_eq!(bases("a\tb\r\nc"), "a b  c");
        assert_eq!(bases("a\u{85}b\u{2028}c\u{2029}d"), "a b c d");
        assert_eq!(bases("\u{1b}[31m\u{7}\u{7f}\u{9b}x"), "?[31m???x");
        for code in 0..=0x0010_ffff_u32 {
            if let Some(letter) = char::from_u32(code) {
                let found = letters(&format!("a{letter}"));
                for one in &found {
                    assert!(one.width == 1 || one.width == 2, "{code:x}");
                    assert!(!one.base.is_control(), "{code:x}");
                    assert!(!one.marks.chars().any(char::is_control), "{code:x}");
                }
            }
        }
    }

    #[test]
    fn what_steers_other_letters_is_left_out() {
        assert_eq!(bases("a\u{202e}b\u{200b}c\u{feff}d\u{2066}e"), "abcde");
        assert!(letters("a\u{202e}\u{200d}\u{fe0f}")[0].marks.is_empty());
        // A family joined to one picture is shown as its members.
        assert_eq!(width_of(&letters("👩\u{200d}👧")), 4);
    }

    #[test]
    fn marks_stand_on_the_letter_before_them() {
        let found = letters("e\u{301}a");
        assert_eq!(found.len(), 2);
        assert_eq!((found[0].base, found[0].marks()), ('e', "\u{301}"));
        assert_eq!(width_of(&found), 2);
        assert!(letters("\u{301}").is_empty(), "nothing to stand on");
        let many = "a".to_owned() + &"\u{301}".repeat(50);
        assert_eq!(letters(&many)[0].marks().chars().count(), MOST_MARKS);
    }

    #[test]
    fn wide_letters_take_two_cells() {
        assert_eq!(width_of(&letters("千鳥")), 4);
        assert_eq!(width_of(&letters("sh·q")), 4);
        // No terminal shows a letter in three cells.
        assert_eq!(bases("\u{17d8}"), "?");
    }

    #[test]
    fn only_what_all_terminals_agree_on_is_plain() {
        for (text, is_plain) in [
            ("a", true),
            ("█", true),
            ("⣿", true),
            ("千", false),
            ("☔", false),
            ("é", false),
            ("e\u{301}", false),
        ] {
            assert_eq!(letters(text)[0].is_plain(), is_plain, "{text}");
        }
    }
}
