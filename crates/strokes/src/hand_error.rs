//! Recordings that say nothing of a hand.

use thiserror::Error;

/// Why a recording cannot be summarised.
#[derive(Clone, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum HandError {
    /// Fewer than two strokes: nothing tells how they differ.
    #[error("{found} stroke where at least 2 are needed, and some dozens make a good recording")]
    TooFewStrokes {
        /// Strokes that were found.
        found: usize,
    },
    /// No point between onset and saturation.
    #[error("no point of the recording lies between the onset and the saturation of this stylus")]
    NothingInside,
    /// A percentile outside 0 to 1, or light not below full.
    #[error(
        "percentiles of {light} and {full} where the first must lie below the second, both within 0 and 1"
    )]
    Percentiles {
        /// That of light-at.
        light: f64,
        /// That of full-at.
        full: f64,
    },
    /// The hand presses with one force only, or below what the stylus feels.
    #[error(
        "the suggested full-at of {full_gf:.1} gf does not lie above the light-at of {light_gf:.1} gf"
    )]
    NoRange {
        /// Suggested light-at, gf.
        light_gf: f64,
        /// Suggested full-at, gf.
        full_gf: f64,
    },
}

impl HandError {
    /// What to do about it.
    #[must_use]
    pub fn help(&self) -> &'static str {
        match self {
            Self::TooFewStrokes { .. } => {
                "record more strokes, with a column `stroke` or lifts of the nib between them"
            }
            Self::NothingInside => {
                "check that the recording and the measurement are of the same stylus"
            }
            Self::Percentiles { .. } => "choose for example 5 and 95",
            Self::NoRange { .. } => {
                "record light strokes as well as firm ones, or choose the forces yourself"
            }
        }
    }
}
