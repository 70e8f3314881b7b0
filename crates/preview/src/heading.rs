//! Paragraphs across the picture: title, subtitle, footer.

use crate::canvas::Canvas;
use crate::label::{Anchor, Label};
use crate::tokens::{MARGIN, PARAGRAPH_GAP, SECTION_GAP, SUBTITLE_SIZE, TITLE_SIZE, Theme, WIDTH};
use crate::words::{clean, wrap};

/// Most lines of one paragraph.
const MOST_LINES: usize = 2;

/// Height of a line in font sizes.
const LEADING: f64 = 1.3;

/// A page with title and subtitle at its top, and where to go on below them.
pub(crate) fn headed(theme: Theme, title: &str, subtitle: &str) -> (Canvas, f64) {
    let palette = theme.palette();
    let mut canvas = Canvas::new(palette);
    let mut y = MARGIN;
    y += draw_paragraph(&mut canvas, title, y, TITLE_SIZE, palette.ink) + PARAGRAPH_GAP;
    y += draw_paragraph(&mut canvas, subtitle, y, SUBTITLE_SIZE, palette.quiet_ink);
    (canvas, y + SECTION_GAP)
}

/// Draws `text` below `top`, wrapped; gives the height it took, 0 for an empty text.
pub(crate) fn draw_paragraph(
    canvas: &mut Canvas,
    text: &str,
    top: f64,
    size: f64,
    colour: &str,
) -> f64 {
    draw_lines(canvas, text, top, (size, MOST_LINES), colour)
}

/// The same with a size and as many lines as are given.
pub(crate) fn draw_lines(
    canvas: &mut Canvas,
    text: &str,
    top: f64,
    (size, most): (f64, usize),
    colour: &str,
) -> f64 {
    let mut height = 0.0;
    for line in wrap(&clean(text), size, WIDTH - 2.0 * MARGIN, most) {
        let at = (MARGIN, top + height + size);
        let label = Label::new(Anchor::Start, at, size, line);
        canvas.text(&label, colour);
        height += size * LEADING;
    }
    height
}
