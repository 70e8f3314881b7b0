//! A sheet of strokes without and with a map.

use crate::canvas::{Canvas, Paint};
use crate::heading::draw_paragraph;
use crate::noise_plot;
use crate::pen::{Pen, Scatter};
use crate::recorded_panel;
use crate::step_strips;
use crate::stroke_lanes;
use crate::tokens::{
    MARGIN, PARAGRAPH_GAP, SECTION_GAP, SMALL_SIZE, SUBTITLE_SIZE, TITLE_SIZE, Theme, WIDTH,
};
use crate::width_key;
use crate::width_scale::WidthScale;
use crate::words::clean;

/// A force of the hand with its name.
#[derive(Clone, Debug, PartialEq)]
pub struct HandForce {
    /// What it is called: light, usual, firm.
    pub name: String,
    /// As the hand means it, gf, above 0.
    pub force_gf: f64,
}

/// A point of a recorded stroke.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RecordedPoint {
    /// To the right, in any unit.
    pub x: f64,
    /// Downwards, in the same unit.
    pub y: f64,
    /// Reading, 0..1.
    pub reading: f64,
}

/// What a sheet shows.
#[derive(Clone)]
pub struct StrokeSheet<'a> {
    /// Whose strokes.
    pub title: String,
    /// With which map.
    pub subtitle: String,
    /// Forces at which the figures are drawn; the lightest first.
    pub hands: Vec<HandForce>,
    /// The stylus and its map.
    pub pen: Pen<'a>,
    /// Widths of strokes.
    pub scale: WidthScale,
    /// What readings and forces scatter.
    pub scatter: Scatter,
    /// Strokes that were recorded, drawn below the figures.
    pub recorded: Vec<Vec<RecordedPoint>>,
    /// Sentences below all.
    pub footer: String,
}

/// Most named forces of a sheet.
pub const MOST_HANDS: usize = 8;

/// No stylus feels less, gf.
const LEAST_GF: f64 = 0.01;
/// No hand presses harder, gf.
const GREATEST_GF: f64 = 100_000.0;

/// The sheet as the text of an SVG, 900 units wide and as high as its content needs; the same bytes for the
/// same sheet. Widths of strokes are in its units throughout. Named forces beyond [`MOST_HANDS`], below
/// 0.01 gf or above 100 kgf, and points that are not finite, are left out.
#[must_use]
pub fn stroke_sheet_svg(sheet: &StrokeSheet<'_>, theme: Theme) -> String {
    let palette = theme.palette();
    let mut canvas = Canvas::default();
    let mut y = MARGIN;
    y += draw_paragraph(&mut canvas, &sheet.title, y, TITLE_SIZE, palette.ink) + PARAGRAPH_GAP;
    let subtitle = &sheet.subtitle;
    y += draw_paragraph(&mut canvas, subtitle, y, SUBTITLE_SIZE, palette.quiet_ink) + SECTION_GAP;
    y += stroke_lanes::draw(&mut canvas, sheet, y, palette) + SECTION_GAP;
    if !sheet.recorded.is_empty() {
        y += recorded_panel::draw(&mut canvas, sheet, y, palette) + SECTION_GAP;
    }
    y += width_key::draw(&mut canvas, sheet, y, palette) + SECTION_GAP;
    y += step_strips::draw(&mut canvas, sheet, y, palette) + SECTION_GAP;
    y += noise_plot::draw(&mut canvas, sheet, y, palette) + SECTION_GAP;
    y += draw_paragraph(&mut canvas, &sheet.footer, y, SMALL_SIZE, palette.quiet_ink);
    let size = (WIDTH, y + MARGIN - PARAGRAPH_GAP);
    let mut page = Canvas::default();
    page.rectangle((0.0, 0.0), size, Paint::fill(palette.background));
    page.append(&canvas);
    page.finish(size, &clean(&sheet.title), &in_words(sheet))
}

/// The named forces that are drawn.
pub(crate) fn shown<'s>(sheet: &'s StrokeSheet<'_>) -> impl Iterator<Item = &'s HandForce> {
    sheet
        .hands
        .iter()
        .filter(|hand| (LEAST_GF..=GREATEST_GF).contains(&hand.force_gf))
        .take(MOST_HANDS)
}

fn in_words(sheet: &StrokeSheet<'_>) -> String {
    use crate::pen::Side;
    let parts: Vec<String> = shown(sheet)
        .map(|hand| {
            let width = |side| sheet.scale.width(sheet.pen.output(hand.force_gf, side));
            format!(
                "{} at {:.0} gf: width {:.1} without the map, {:.1} with it",
                clean(&hand.name),
                hand.force_gf,
                width(Side::Without),
                width(Side::With)
            )
        })
        .collect();
    format!("Strokes at named forces. {}.", parts.join("; "))
}
