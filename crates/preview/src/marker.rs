//! Sample markers: a shape, hollow or filled, for each seating.

use crate::canvas::{Canvas, Paint};
use crate::tokens::{HAIRLINE, RING_RADIUS};

/// Seatings from this index on share one marker, a cross.
pub(crate) const DISTINCT_MARKERS: usize = 10;

const OUTLINE: f64 = 1.6;
const CROSS_RADIUS: f64 = 6.5;

/// Corners of the shapes for radius 1, sized to look equally large; the circle has none.
const CORNERS: [&[(f64, f64)]; 5] = [
    &[],
    &[(-0.88, -0.88), (0.88, -0.88), (0.88, 0.88), (-0.88, 0.88)],
    &[(0.0, -1.3), (1.15, 0.8), (-1.15, 0.8)],
    &[(0.0, -1.3), (1.3, 0.0), (0.0, 1.3), (-1.3, 0.0)],
    &[(0.0, 1.3), (-1.15, -0.8), (1.15, -0.8)],
];

/// Draws the marker of the seating with index `seating`: neighbours differ in shape, and in
/// lightness as every other one is hollow; the second five repeat the shapes with that swapped.
pub(crate) fn draw_marker(canvas: &mut Canvas, seating: usize, centre: (f64, f64), radius: f64) {
    let palette = canvas.palette;
    let at = |(x, y): (f64, f64)| (centre.0 + x * radius, centre.1 + y * radius);
    if seating >= DISTINCT_MARKERS {
        canvas.line(
            at((-0.9, -0.9)),
            at((0.9, 0.9)),
            palette.hollow_mark,
            OUTLINE,
        );
        canvas.line(
            at((-0.9, 0.9)),
            at((0.9, -0.9)),
            palette.hollow_mark,
            OUTLINE,
        );
        return;
    }
    let paint = if (seating % CORNERS.len() + seating / CORNERS.len()).is_multiple_of(2) {
        // An edge in the background's colour keeps crowded marks countable.
        Paint::edged(palette.filled_mark, palette.background, HAIRLINE * 0.8)
    } else {
        Paint {
            // Not filled with the background: what lies below stays countable.
            fill: None,
            stroke: Some((palette.hollow_mark, OUTLINE)),
        }
    };
    let corners: Vec<_> = CORNERS[seating % CORNERS.len()]
        .iter()
        .copied()
        .map(at)
        .collect();
    if corners.is_empty() {
        canvas.circle(centre, radius, paint);
    } else {
        canvas.path(&corners, true, paint);
    }
}

/// Draws the ring around a flagged sample.
pub(crate) fn draw_ring(canvas: &mut Canvas, centre: (f64, f64)) {
    let palette = canvas.palette;
    canvas.circle(centre, RING_RADIUS, Paint::stroke(palette.flag, OUTLINE));
}

/// Crosses out a sample that was left out of the fit.
pub(crate) fn draw_cross(canvas: &mut Canvas, centre: (f64, f64)) {
    let palette = canvas.palette;
    let at = |x: f64, y: f64| (centre.0 + x * CROSS_RADIUS, centre.1 + y * CROSS_RADIUS);
    canvas.line(at(-1.0, -1.0), at(1.0, 1.0), palette.flag, OUTLINE);
    canvas.line(at(-1.0, 1.0), at(1.0, -1.0), palette.flag, OUTLINE);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tokens::Theme;

    #[test]
    fn ten_markers_are_distinct() {
        let mut drawn: Vec<String> = (0..=DISTINCT_MARKERS)
            .map(|seating| {
                let mut canvas = Canvas::new(Theme::Light.palette());
                draw_marker(&mut canvas, seating, (10.0, 10.0), 4.0);
                canvas.finish((20.0, 20.0), "", "")
            })
            .collect();
        drawn.sort();
        drawn.dedup();
        assert_eq!(drawn.len(), DISTINCT_MARKERS + 1, "all differ");
    }
}
