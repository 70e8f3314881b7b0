//! Onset and saturation as marks on the force axis: a line, a bracket, a label.

use crate::canvas::{Canvas, Paint};
use crate::frame::Frame;
use crate::label::{Anchor, Label};
use crate::number::{force_in_words, span_in_words};
use crate::placed::{Placed, Saturation};
use crate::response_chart::Span;
use crate::tokens::{ARROW, BRACKET_CAP, LABEL_SIZE, LANE_HEIGHT, LINE_WIDTH};

const DOT_RADIUS: f64 = 2.4;
/// A bracket narrower than this has no dot at its estimate.
const DOT_ROOM: f64 = 16.0;

/// A force marked by a line through the plot, with its interval and label in a lane above.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Landmark {
    pub(crate) text: String,
    /// Position of the line.
    pub(crate) x: f64,
    /// Ends of the bracket, which holds `x`.
    pub(crate) left: f64,
    pub(crate) right: f64,
    /// The bracket goes on beyond the axis and ends in an arrow.
    pub(crate) open: bool,
    /// `x` is a bound and no estimate.
    pub(crate) bound: bool,
}

/// Onset and saturation of a chart, as far as they are known.
pub(crate) fn landmarks(placed: &Placed, frame: &Frame) -> Vec<Landmark> {
    let mut found = Vec::new();
    if let Some(span) = &placed.onset {
        found.push(of_span("onset", span, frame));
    }
    match placed.saturation {
        Saturation::At(span) => found.push(of_span("saturation", &span, frame)),
        Saturation::Above(force) => {
            let text = format!("saturation not reached, above {}", force_in_words(force));
            found.push(of_bound(text, force, frame));
        }
        Saturation::NotReached(force) => {
            found.push(of_bound("saturation not reached".to_owned(), force, frame));
        }
        Saturation::Unknown => {}
    }
    found
}

/// From `force` up, as far as is known.
fn of_bound(text: String, force: f64, frame: &Frame) -> Landmark {
    let x = frame.x(force);
    Landmark {
        text,
        x,
        left: x,
        right: Frame::RIGHT,
        open: true,
        bound: true,
    }
}

fn of_span(name: &str, span: &Span, frame: &Frame) -> Landmark {
    let x = frame.x(span.estimate);
    let known = span.low.is_finite();
    let open = known && span.high > frame.force_end;
    let end = |force: f64| if known { frame.x(force) } else { x };
    Landmark {
        text: format!("{name} {}", span_in_words(span)),
        x,
        left: end(span.low).min(x),
        right: if open {
            Frame::RIGHT
        } else {
            end(span.high).max(x)
        },
        open,
        bound: false,
    }
}

impl Landmark {
    /// Its label in a lane whose upper edge is at `top`, beside or over the line, kept above
    /// the plot.
    pub(crate) fn label(&self, anchor: Anchor, top: f64) -> Label {
        let aside = match anchor {
            Anchor::Start => 6.0,
            Anchor::Middle => 0.0,
            Anchor::End => -6.0,
        };
        let at = (self.x + aside, top + LABEL_SIZE + 2.0);
        Label::new(anchor, at, LABEL_SIZE, &self.text).kept_within(Frame::LEFT, Frame::RIGHT)
    }

    /// Draws the line from `bottom` up to the bracket of a lane whose upper edge is at `top`, the
    /// bracket, and the label.
    pub(crate) fn draw(&self, canvas: &mut Canvas, label: &Label, (top, bottom): (f64, f64)) {
        let palette = canvas.palette;
        let y = top + LANE_HEIGHT - 9.0;
        let colour = palette.landmark;
        let (foot, head) = ((self.x, bottom), (self.x, y));
        if self.bound {
            canvas.dashed_curve([foot, head], colour, LINE_WIDTH);
        } else {
            canvas.line(foot, head, colour, LINE_WIDTH);
        }
        canvas.line((self.left, y), (self.right, y), colour, LINE_WIDTH);
        draw_cap(canvas, (self.left, y), colour);
        if self.open {
            draw_arrow(canvas, (self.right - ARROW, y), colour, LINE_WIDTH);
        } else {
            draw_cap(canvas, (self.right, y), colour);
        }
        // The estimate itself, where the caps leave room for it.
        if !self.bound && self.right - self.left > DOT_ROOM {
            canvas.circle((self.x, y), DOT_RADIUS, Paint::fill(colour));
        }
        canvas.text(label, palette.ink);
    }
}

/// The end of a bracket.
pub(crate) fn draw_cap(canvas: &mut Canvas, (x, y): (f64, f64), colour: &str) {
    let (above, below) = ((x, y - BRACKET_CAP), (x, y + BRACKET_CAP));
    canvas.line(above, below, colour, LINE_WIDTH);
}

/// The head of an arrow to the right, from where it begins.
pub(crate) fn draw_arrow(canvas: &mut Canvas, (x, y): (f64, f64), colour: &str, width: f64) {
    let side = ARROW * 0.7;
    canvas.curve(
        [(x, y - side), (x + ARROW, y), (x, y + side)],
        colour,
        width,
    );
}
