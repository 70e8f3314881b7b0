//! Targets that make no sense.

use evenhand_measurement::Force;
use thiserror::Error;

/// A target that cannot be built.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum TargetError {
    /// The output would have to reach 1 before it leaves 0.
    #[error("full-at {full_at} does not lie above light-at {light_at}")]
    EmptyRange {
        /// Where the output leaves 0.
        light_at: Force,
        /// Where it should reach 1.
        full_at: Force,
    },
    /// A logarithm of nothing.
    #[error(
        "a logarithmic target cannot start at {light_at}: its output grows with the ratio of forces"
    )]
    LogarithmOfZero {
        /// Where the output leaves 0.
        light_at: Force,
    },
    /// A name that is none of the shapes.
    #[error("there is no target shape `{found}`")]
    UnknownShape {
        /// What was written.
        found: String,
    },
    /// An exponent that gives no rise.
    #[error("the exponent `{found}` is not a number between {least} and {most}")]
    Exponent {
        /// What was written.
        found: String,
        /// Least exponent accepted.
        least: f64,
        /// Largest exponent accepted.
        most: f64,
    },
}

impl TargetError {
    /// What to write instead.
    #[must_use]
    pub fn help(&self) -> String {
        match self {
            Self::EmptyRange { light_at, .. } => {
                format!("choose a full-at above {light_at}, or a lower light-at")
            }
            Self::LogarithmOfZero { .. } => {
                "write a light-at above zero, for example --light-at 5gf".to_owned()
            }
            Self::UnknownShape { .. } => {
                "write linear, logarithmic or power:E with a number E, for example power:0.7"
                    .to_owned()
            }
            Self::Exponent { .. } => "write for example power:0.7".to_owned(),
        }
    }
}
