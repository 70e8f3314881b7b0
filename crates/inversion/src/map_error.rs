//! Why no map can be made of a request.

use evenhand_curve::CurveError;
use evenhand_measurement::Force;
use evenhand_receiver::CompileError;
use evenhand_text::gf;
use thiserror::Error;

use crate::error::TargetError;

/// Why no map can be made of a request.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum MapError {
    /// A target that makes no sense.
    #[error(transparent)]
    Target(#[from] TargetError),
    /// A full-at below what the stylus can feel.
    #[error(
        "full output at {} cannot be had by any map: the onset force lies at {} (up to {})",
        gf(full_at.gf()),
        gf(onset.gf()),
        gf(onset_high.gf())
    )]
    BelowOnset {
        /// What was asked for.
        full_at: Force,
        /// Estimate of the onset, as the hand means it.
        onset: Force,
        /// Upper end of its interval.
        onset_high: Force,
    },
    /// A curve before the map that leaves no readings.
    #[error("the curve before the map makes nothing of every reading")]
    NoReadings,
    /// Rules that no map keeps.
    #[error("receiver {receiver}: {source}")]
    Compile {
        /// Name of the receiver.
        receiver: String,
        /// Which of them.
        source: CompileError,
    },
    /// A curve that should always be one.
    #[error("the map could not be built: {0}")]
    Internal(#[from] CurveError),
}

impl MapError {
    /// Whether the request makes no sense; else it cannot be met.
    #[must_use]
    pub const fn is_bad_input(&self) -> bool {
        matches!(self, Self::Target(_))
    }

    /// What to do about it.
    #[must_use]
    pub fn help(&self) -> String {
        match self {
            Self::Target(error) => error.help(),
            Self::BelowOnset { .. } => "ask for a full-at above the onset".to_owned(),
            Self::NoReadings => "see whether that curve is the right one".to_owned(),
            Self::Compile { source, .. } => source.help().to_owned(),
            Self::Internal(_) => {
                "this is a fault of evenhand; please report it with the measurement".to_owned()
            }
        }
    }
}
