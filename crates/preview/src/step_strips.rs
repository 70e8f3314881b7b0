//! The steps that whole readings leave in a stroke, enlarged.

use crate::canvas::{Canvas, Paint};
use crate::label::{Anchor, Label};
use crate::pen::Side;
use crate::stroke_lanes::ink;
use crate::stroke_sheet::StrokeSheet;
use crate::tokens::{LABEL_SIZE, MARGIN, SECTION_GAP, SMALL_SIZE, TICK_SIZE, WIDTH};

/// Enlargement of the strips.
const ZOOM: f64 = 4.0;
/// Part of the range of readings that a strip runs over.
const WINDOW: f64 = 0.04;
/// Most steps that are drawn; more are finer than the picture.
const MOST_STEPS: u32 = 600;

/// Draws the strips below `top`; gives the height they took.
pub(crate) fn draw(canvas: &mut Canvas, sheet: &StrokeSheet<'_>, top: f64) -> f64 {
    let palette = canvas.palette;
    let pen = &sheet.pen;
    let levels = pen.levels.max(2);
    let worst = steepest(sheet);
    let half = ((WINDOW / 2.0 * pen.last()).ceil()).max(3.0);
    let low = (worst - half).max(0.0);
    let high = (low + 2.0 * half).min(pen.last());
    let low = (high - 2.0 * half).max(0.0);
    let title = format!(
        "Steps at {ZOOM:.0} times: a stroke pressed slowly from reading {:.1} % to {:.1} %, where the map climbs most",
        100.0 * low / pen.last(),
        100.0 * high / pen.last(),
    );
    canvas.ink_text(Anchor::Start, (MARGIN, top + LABEL_SIZE), LABEL_SIZE, title);
    let room = (WIDTH - 2.0 * MARGIN - SECTION_GAP) / 2.0;
    let tallest = Side::BOTH
        .into_iter()
        .map(|side| width(sheet, side, high))
        .fold(0.0, f64::max)
        * ZOOM;
    let head = top + 1.5 * LABEL_SIZE;
    let middle = head + 1.6 * TICK_SIZE + 0.5 * tallest.max(8.0);
    for (index, side) in Side::BOTH.into_iter().enumerate() {
        let left = MARGIN + (room + SECTION_GAP) * index as f64;
        let step = largest_step(sheet, side, low, high);
        let text = format!(
            "{}: one reading more changes the width by up to {}",
            side.as_str(),
            in_figures(step)
        );
        let name = Label::new(Anchor::Start, (left, head + TICK_SIZE), TICK_SIZE, text);
        canvas.text(&name, ink(side, palette));
        let edge = strip(sheet, side, (low, high), left, room);
        let above = edge.iter().map(|(x, half)| (*x, middle - half));
        let below = edge.iter().map(|(x, half)| (*x, middle + half));
        canvas.area(above, below, Paint::fill(ink(side, palette)));
    }
    let y = middle + 0.5 * tallest.max(8.0);
    let note = format!(
        "{levels} levels of reading; widths in units of this sheet, drawn {ZOOM:.0} times as large here only."
    );
    let place = y + 1.5 * SMALL_SIZE;
    canvas.quiet_text(Anchor::Start, (MARGIN, place), SMALL_SIZE, note);
    place + 0.4 * SMALL_SIZE - top
}

/// A width in two figures at least.
fn in_figures(width: f64) -> String {
    if width >= 1.0 {
        format!("{width:.1}")
    } else if width >= 0.1 {
        format!("{width:.2}")
    } else {
        format!("{width:.3}")
    }
}

/// The count of the reading from which one step more changes the width with the map most, the jump from
/// nothing apart.
fn steepest(sheet: &StrokeSheet<'_>) -> f64 {
    let mut best = (0.0, 0.0);
    for count in 0..sheet.pen.levels.max(2) - 1 {
        let change = change(sheet, Side::With, f64::from(count));
        if change > best.1 {
            best = (f64::from(count), change);
        }
    }
    best.0
}

/// The width at a count of the reading.
fn width(sheet: &StrokeSheet<'_>, side: Side, count: f64) -> f64 {
    let reading = count / sheet.pen.last();
    sheet.scale.width(sheet.pen.output_of(reading, side))
}

fn change(sheet: &StrokeSheet<'_>, side: Side, count: f64) -> f64 {
    let (here, next) = (width(sheet, side, count), width(sheet, side, count + 1.0));
    // From no ink to the least width is the brush's own step, not the map's.
    if here > 0.0 { next - here } else { 0.0 }
}

fn largest_step(sheet: &StrokeSheet<'_>, side: Side, low: f64, high: f64) -> f64 {
    let mut count = low;
    let mut largest: f64 = 0.0;
    while count < high {
        largest = largest.max(change(sheet, side, count));
        count += 1.0;
    }
    largest
}

/// Half of the enlarged width along a strip, a flat piece for each reading.
fn strip(
    sheet: &StrokeSheet<'_>,
    side: Side,
    (low, high): (f64, f64),
    left: f64,
    room: f64,
) -> Vec<(f64, f64)> {
    let count = high - low + 1.0;
    let every = (count / f64::from(MOST_STEPS)).ceil().max(1.0);
    let mut edge = Vec::new();
    let mut at = low;
    while at <= high {
        let half = 0.5 * ZOOM * width(sheet, side, at);
        let from = left + room * (at - low) / count;
        let to = left + room * ((at + every - low) / count).min(1.0);
        edge.extend([(from, half), (to, half)]);
        at += every;
    }
    edge
}
