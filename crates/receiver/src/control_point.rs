//! The points that are handed to a receiver.

use serde::{Deserialize, Serialize};

/// One point of a map: at reading `input` the receiver gives `output`; both are fractions 0..1.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ControlPoint {
    /// Reading, 0..1.
    pub input: f64,
    /// Output, 0..1.
    pub output: f64,
}

impl ControlPoint {
    /// A point from its two coordinates.
    #[must_use]
    pub const fn new(input: f64, output: f64) -> Self {
        Self { input, output }
    }
}
