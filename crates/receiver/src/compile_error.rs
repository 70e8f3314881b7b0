//! Why there is no map.

use thiserror::Error;

/// A request that no map meets, or an ideal map that is none.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum CompileError {
    /// The ideal map leaves the unit square.
    #[error("point {index} of the ideal map, ({x}, {y}), lies outside the unit square")]
    OutsideUnitSquare {
        /// The point, from 0.
        index: usize,
        /// Its reading.
        x: f64,
        /// Its output.
        y: f64,
    },
    /// The ideal map falls or runs backwards.
    #[error("the ideal map falls or runs backwards at point {index}")]
    Decreasing {
        /// The point, from 0.
        index: usize,
    },
    /// The ideal map has no points.
    #[error("the ideal map has no points")]
    NoPoints,
    /// Gaps and number of points do not fit together.
    #[error("{points} points with inputs at least {min_gap} apart do not fit between 0 and 1")]
    GapsDoNotFit {
        /// Fewest points asked for.
        points: usize,
        /// Least distance of neighbouring inputs.
        min_gap: f64,
    },
    /// No map on the grid keeps all rules.
    #[error(
        "no {points} points or fewer on the grid rise from one end to the other with these gaps"
    )]
    NothingOnTheGrid {
        /// Most points allowed.
        points: usize,
    },
    /// A result makes no curve: a fault of the solver, never handed out.
    #[error("the solver's own result makes no curve: {0}")]
    NoCurve(#[from] crate::map_curve::MapCurveError),
    /// A result broke a rule: a fault of the solver, never handed out.
    #[error("the solver's own result breaks a rule: {0}")]
    Broken(#[from] crate::check::RuleBroken),
}

impl CompileError {
    /// What to change.
    #[must_use]
    pub fn help(&self) -> &'static str {
        match self {
            Self::GapsDoNotFit { .. } => "lower min_gap or the least number of points",
            Self::NothingOnTheGrid { .. } => "allow more points, a finer grid or a smaller min_gap",
            Self::OutsideUnitSquare { .. } | Self::Decreasing { .. } | Self::NoPoints => {
                "readings and outputs rise together from 0 to 1"
            }
            Self::NoCurve(_) | Self::Broken(_) => {
                "this is a fault of evenhand; please report it with the measurement"
            }
        }
    }
}
