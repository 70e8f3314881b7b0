//! A sheet of strokes without and with a map.

use crate::heading::{draw_paragraph, headed};
use crate::noise_plot;
use crate::pen::Side;
use crate::recorded_panel;
use crate::step_strips;
use crate::stroke_lanes;
use crate::stroke_sheet::StrokeSheet;
use crate::tokens::{MARGIN, PARAGRAPH_GAP, SECTION_GAP, SMALL_SIZE, Theme};
use crate::width_key;
use crate::words::clean;

/// The sheet as the text of an SVG, 900 units wide and as high as its content needs; the same bytes for the
/// same sheet. Widths of strokes are in its units throughout. Named forces beyond [`MOST_HANDS`](crate::MOST_HANDS), below
/// 0.01 gf or above 100 kgf, and points that are not finite, are left out.
#[must_use]
pub fn stroke_sheet_svg(sheet: &StrokeSheet<'_>, theme: Theme) -> String {
    let (mut canvas, mut y) = headed(theme, &sheet.title, &sheet.subtitle);
    y += stroke_lanes::draw(&mut canvas, sheet, y) + SECTION_GAP;
    if !sheet.recorded.is_empty() {
        y += recorded_panel::draw(&mut canvas, sheet, y) + SECTION_GAP;
    }
    y += width_key::draw(&mut canvas, sheet, y) + SECTION_GAP;
    y += step_strips::draw(&mut canvas, sheet, y) + SECTION_GAP;
    y += noise_plot::draw(&mut canvas, sheet, y) + SECTION_GAP;
    let ink = canvas.palette.quiet_ink;
    y += draw_paragraph(&mut canvas, &sheet.footer, y, SMALL_SIZE, ink);
    let height = y + MARGIN - PARAGRAPH_GAP;
    canvas.finish_page(height, &sheet.title, &in_words(sheet))
}

fn in_words(sheet: &StrokeSheet<'_>) -> String {
    let parts: Vec<String> = sheet
        .shown_hands()
        .map(|hand| {
            let [without, with] = Side::BOTH.map(|side| sheet.width(hand.force_gf, side));
            format!(
                "{} at {:.0} gf: width {without:.1} without the map, {with:.1} with it",
                clean(&hand.name),
                hand.force_gf
            )
        })
        .collect();
    format!("Strokes at named forces. {}.", parts.join("; "))
}
