//! An envelope as an area.

use crate::canvas::{Canvas, Paint};
use crate::comparison_chart::{EnvelopeMark, Sides, placeable};
use crate::tokens::HAIRLINE;

/// Draws the area between two sides, placed by `at`.
fn area(
    canvas: &mut Canvas,
    sides: &Sides,
    at: impl Fn((f64, f64)) -> (f64, f64),
    paint: Paint<'_>,
) {
    let mut outline: Vec<(f64, f64)> = placeable(&sides.least).map(&at).collect();
    let greatest: Vec<(f64, f64)> = placeable(&sides.greatest).map(&at).collect();
    outline.extend(greatest.into_iter().rev());
    canvas.path(&outline, true, paint);
}

/// Draws an envelope, its percentiles over its extremes; `at` keeps infinite forces at the end of the axis.
pub(crate) fn draw_envelope(
    canvas: &mut Canvas,
    envelope: &EnvelopeMark,
    at: impl Fn((f64, f64)) -> (f64, f64),
) {
    let palette = canvas.palette;
    canvas.open_group("envelope");
    let outer = Paint::edged(palette.strip[1], palette.strip_here, HAIRLINE);
    area(canvas, &envelope.sides, &at, outer);
    if let Some((_, inner)) = &envelope.inner {
        area(canvas, inner, &at, Paint::fill(palette.strip_here));
    }
    canvas.close_group();
}
