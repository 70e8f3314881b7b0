//! Targets that make no sense.

use evenhand_measurement::Force;
use evenhand_text::quoted;
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
    #[error("there is no target shape {}", quoted(found))]
    UnknownShape {
        /// What was written.
        found: String,
    },
    /// A word that names no way of joining points.
    #[error("there is no interpolation {} of targets", quoted(found))]
    UnknownJoining {
        /// What was written.
        found: String,
    },
    /// Points that make no climb.
    #[error("the points make no target: {reason}")]
    Drawn {
        /// Why.
        reason: String,
    },
    /// A floor that leaves nothing to climb.
    #[error("the output floor {found} is not a part of full output from 0 to below 1")]
    Floor {
        /// What was asked for.
        found: f64,
    },
    /// An exponent that gives no rise.
    #[error(
        "the exponent {} is not a number between {least} and {most}",
        quoted(found)
    )]
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
                "write a light-at above zero, for example 5gf".to_owned()
            }
            Self::UnknownShape { .. } => {
                "write linear, logarithmic or power:E with a number E, for example power:0.7"
                    .to_owned()
            }
            Self::UnknownJoining { .. } => {
                "write linear, cosine, catmull-rom or monotone-cubic".to_owned()
            }
            Self::Drawn { .. } => {
                "write points that rise from [0, 0] to [1, 1], for example [[0, 0], [0.4, 0.3], [1, 1]]"
                    .to_owned()
            }
            Self::Floor { .. } => "write for example 5% or 0.05".to_owned(),
            Self::Exponent { .. } => "write for example power:0.7".to_owned(),
        }
    }
}
