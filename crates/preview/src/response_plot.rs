//! The response itself: interval, fitted curve, samples.

use crate::canvas::{Canvas, Paint};
use crate::frame::Frame;
use crate::marker::{draw_cross, draw_marker, draw_ring};
use crate::placed::Placed;
use crate::tokens::{CROWD, CROWDED_MARK_RADIUS, CURVE_WIDTH, HAIRLINE, MARK_RADIUS};

/// The band between the ends of the interval.
pub(crate) fn draw_interval(canvas: &mut Canvas, frame: &Frame, placed: &Placed) {
    let palette = canvas.palette;
    if !placed.has_interval() {
        return;
    }
    let side = |pick: fn(&crate::response_chart::CurvePoint) -> f64| -> Vec<(f64, f64)> {
        let points = placed.curve.iter();
        points
            .map(|p| (frame.x(p.force_gf), frame.y(pick(p))))
            .collect()
    };
    let mut outline = side(|p| p.high);
    outline.extend(side(|p| p.low).into_iter().rev());
    let paint = Paint::edged(palette.interval_fill, palette.interval_edge, HAIRLINE);
    canvas.open_group("interval");
    canvas.path(&outline, true, paint);
    canvas.close_group();
}

/// The fitted curve; a single point is drawn as a dot.
pub(crate) fn draw_curve(canvas: &mut Canvas, frame: &Frame, placed: &Placed) {
    let palette = canvas.palette;
    let points: Vec<_> = placed
        .curve
        .iter()
        .map(|p| (frame.x(p.force_gf), frame.y(p.reported)))
        .collect();
    canvas.open_group("response");
    if let [only] = points[..] {
        canvas.circle(only, CURVE_WIDTH, Paint::fill(palette.curve));
    }
    canvas.path(&points, false, Paint::stroke(palette.curve, CURVE_WIDTH));
    canvas.close_group();
}

/// The samples, then the rings of the flagged ones so that no mark hides a ring.
pub(crate) fn draw_samples(canvas: &mut Canvas, frame: &Frame, placed: &Placed) {
    let radius = if placed.samples.len() < CROWD {
        MARK_RADIUS
    } else {
        CROWDED_MARK_RADIUS
    };
    canvas.open_group("samples");
    for sample in &placed.samples {
        let centre = (frame.x(sample.force_gf), frame.y(sample.reported));
        draw_marker(canvas, sample.seating, centre, radius);
    }
    for sample in placed.samples.iter().filter(|s| s.flagged) {
        let centre = (frame.x(sample.force_gf), frame.y(sample.reported));
        draw_ring(canvas, centre);
    }
    for sample in placed.samples.iter().filter(|s| s.excluded) {
        let centre = (frame.x(sample.force_gf), frame.y(sample.reported));
        draw_cross(canvas, centre);
    }
    canvas.close_group();
}
