//! Axes: force in gf with a second row in N, reading in percent.

use crate::canvas::Canvas;
use crate::frame::Frame;
use crate::label::{Anchor, Label};
use crate::quadrants::ForceScale;
use crate::text_width::text_width;
use crate::ticks::Ticks;
use crate::tokens::{LABEL_SIZE, MARGIN, TICK_LENGTH, TICK_ROW, TICK_SIZE};

/// Most parts a force axis is cut into.
const MOST_PARTS: f64 = 10.0;
/// Least gap between neighbouring tick labels.
const LABEL_GAP: f64 = 14.0;
/// Height below the plot that the axes take.
pub(crate) const AXES_HEIGHT: f64 = 2.0 * TICK_ROW + 30.0;

/// Ticks for a force axis of `range` whose labels do not touch.
fn force_ticks(range: f64) -> Ticks {
    let mut most = MOST_PARTS;
    loop {
        let ticks = Ticks::cutting(range, most);
        let widest = text_width(&ticks.label(range), TICK_SIZE);
        let spacing = ticks.step / range * Frame::FORCE_SPAN;
        if widest + LABEL_GAP <= spacing || most <= 2.0 {
            return ticks;
        }
        most -= 1.0;
    }
}

/// End of the force axis in gf for data up to `reach`: the next tick.
pub(crate) fn force_end(reach: f64) -> f64 {
    force_ticks(reach).end_of(reach)
}

/// Lines across the plot at every tick, to be drawn below everything.
pub(crate) fn draw_grid(canvas: &mut Canvas, frame: &Frame) {
    canvas.open_group("grid");
    for tick in force_ticks(frame.force_end).up_to(frame.force_end) {
        let x = frame.x(tick);
        canvas.grid_line((x, frame.top), (x, frame.bottom()));
    }
    for percent in reading_ticks() {
        let y = frame.y(percent / 100.0);
        canvas.grid_line((Frame::LEFT, y), (Frame::RIGHT, y));
    }
    canvas.close_group();
}

/// Axis lines, ticks and their labels.
pub(crate) fn draw_axes(canvas: &mut Canvas, frame: &Frame) {
    canvas.open_group("axes");
    draw_reading_axis(canvas, frame);
    let newtons = frame.force_end * ForceScale::Newton.per_gf();
    draw_force_row(canvas, frame, frame.bottom(), 1.0, "gf");
    let second = frame.bottom() + TICK_ROW;
    draw_force_row(canvas, frame, second, newtons / frame.force_end, "N");
    let middle = f64::midpoint(Frame::LEFT, Frame::RIGHT);
    let at = (middle, frame.bottom() + 2.0 * TICK_ROW + 18.0);
    let title = "Force along the stylus axis";
    canvas.ink_text(Anchor::Middle, at, LABEL_SIZE, title);
    canvas.close_group();
}

fn reading_ticks() -> impl Iterator<Item = f64> {
    Ticks::cutting(100.0, 5.0).up_to(100.0)
}

fn draw_reading_axis(canvas: &mut Canvas, frame: &Frame) {
    let palette = canvas.palette;
    let (x, top, bottom) = (Frame::LEFT, frame.top, frame.bottom());
    canvas.axis_line((x, top), (x, bottom));
    for percent in reading_ticks() {
        let y = frame.y(percent / 100.0);
        canvas.axis_line((x - TICK_LENGTH, y), (x, y));
        let at = (x - TICK_LENGTH - 4.0, y + TICK_SIZE * 0.35);
        canvas.quiet_text(Anchor::End, at, TICK_SIZE, format!("{percent:.0}"));
    }
    let at = (MARGIN + 14.0, f64::midpoint(top, bottom));
    let title = Label::new(Anchor::Middle, at, LABEL_SIZE, "Reading (percent)");
    canvas.upward_text(&title, palette.ink);
}

/// One axis line at height `y` with ticks in a unit of which one gf has `per_gf`.
fn draw_force_row(canvas: &mut Canvas, frame: &Frame, y: f64, per_gf: f64, unit: &str) {
    canvas.axis_line((Frame::LEFT, y), (Frame::RIGHT, y));
    let ticks = force_ticks(frame.force_end * per_gf);
    let baseline = y + TICK_LENGTH + TICK_SIZE;
    for tick in ticks.up_to(frame.force_end * per_gf) {
        let x = frame.x(tick / per_gf);
        canvas.axis_line((x, y), (x, y + TICK_LENGTH));
        canvas.quiet_text(Anchor::Middle, (x, baseline), TICK_SIZE, ticks.label(tick));
    }
    let at = (Frame::LEFT - TICK_LENGTH - 4.0, baseline);
    canvas.ink_text(Anchor::End, at, TICK_SIZE, unit);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_axis_ends_at_a_tick_beyond_the_data() {
        for (reach, end) in [(830.0, 900.0), (173.0, 180.0), (1.0, 1.0), (200.0, 200.0)] {
            let found = force_end(reach);
            assert!((found - end).abs() < 1e-6, "{reach}: {found}");
        }
    }

    #[test]
    fn tick_labels_do_not_touch() {
        for range in [0.01, 0.98, 1.0, 17.3, 830.0, 54_321.0, 1e6, 1.25e6] {
            let ticks = force_ticks(range);
            let width = text_width(&ticks.label(range), TICK_SIZE);
            let spacing = ticks.step / range * Frame::FORCE_SPAN;
            assert!(width < spacing, "{range}: {ticks:?}");
        }
    }
}
