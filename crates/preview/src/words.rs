//! Text made fit for a place: cleaned, shortened, wrapped.

use crate::text_width::text_width;

/// `text` as one line: runs of white space and of characters that XML forbids, that are not seen or that turn the
/// direction of writing become one space.
pub(crate) fn clean(text: &str) -> String {
    let spaced = evenhand_text::clean(text).replace(['\u{fffd}', '\u{fffe}', '\u{ffff}'], " ");
    spaced.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// `text`, shortened with an ellipsis where it needs more than `room`.
pub(crate) fn shorten(text: &str, size: f64, room: f64) -> String {
    if text_width(text, size) <= room {
        return text.to_owned();
    }
    let kept = longest_prefix(text, size, room, "…");
    format!("{}…", kept.trim_end())
}

/// `text` in at most `lines` lines no wider than `room`, broken between words where it can be;
/// the last line ends in an ellipsis if something is left over.
pub(crate) fn wrap(text: &str, size: f64, room: f64, lines: usize) -> Vec<String> {
    let mut done = Vec::new();
    let mut rest = text;
    while !rest.is_empty() && done.len() < lines {
        if done.len() + 1 == lines || text_width(rest, size) <= room {
            done.push(shorten(rest, size, room));
            break;
        }
        let fitting = longest_prefix(rest, size, room, "");
        // A break between words, unless the line is one long word.
        let line = if rest[fitting.len()..].starts_with(' ') {
            fitting
        } else {
            fitting.rfind(' ').map_or(fitting, |at| &fitting[..at])
        };
        if line.is_empty() {
            break;
        }
        done.push(line.trim_end().to_owned());
        rest = rest[line.len()..].trim_start();
    }
    done
}

/// The longest beginning of `text` that fits in `room` with `ending` after it.
fn longest_prefix<'a>(text: &'a str, size: f64, room: f64, ending: &str) -> &'a str {
    let ends: Vec<usize> = text
        .char_indices()
        .map(|(at, _)| at)
        .chain([text.len()])
        .collect();
    let fits = |end: usize| text_width(&format!("{}{ending}", &text[..end]), size) <= room;
    let count = ends.partition_point(|&end| fits(end));
    &text[..ends[count.saturating_sub(1)]]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cleans_controls_and_spaces() {
        let text = " a\u{0}b\n\tc \u{202e}d\u{ffff}\u{200b}e";
        assert_eq!(clean(text), "a b c d e", "one line");
    }

    #[test]
    fn wraps_between_words() {
        let text = "Dunlin 01 on the long beam with the old feet";
        let lines = wrap(text, 12.0, 130.0, 9);
        assert!(lines.len() > 1, "{lines:?}");
        assert_eq!(lines.join(" "), text, "nothing lost");
        for line in &lines {
            assert!(text_width(line, 12.0) <= 130.0, "{line}");
        }
    }

    #[test]
    fn last_line_ends_in_an_ellipsis() {
        let lines = wrap(&"Curlew ".repeat(40), 12.0, 200.0, 2);
        assert_eq!(lines.len(), 2, "{lines:?}");
        assert!(lines[1].ends_with('…'), "{lines:?}");
    }

    #[test]
    fn long_words_are_broken() {
        let lines = wrap(&"x".repeat(100), 12.0, 100.0, 3);
        assert_eq!(lines.len(), 3, "{lines:?}");
        for line in &lines {
            assert!(text_width(line, 12.0) <= 100.0, "{line}");
        }
        assert_eq!(wrap("", 12.0, 100.0, 3), Vec::<String>::new(), "empty");
        let lines = wrap("Godwit", 12.0, 0.5, 3);
        assert!(lines.is_empty(), "no room for one letter");
    }
}
