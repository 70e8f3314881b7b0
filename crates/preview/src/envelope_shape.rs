//! An envelope as an area.

use crate::canvas::{Canvas, Paint};
use crate::comparison_chart::{EnvelopeMark, Sides, placeable};
use crate::tokens::HAIRLINE;

/// Draws an envelope, its percentiles over its extremes; `at` keeps infinite forces at the end of the axis.
pub(crate) fn draw_envelope(
    canvas: &mut Canvas,
    envelope: &EnvelopeMark,
    at: impl Fn((f64, f64)) -> (f64, f64),
) {
    let palette = canvas.palette;
    canvas.open_group("envelope");
    let mut area = |sides: &Sides, paint: Paint<'_>| {
        let least = placeable(&sides.least).map(&at);
        canvas.area(least, placeable(&sides.greatest).map(&at), paint);
    };
    let outer = Paint::edged(palette.strip_odd, palette.strip_here, HAIRLINE);
    area(&envelope.sides, outer);
    if let Some((_, inner)) = &envelope.inner {
        area(inner, Paint::fill(palette.strip_here));
    }
    canvas.close_group();
}
