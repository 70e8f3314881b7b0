use thiserror::Error;

/// Why a curve could not be made. Points and steps are counted from 0.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum CurveError {
    /// Fewer points than the curve needs.
    #[error("{found} points given, at least {needed} needed")]
    TooFewPoints {
        /// How many were given.
        found: usize,
        /// How many are needed.
        needed: usize,
    },
    /// A coordinate is infinite or not a number.
    #[error("point {index} has a coordinate that is not finite")]
    NotFinite {
        /// The point.
        index: usize,
    },
    /// An input does not lie above the one before it.
    #[error("the input of point {index} is not above that of the point before")]
    XNotIncreasing {
        /// The later point.
        index: usize,
    },
    /// An input lies below the one before it, where equal ones are allowed.
    #[error("the input of point {index} is below that of the point before")]
    XDecreases {
        /// The later point.
        index: usize,
    },
    /// An output lies below the one before it.
    #[error("the output of point {index} is below that of the point before")]
    YDecreases {
        /// The later point.
        index: usize,
    },
    /// Neighbouring points lie so far apart, or rise so steeply, that a difference or a slope
    /// exceeds the largest number.
    #[error("the step from point {index} to the next is too large or too steep to compute with")]
    Overflow {
        /// The point the step starts at.
        index: usize,
    },
    /// A slope is infinite or not a number.
    #[error("the slope at point {index} is not finite")]
    SlopeNotFinite {
        /// The point.
        index: usize,
    },
    /// A parametric spline runs backwards in x, so it gives no single output there.
    #[error(
        "the spline runs backwards between point {index} and the next: their spacing is too uneven"
    )]
    FoldsBack {
        /// The point the step starts at.
        index: usize,
    },
    /// An inner control point of a Bézier curve lies outside the inputs of its ends.
    #[error("the input of control point {index} is outside the inputs of the ends")]
    ControlOutside {
        /// The control point, 1 or 2.
        index: usize,
    },
    /// The exponent of a power curve is not a positive finite number.
    #[error("the exponent {exponent} is not a positive finite number")]
    BadExponent {
        /// What was given.
        exponent: f64,
    },
    /// The floor of a power curve is not below its ceiling, or one of them is not finite.
    #[error("the floor {floor} is not below the ceiling {ceiling}")]
    BadRange {
        /// The input where the output leaves 0.
        floor: f64,
        /// The input where the output reaches 1.
        ceiling: f64,
    },
}
