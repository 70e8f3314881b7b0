//! The figures at every named force, a lane without and a lane with the map.

use crate::canvas::Canvas;
use crate::label::{Anchor, Label};
use crate::number::force_in_words;
use crate::outline::{InkPoint, outlines};
use crate::pen::Side;
use crate::stroke_sheet::{HandForce, StrokeSheet};
use crate::test_stroke::TestStroke;
use crate::tokens::{
    LABEL_SIZE, LANE_COLUMN, LANE_GAP, LANE_INSET, LANE_NAMES, LANE_NUMBERS, LANE_ROOM, MARGIN,
    Palette, SMALL_SIZE, STROKE_GAP, TICK_SIZE, WIDTH,
};
use crate::words::{clean, shorten};

const HEAD: f64 = 22.0;

/// Draws the lanes below `top`; gives the height they took.
pub(crate) fn draw(canvas: &mut Canvas, sheet: &StrokeSheet<'_>, top: f64) -> f64 {
    let palette = canvas.palette;
    let base = top + TICK_SIZE;
    for (index, figure) in TestStroke::ALL.into_iter().enumerate() {
        let middle = column(index) + 0.5 * LANE_COLUMN;
        canvas.quiet_text(Anchor::Middle, (middle, base), TICK_SIZE, figure.title());
    }
    let at = (WIDTH - MARGIN, base);
    canvas.quiet_text(Anchor::End, at, TICK_SIZE, "output, width");
    let height = lane_height(sheet);
    let mut y = top + HEAD;
    for hand in sheet.shown_hands() {
        canvas.grid_line((MARGIN, y), (WIDTH - MARGIN, y));
        y += LANE_GAP;
        let name = shorten(&clean(&hand.name), LABEL_SIZE, LANE_NAMES - 8.0);
        canvas.ink_text(Anchor::Start, (MARGIN, y + LABEL_SIZE), LABEL_SIZE, &name);
        let force = force_in_words(hand.force_gf);
        let place = y + LABEL_SIZE + 1.35 * TICK_SIZE;
        canvas.quiet_text(Anchor::Start, (MARGIN, place), TICK_SIZE, &force);
        for side in Side::BOTH {
            let middle = y + 0.5 * height;
            let at = (LANE_NAMES + MARGIN - 6.0, middle + 0.35 * TICK_SIZE);
            let named = Label::new(Anchor::End, at, TICK_SIZE, side.as_str());
            canvas.text(&named, ink(side, palette));
            canvas.open_group(side.as_str());
            for (index, figure) in TestStroke::ALL.into_iter().enumerate() {
                let corner = (column(index), y);
                draw_figure(canvas, sheet, hand, figure, side, corner);
            }
            canvas.close_group();
            let output = sheet.pen.output(hand.force_gf, side);
            let text = format!("{:.0} %, {:.1}", 100.0 * output, sheet.scale.width(output));
            let at = (WIDTH - MARGIN, middle + 0.35 * LABEL_SIZE);
            let label = Label::new(Anchor::End, at, LABEL_SIZE, text);
            canvas.text(&label, ink(side, palette));
            y += height;
        }
        y += LANE_GAP;
    }
    let note =
        "Each figure reaches the named force once; output and width are those at that force.";
    canvas.quiet_text(Anchor::Start, (MARGIN, y + SMALL_SIZE), SMALL_SIZE, note);
    y + 1.3 * SMALL_SIZE - top
}

/// Colour of a side: darker and bluer with the map.
pub(crate) fn ink(side: Side, palette: &Palette) -> &'static str {
    match side {
        Side::Without => palette.quiet_ink,
        Side::With => palette.curve,
    }
}

/// Draws a stroke with a line around that keeps it apart from those it lies on.
pub(crate) fn draw_stroke(canvas: &mut Canvas, points: &[InkPoint], side: Side) {
    let palette = canvas.palette;
    let gap = (palette.background, STROKE_GAP);
    canvas.polygons(&outlines(points), ink(side, palette), gap);
}

fn column(index: usize) -> f64 {
    let room = WIDTH - 2.0 * MARGIN - LANE_NAMES - LANE_NUMBERS;
    MARGIN + LANE_NAMES + room / TestStroke::ALL.len() as f64 * index as f64
}

fn lane_height(sheet: &StrokeSheet<'_>) -> f64 {
    sheet.scale.greatest() + LANE_ROOM
}

fn draw_figure(
    canvas: &mut Canvas,
    sheet: &StrokeSheet<'_>,
    hand: &HandForce,
    figure: TestStroke,
    side: Side,
    corner: (f64, f64),
) {
    // A straight line keeps its width's room at both ends only, the others all round.
    let margin = 0.5 * sheet.scale.greatest() + LANE_INSET;
    let corner = (corner.0 + margin, corner.1 + margin);
    let (width, height) = (LANE_COLUMN, lane_height(sheet));
    let size = (width - 2.0 * margin, height - 2.0 * margin);
    let width_at = |part: f64| sheet.width(part * hand.force_gf, side);
    for stroke in figure.ink(corner, size, width_at) {
        draw_stroke(canvas, &stroke, side);
    }
}
