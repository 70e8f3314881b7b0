//! The three numbers a power is told by.

use serde::{Deserialize, Serialize};

use crate::control_point::ControlPoint;

/// `((reading − floor) / (ceiling − floor)) ^ exponent`, as exports and objects name its numbers.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct PowerParameters {
    /// The exponent.
    pub exponent: f64,
    /// Reading up to which the output is 0.
    pub input_floor: f64,
    /// Reading from which the output is full.
    pub input_ceiling: f64,
}

impl PowerParameters {
    /// Those of a power with the points (floor, 0) and (ceiling, 1); none for another map.
    #[must_use]
    pub fn new(points: &[ControlPoint], exponent: Option<f64>) -> Option<Self> {
        let [floor, ceiling] = points else {
            return None;
        };
        exponent.map(|exponent| Self {
            exponent,
            input_floor: floor.input,
            input_ceiling: ceiling.input,
        })
    }
}
