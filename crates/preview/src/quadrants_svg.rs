//! The four quadrants as a picture.

use crate::canvas::{Canvas, Paint};
use crate::heading::{draw_paragraph, headed};
use crate::quadrant_places::QuadrantPlaces;
use crate::quadrants::{Mark, QuadrantChart, Role, quadrant_marks};
use crate::tokens::{HAIRLINE, MARGIN, SECTION_GAP, SMALL_SIZE, Theme, WIDTH};
use crate::words::clean;

const HEIGHT: f64 = 640.0;
const POINT_RADIUS: f64 = 5.0;

/// The chart as the text of an SVG, 900 units wide, below a title and above a sentence.
#[must_use]
pub fn quadrants_svg(
    chart: &QuadrantChart,
    (title, subtitle, footer): (&str, &str, &str),
    theme: Theme,
) -> String {
    let (mut canvas, mut y) = headed(theme, title, subtitle);
    let palette = canvas.palette;
    let places = QuadrantPlaces::new(
        (MARGIN, y),
        (WIDTH - 2.0 * MARGIN, HEIGHT),
        chart.force_end_gf,
        chart.brush.greatest(),
    );
    for mark in quadrant_marks(chart, &places) {
        draw(&mut canvas, &mark, theme);
    }
    for (reading, output) in &chart.control_points {
        let at = places.map(*reading, *output);
        canvas.circle(at, POINT_RADIUS, Paint::fill(palette.background));
        canvas.circle(at, POINT_RADIUS, Paint::stroke(palette.curve, 2.0));
    }
    y += HEIGHT + SECTION_GAP;
    y += draw_paragraph(&mut canvas, footer, y, SMALL_SIZE, palette.quiet_ink);
    canvas.finish_page(y + MARGIN, title, &clean(subtitle))
}

fn draw(canvas: &mut Canvas, mark: &Mark, theme: Theme) {
    let palette = theme.palette();
    match mark {
        Mark::Line {
            points,
            role,
            width,
            dashed,
        } => {
            let colour = role.colour(theme);
            let points = points.iter().copied();
            if *dashed {
                canvas.dashed_curve(points, colour, *width);
            } else {
                canvas.curve(points, colour, *width);
            }
        }
        Mark::Band { upper, lower } => {
            let paint = Paint::edged(Role::Band.colour(theme), palette.interval_edge, HAIRLINE);
            canvas.area(upper.iter().copied(), lower.iter().copied(), paint);
        }
        Mark::Dot { at, radius, role } => {
            canvas.circle(*at, *radius, Paint::fill(role.colour(theme)));
        }
        Mark::Text { label, role } => canvas.text(label, role.colour(theme)),
    }
}
