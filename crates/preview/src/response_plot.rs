//! The response itself: interval, fitted curve, samples.

use crate::canvas::{Canvas, Paint};
use crate::frame::Frame;
use crate::marker::{draw_cross, draw_marker, draw_ring};
use crate::placed::Placed;
use crate::response_chart::{CurvePoint, SampleMark};
use crate::tokens::{CROWD, CROWDED_MARK_RADIUS, CURVE_WIDTH, HAIRLINE, MARK_RADIUS};

/// The band between the ends of the interval.
pub(crate) fn draw_interval(canvas: &mut Canvas, frame: &Frame, placed: &Placed) {
    let palette = canvas.palette;
    if !placed.has_interval() {
        return;
    }
    let high = placed.curve.iter().map(|p| frame.at((p.force_gf, p.high)));
    let low = placed.curve.iter().map(|p| frame.at((p.force_gf, p.low)));
    let paint = Paint::edged(palette.interval_fill, palette.interval_edge, HAIRLINE);
    canvas.open_group("interval");
    canvas.area(high, low, paint);
    canvas.close_group();
}

/// The fitted curve; a single point is drawn as a dot.
pub(crate) fn draw_curve(canvas: &mut Canvas, frame: &Frame, placed: &Placed) {
    let palette = canvas.palette;
    let at = |p: &CurvePoint| frame.at((p.force_gf, p.reported));
    canvas.open_group("response");
    if let [only] = &placed.curve[..] {
        canvas.circle(at(only), CURVE_WIDTH, Paint::fill(palette.curve));
    }
    canvas.curve(placed.curve.iter().map(at), palette.curve, CURVE_WIDTH);
    canvas.close_group();
}

/// The samples, then the rings of the flagged ones so that no mark hides a ring.
pub(crate) fn draw_samples(canvas: &mut Canvas, frame: &Frame, placed: &Placed) {
    let radius = if placed.samples.len() < CROWD {
        MARK_RADIUS
    } else {
        CROWDED_MARK_RADIUS
    };
    let centre = |s: &SampleMark| frame.at((s.force_gf, s.reported));
    canvas.open_group("samples");
    for sample in &placed.samples {
        draw_marker(canvas, sample.seating, centre(sample), radius);
    }
    for sample in placed.samples.iter().filter(|s| s.flagged) {
        draw_ring(canvas, centre(sample));
    }
    for sample in placed.samples.iter().filter(|s| s.excluded) {
        draw_cross(canvas, centre(sample));
    }
    canvas.close_group();
}
