//! The scale of widths.

use crate::canvas::{Canvas, Paint};
use crate::label::Anchor;
use crate::number::length_in_words;
use crate::outline::{InkPoint, outlines};
use crate::stroke_sheet::StrokeSheet;
use crate::tokens::{LABEL_SIZE, LANE_NAMES, MARGIN, TICK_SIZE, WIDTH};
use crate::width_scale::WidthLaw;

/// Outputs that are shown, percent.
const OUTPUTS: [f64; 7] = [1.0, 10.0, 25.0, 50.0, 75.0, 90.0, 100.0];
const BAR: f64 = 56.0;

/// Draws the key below `top`; gives the height it took.
pub(crate) fn draw(canvas: &mut Canvas, sheet: &StrokeSheet<'_>, top: f64) -> f64 {
    let palette = canvas.palette;
    let law = match sheet.scale.law() {
        WidthLaw::Linear => "Widths: law linear, the width grows with the output",
        WidthLaw::Area => "Widths: law area, the square of the width grows with the output",
    };
    let title = format!(
        "{law}, {} to {} units of this sheet; nothing is drawn at output 0",
        length_in_words(sheet.scale.least()),
        length_in_words(sheet.scale.greatest())
    );
    canvas.ink_text(Anchor::Start, (MARGIN, top + LABEL_SIZE), LABEL_SIZE, title);
    let height = sheet.scale.greatest().max(12.0);
    let middle = top + 1.6 * LABEL_SIZE + 0.5 * height;
    let base = middle + 0.5 * height + 1.3 * TICK_SIZE;
    for (row, text) in ["output", "width"].into_iter().enumerate() {
        let y = base + 1.3 * TICK_SIZE * row as f64;
        canvas.quiet_text(Anchor::Start, (MARGIN, y), TICK_SIZE, text);
    }
    let left = MARGIN + LANE_NAMES;
    let step = (WIDTH - MARGIN - left) / OUTPUTS.len() as f64;
    for (index, percent) in OUTPUTS.into_iter().enumerate() {
        let centre = left + step * (index as f64 + 0.5);
        let width = sheet.scale.width(percent / 100.0);
        let bar = [-0.5, 0.5].map(|end| InkPoint {
            x: centre + end * (BAR - width).max(0.0),
            y: middle,
            width,
        });
        for outline in outlines(&bar) {
            canvas.polygon(&outline, Paint::fill(palette.ink));
        }
        for (row, text) in [format!("{percent:.0} %"), format!("{width:.1}")]
            .into_iter()
            .enumerate()
        {
            let y = base + 1.3 * TICK_SIZE * row as f64;
            canvas.quiet_text(Anchor::Middle, (centre, y), TICK_SIZE, text);
        }
    }
    base + 1.6 * TICK_SIZE - top
}
