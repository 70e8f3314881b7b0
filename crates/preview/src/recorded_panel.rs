//! Recorded strokes, without and with the map.

use crate::canvas::{Canvas, Paint};
use crate::label::{Anchor, Label};
use crate::outline::InkPoint;
use crate::pen::Side;
use crate::stroke_lanes::{draw_stroke, ink};
use crate::stroke_sheet::{RecordedPoint, StrokeSheet};
use crate::tokens::{HAIRLINE, LABEL_SIZE, MARGIN, SECTION_GAP, TICK_SIZE, WIDTH};

/// Highest that a drawing becomes.
const TALLEST: f64 = 360.0;
/// Points are left out where the stroke without them keeps this near, in place and half width.
const NEAR: f64 = 0.05;

/// Draws the recording below `top`, once for each side; gives the height it took.
pub(crate) fn draw(canvas: &mut Canvas, sheet: &StrokeSheet<'_>, top: f64) -> f64 {
    let palette = canvas.palette;
    let Some(room) = Room::of(sheet) else {
        return 0.0;
    };
    let strokes = sheet.recorded.len();
    let points: usize = sheet.recorded.iter().map(Vec::len).sum();
    let noun = if strokes == 1 { "stroke" } else { "strokes" };
    let title = format!("Recorded: {strokes} {noun}, {points} points");
    canvas.ink_text(Anchor::Start, (MARGIN, top + LABEL_SIZE), LABEL_SIZE, title);
    let mut y = top + 1.6 * LABEL_SIZE;
    for side in Side::BOTH {
        let at = (MARGIN, y + TICK_SIZE);
        let name = Label::new(Anchor::Start, at, TICK_SIZE, side.as_str());
        canvas.text(&name, ink(side, palette));
        y += 1.5 * TICK_SIZE;
        let frame = Paint::stroke(palette.grid, HAIRLINE);
        canvas.rectangle((MARGIN, y), (Room::WIDE, room.height), frame);
        canvas.open_group(side.as_str());
        for stroke in &sheet.recorded {
            let points = placed(stroke, sheet, side, &room, (room.left, y));
            draw_stroke(canvas, &points, side);
        }
        canvas.close_group();
        y += room.height + 0.5 * SECTION_GAP;
    }
    y - top
}

/// No surface is larger, whatever the unit.
const FURTHEST: f64 = 1e12;

/// Whether coordinates can be a place.
fn is_place(x: f64, y: f64) -> bool {
    x.abs() <= FURTHEST && y.abs() <= FURTHEST
}

/// How places of the recording become places of the sheet.
struct Room {
    /// Least coordinates.
    from: (f64, f64),
    factor: f64,
    /// Room around for the width of strokes.
    margin: f64,
    /// Left end of the drawing on the sheet, less the margin.
    left: f64,
    height: f64,
}

impl Room {
    const WIDE: f64 = WIDTH - 2.0 * MARGIN;

    fn of(sheet: &StrokeSheet<'_>) -> Option<Self> {
        let mut ends: Option<[f64; 4]> = None;
        for point in sheet.recorded.iter().flatten() {
            if !is_place(point.x, point.y) {
                continue;
            }
            let [left, top, right, bottom] =
                ends.get_or_insert([point.x, point.y, point.x, point.y]);
            *left = left.min(point.x);
            *top = top.min(point.y);
            *right = right.max(point.x);
            *bottom = bottom.max(point.y);
        }
        let [left, top, right, bottom] = ends?;
        let margin = 0.5 * sheet.scale.greatest() + 6.0;
        let factor = ((Self::WIDE - 2.0 * margin) / (right - left))
            .min((TALLEST - 2.0 * margin) / (bottom - top));
        // A recording of a single place has no size.
        let factor = if factor.is_finite() { factor } else { 1.0 };
        Some(Self {
            from: (left, top),
            factor,
            margin,
            left: MARGIN + 0.5 * (Self::WIDE - (right - left) * factor) - margin,
            height: (bottom - top) * factor + 2.0 * margin,
        })
    }
}

/// The points of a stroke on the sheet, without those that change nothing that shows.
fn placed(
    stroke: &[RecordedPoint],
    sheet: &StrokeSheet<'_>,
    side: Side,
    room: &Room,
    corner: (f64, f64),
) -> Vec<InkPoint> {
    let all: Vec<InkPoint> = stroke
        .iter()
        .filter(|point| is_place(point.x, point.y))
        .map(|point| {
            let reading = sheet.pen.stepped(point.reading);
            InkPoint {
                x: corner.0 + room.margin + (point.x - room.from.0) * room.factor,
                y: corner.1 + room.margin + (point.y - room.from.1) * room.factor,
                width: sheet.scale.width(sheet.pen.output_of(reading, side)),
            }
        })
        .collect();
    let mut kept = Vec::new();
    // Ink and no ink are not thinned together.
    for run in all.chunk_by(|a, b| (a.width > 0.0) == (b.width > 0.0)) {
        thinned(run, &mut kept);
    }
    kept
}

/// Adds the points of a run that straight pieces need to keep near to all of it: halved at the furthest
/// point until it is near enough (Douglas and Peucker, Cartographica 10, 1973, 112–122; from memory).
fn thinned(run: &[InkPoint], kept: &mut Vec<InkPoint>) {
    let mut is_kept = vec![false; run.len()];
    let last = run.len() - 1;
    is_kept[0] = true;
    is_kept[last] = true;
    let mut open = vec![(0, last)];
    while let Some((from, to)) = open.pop() {
        let furthest = (from + 1..to)
            .map(|index| (index, off(run[from], run[to], run[index])))
            .max_by(|a, b| a.1.total_cmp(&b.1));
        if let Some((index, distance)) = furthest
            && distance > NEAR
        {
            is_kept[index] = true;
            open.push((from, index));
            open.push((index, to));
        }
    }
    let points = run.iter().zip(is_kept);
    kept.extend(
        points
            .filter(|(_, is_kept)| *is_kept)
            .map(|(point, _)| *point),
    );
}

/// Distance of a point from the straight piece between two others, in place and half width.
fn off(from: InkPoint, to: InkPoint, point: InkPoint) -> f64 {
    let along = [to.x - from.x, to.y - from.y, 0.5 * (to.width - from.width)];
    let away = [
        point.x - from.x,
        point.y - from.y,
        0.5 * (point.width - from.width),
    ];
    let dot = |a: [f64; 3], b: [f64; 3]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>();
    let square = dot(along, along);
    let part = if square > 0.0 {
        (dot(away, along) / square).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let rest = [0, 1, 2].map(|axis| away[axis] - part * along[axis]);
    dot(rest, rest).sqrt()
}
