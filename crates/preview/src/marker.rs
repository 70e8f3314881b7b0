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
        draw_diagonals(canvas, centre, 0.9 * radius, palette.hollow_mark);
        return;
    }
    let paint = if (seating % CORNERS.len() + seating / CORNERS.len()).is_multiple_of(2) {
        // An edge in the background's colour keeps crowded marks countable.
        Paint::edged(palette.filled_mark, palette.background, HAIRLINE * 0.8)
    } else {
        // Not filled with the background: what lies below stays countable.
        Paint::stroke(palette.hollow_mark, OUTLINE)
    };
    let corners = CORNERS[seating % CORNERS.len()];
    if corners.is_empty() {
        canvas.circle(centre, radius, paint);
    } else {
        let corners: Vec<_> = corners.iter().copied().map(at).collect();
        canvas.polygon(&corners, paint);
    }
}

/// Draws the ring around a flagged sample.
pub(crate) fn draw_ring(canvas: &mut Canvas, centre: (f64, f64)) {
    let palette = canvas.palette;
    canvas.circle(centre, RING_RADIUS, Paint::stroke(palette.flag, OUTLINE));
}

/// Crosses out a sample that was left out of the fit.
pub(crate) fn draw_cross(canvas: &mut Canvas, centre: (f64, f64)) {
    draw_diagonals(canvas, centre, CROSS_RADIUS, canvas.palette.flag);
}

fn draw_diagonals(canvas: &mut Canvas, (x, y): (f64, f64), reach: f64, colour: &str) {
    for up in [reach, -reach] {
        let (from, to) = ((x - reach, y - up), (x + reach, y + up));
        canvas.line(from, to, colour, OUTLINE);
    }
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
