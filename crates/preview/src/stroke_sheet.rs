//! What a sheet of strokes shows.

use crate::pen::{Pen, Scatter, Side};
use crate::width_scale::WidthScale;

/// A force of the hand with its name.
#[derive(Clone, Debug, PartialEq)]
pub struct HandForce {
    /// What it is called: light, usual, firm.
    pub name: String,
    /// As the hand means it, gf, above 0.
    pub force_gf: f64,
}

/// A point of a recorded stroke.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RecordedPoint {
    /// To the right, in any unit.
    pub x: f64,
    /// Downwards, in the same unit.
    pub y: f64,
    /// Reading, 0..1.
    pub reading: f64,
}

/// What a sheet shows.
#[derive(Clone)]
pub struct StrokeSheet<'a> {
    /// Whose strokes.
    pub title: String,
    /// With which map.
    pub subtitle: String,
    /// Forces at which the figures are drawn; the lightest first.
    pub hands: Vec<HandForce>,
    /// The stylus and its map.
    pub pen: Pen<'a>,
    /// Widths of strokes.
    pub scale: WidthScale,
    /// What readings and forces scatter.
    pub scatter: Scatter,
    /// Strokes that were recorded, drawn below the figures.
    pub recorded: Vec<Vec<RecordedPoint>>,
    /// Sentences below all.
    pub footer: String,
}

/// Most named forces of a sheet.
pub const MOST_HANDS: usize = 8;

/// No stylus feels less, gf.
const LEAST_GF: f64 = 0.01;
/// No hand presses harder, gf.
const GREATEST_GF: f64 = 100_000.0;

impl StrokeSheet<'_> {
    /// The named forces that are drawn.
    pub(crate) fn shown_hands(&self) -> impl Iterator<Item = &HandForce> {
        self.hands
            .iter()
            .filter(|hand| (LEAST_GF..=GREATEST_GF).contains(&hand.force_gf))
            .take(MOST_HANDS)
    }

    /// Width of a stroke at a force of the hand, gf.
    pub(crate) fn width(&self, force_gf: f64, side: Side) -> f64 {
        self.scale.width(self.pen.output(force_gf, side))
    }
}
