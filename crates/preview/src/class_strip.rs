//! The saturation classes along the top.

use crate::canvas::{Canvas, Paint};
use crate::frame::Frame;
use crate::label::{Anchor, Label};
use crate::placed::Saturation;
use crate::text_width::text_width;
use crate::tokens::{PLOT_INSET, SMALL_SIZE, STRIP_HEIGHT, TICK_LENGTH};
use crate::words::{clean, shorten};

/// Least room kept at either side of a class's label.
const LABEL_GAP: f64 = 4.0;

/// Whether there is a strip to draw.
pub(crate) fn is_drawn(classes: &[(String, f64, f64)], frame_end: f64) -> bool {
    classes
        .iter()
        .any(|class| visible(class, frame_end).is_some())
}

/// The part of a class on the axis, in gf.
fn visible(class: &(String, f64, f64), end: f64) -> Option<(f64, f64)> {
    let (from, to) = (class.1.max(0.0), class.2.min(end));
    (!class.1.is_nan() && !class.2.is_nan() && from < to).then_some((from, to))
}

/// Draws the strip with its upper edge at `top`. The class of the saturation stands out; a label
/// that does not fit into what is seen of its class is left out.
pub(crate) fn draw(
    canvas: &mut Canvas,
    frame: &Frame,
    top: f64,
    classes: &[(String, f64, f64)],
    saturation: &Saturation,
) {
    let palette = canvas.palette;
    canvas.open_group("saturation-classes");
    let baseline = top + STRIP_HEIGHT / 2.0 + SMALL_SIZE * 0.35;
    for (index, class) in classes.iter().enumerate() {
        let Some((from, to)) = visible(class, frame.force_end) else {
            continue;
        };
        let left = if from > 0.0 {
            frame.x(from)
        } else {
            Frame::LEFT
        };
        let right = if to < frame.force_end {
            frame.x(to)
        } else {
            Frame::RIGHT
        };
        let here = matches!(saturation, Saturation::At(span)
            if (class.1..class.2).contains(&span.estimate));
        let (fill, ink) = if here {
            (palette.strip_here, palette.ink)
        } else {
            let fill = [palette.strip_even, palette.strip_odd][index % 2];
            (fill, palette.quiet_ink)
        };
        let size = (right - left, STRIP_HEIGHT);
        canvas.rectangle((left, top), size, Paint::fill(fill));
        let text = clean(&class.0);
        if text_width(&text, SMALL_SIZE) + 2.0 * LABEL_GAP <= right - left {
            let at = (f64::midpoint(left, right), baseline);
            canvas.text(&Label::new(Anchor::Middle, at, SMALL_SIZE, text), ink);
        }
    }
    let name = shorten("saturation", SMALL_SIZE, Frame::LEFT - 2.0 * PLOT_INSET);
    let at = (Frame::LEFT - TICK_LENGTH - 4.0, baseline);
    canvas.quiet_text(Anchor::End, at, SMALL_SIZE, name);
    canvas.close_group();
}
