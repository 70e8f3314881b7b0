//! How wide a line of text is drawn.

use skrifa::instance::{LocationRef, Size};
use skrifa::{FontRef, MetadataProvider};

use crate::fonts::FONT_DATA;
use crate::tokens::TEXT_SLACK;

/// Advance in em of a character that no built-in font has, wide enough for most scripts.
const UNKNOWN_ADVANCE: f64 = 1.0;

/// Room in SVG units to keep for `text` at a font size of `size`: the sum of the advances, which
/// kerning hardly exceeds, times the slack for viewers that draw in another face.
///
/// A line with a character that the first font lacks may be drawn wholly in the next font; the
/// widest of those drawings counts.
pub(crate) fn text_width(text: &str, size: f64) -> f64 {
    let mut widest: f64 = 0.0;
    for first in 0..FONT_DATA.len() {
        let mut sum = 0.0;
        let mut complete = true;
        for character in text.chars() {
            let order = (first..FONT_DATA.len()).chain(0..first);
            let found = order
                .clone()
                .find_map(|index| advance(index, character).map(|em| (index, em)));
            complete &= found.is_some_and(|(index, _)| index == first);
            sum += found.map_or(UNKNOWN_ADVANCE, |(_, em)| em);
        }
        widest = widest.max(sum);
        if complete {
            break;
        }
    }
    widest * size * TEXT_SLACK
}

fn advance(font: usize, character: char) -> Option<f64> {
    let font = FontRef::new(FONT_DATA[font]).ok()?;
    let glyph = font.charmap().map(character)?;
    let metrics = font.glyph_metrics(Size::new(1.0), LocationRef::default());
    metrics.advance_width(glyph).map(f64::from)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wider_text_needs_more_room() {
        let [wide, narrow] = ["mmmm", "iiii"].map(|text| text_width(text, 12.0));
        assert!(wide > narrow, "m and i");
        let [one, two] = [10.0, 20.0].map(|size| text_width("onset", size));
        assert!((two - 2.0 * one).abs() < 1e-9, "{one}");
        assert!(text_width("", 12.0).abs() < f64::EPSILON, "nothing");
    }

    #[test]
    fn unknown_characters_have_room() {
        assert!(text_width("海辺", 10.0) >= 20.0, "two full widths");
    }
}
