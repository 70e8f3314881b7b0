//! The span bands in words along the top.

use crate::canvas::{Canvas, Paint};
use crate::frame::Frame;
use crate::label::{Anchor, Label};
use crate::placed::Saturation;
use crate::text_width::text_width;
use crate::tokens::{PLOT_INSET, Palette, SMALL_SIZE, STRIP_HEIGHT, TICK_LENGTH};
use crate::words::{clean, shorten};

/// Least room kept at either side of a band's word.
const WORD_GAP: f64 = 4.0;

/// Whether there is a strip to draw.
pub(crate) fn is_drawn(bands: &[(String, f64, f64)], frame_end: f64) -> bool {
    bands.iter().any(|band| visible(band, frame_end).is_some())
}

/// The part of a band on the axis, in gf.
fn visible(band: &(String, f64, f64), end: f64) -> Option<(f64, f64)> {
    let (from, to) = (band.1.max(0.0), band.2.min(end));
    (!band.1.is_nan() && !band.2.is_nan() && from < to).then_some((from, to))
}

/// Draws the strip with its upper edge at `top`. The band of the saturation stands out; a word
/// that does not fit into what is seen of its band is left out.
pub(crate) fn draw(
    canvas: &mut Canvas,
    frame: &Frame,
    palette: &Palette,
    top: f64,
    bands: &[(String, f64, f64)],
    saturation: &Saturation,
) {
    canvas.open_group("span-bands");
    let baseline = top + STRIP_HEIGHT / 2.0 + SMALL_SIZE * 0.35;
    for (index, band) in bands.iter().enumerate() {
        let Some((from, to)) = visible(band, frame.force_end) else {
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
            if (band.1..band.2).contains(&span.estimate));
        let (fill, ink) = if here {
            (palette.strip_here, palette.ink)
        } else {
            (palette.strip[index % 2], palette.quiet_ink)
        };
        let size = (right - left, STRIP_HEIGHT);
        canvas.rectangle((left, top), size, Paint::fill(fill));
        let text = clean(&band.0);
        if text_width(&text, SMALL_SIZE) + 2.0 * WORD_GAP <= right - left {
            let label = Label {
                x: f64::midpoint(left, right),
                y: baseline,
                anchor: Anchor::Middle,
                size: SMALL_SIZE,
                text,
            };
            canvas.text(&label, ink);
        }
    }
    let caption = Label {
        x: Frame::LEFT - TICK_LENGTH - 4.0,
        y: baseline,
        anchor: Anchor::End,
        size: SMALL_SIZE,
        text: shorten("span band", SMALL_SIZE, Frame::LEFT - 2.0 * PLOT_INSET),
    };
    canvas.text(&caption, palette.quiet_ink);
    canvas.close_group();
}
