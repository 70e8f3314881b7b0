//! Text broken into rows.

use crate::letter::{Letter, width_of};

/// Breaks letters into rows of a width: between words, and inside a word only where it is longer than a row. There
/// is always a row, be it empty.
pub(crate) fn wrapped(letters: &[Letter], width: u16) -> Vec<Vec<Letter>> {
    let width = usize::from(width);
    let mut rows = Vec::new();
    let mut row: Vec<Letter> = Vec::new();
    let mut rest = letters;
    loop {
        let spaces = rest.iter().take_while(|letter| letter.is_space()).count();
        let (gap, behind) = rest.split_at(spaces);
        let length = behind
            .iter()
            .take_while(|letter| !letter.is_space())
            .count();
        if length == 0 {
            break;
        }
        let (word, behind) = behind.split_at(length);
        rest = behind;
        if !row.is_empty() {
            if width_of(&row) + width_of(gap) + width_of(word) <= width {
                row.extend_from_slice(gap);
            } else {
                rows.push(std::mem::take(&mut row));
            }
        }
        for letter in word {
            let taken = width_of(&row);
            if usize::from(letter.width()) > width {
                // No row has room for it.
                continue;
            }
            if taken + usize::from(letter.width()) > width {
                rows.push(std::mem::take(&mut row));
            }
            row.push(letter.clone());
        }
    }
    if !row.is_empty() || rows.is_empty() {
        rows.push(row);
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::letter::letters;

    fn rows(text: &str, width: u16) -> Vec<String> {
        wrapped(&letters(text), width)
            .iter()
            .map(|row| row.iter().map(Letter::base).collect())
            .collect()
    }

    #[test]
    fn rows_break_between_words() {
        assert_eq!(rows("one two three", 20), ["one two three"]);
        assert_eq!(rows("one two three", 13), ["one two three"]);
        assert_eq!(rows("one two three", 12), ["one two", "three"]);
        assert_eq!(rows("one two three", 7), ["one two", "three"]);
        assert_eq!(rows("one two three", 6), ["one", "two", "three"]);
        // Spaces at a break are dropped, others are kept.
        assert_eq!(rows("  one  two   three ", 9), ["one  two", "three"]);
    }

    #[test]
    fn text_without_words_is_an_empty_row() {
        assert_eq!(rows("", 5), [""]);
        assert_eq!(rows("   ", 5), [""]);
        assert_eq!(rows("word", 0), [""]);
    }

    #[test]
    fn words_longer_than_a_row_are_broken() {
        assert_eq!(rows("abcdefgh", 3), ["abc", "def", "gh"]);
        assert_eq!(rows("abcdef", 3), ["abc", "def"]);
        assert_eq!(rows("x abcdefgh y", 3), ["x", "abc", "def", "gh", "y"]);
        assert_eq!(rows("x abcdefgh y", 4), ["x", "abcd", "efgh", "y"]);
        assert_eq!(rows("x abcdefg y z", 4), ["x", "abcd", "efg", "y z"]);
        assert_eq!(rows("ab c", 1), ["a", "b", "c"]);
    }

    #[test]
    fn wide_letters_are_never_halved() {
        assert_eq!(rows("千鳥足", 4), ["千鳥", "足"]);
        assert_eq!(rows("千鳥足", 5), ["千鳥", "足"]);
        assert_eq!(rows("a千b", 3), ["a千", "b"]);
        assert_eq!(rows("a千b", 1), ["a", "b"], "no room for it in any row");
    }

    #[test]
    fn no_word_is_lost_and_no_row_too_long() {
        let text = "this is near the limit of 1000.0 gf: stop if anything bends, creaks or slips";
        for width in 1..90 {
            let rows = wrapped(&letters(text), width);
            assert!(rows.iter().all(|row| width_of(row) <= usize::from(width)));
            let letters: String = rows.iter().flatten().map(Letter::base).collect();
            let [found, all] = [&*letters, text].map(|text| text.replace(' ', ""));
            assert_eq!(found, all, "in {width} columns");
        }
    }
}
