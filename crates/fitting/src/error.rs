//! Why a measurement has no response.

use evenhand_measurement::Force;
use thiserror::Error;

/// A measurement from which no response can be found.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
pub enum FitError {
    /// Too few samples to say anything.
    #[error("found {found} sample{}, but a response needs at least {least}", if *found == 1 { "" } else { "s" })]
    TooFewSamples {
        /// Samples in the measurement.
        found: usize,
        /// The least number.
        least: usize,
    },
    /// All samples at one force.
    #[error(
        "all {samples} samples were taken at {force}; a response needs at least two different forces"
    )]
    OneForce {
        /// The force.
        force: Force,
        /// Samples in the measurement.
        samples: usize,
    },
    /// The stylus never responded.
    #[error(
        "every reading is 0 up to {largest}: the onset force is not below {largest}, and nothing else can be said"
    )]
    NeverResponds {
        /// Largest force measured.
        largest: Force,
    },
    /// The stylus was at full scale throughout.
    #[error(
        "every reading is full scale from {least} on: the saturation force is not above {least}, and nothing else can be said"
    )]
    AlwaysFull {
        /// Least force measured.
        least: Force,
    },
    /// Readings that do not change.
    #[error("every reading is {percent:.2} %: there is no rise to fit")]
    NoRise {
        /// The reading.
        percent: f64,
    },
    /// Readings that fall with force.
    #[error("readings fall as the force grows; a response rises")]
    Falls,
    /// The settings make no sense.
    #[error("the confidence must lie between 0 and 1, found {found}")]
    Confidence {
        /// What was asked for.
        found: f64,
    },
    /// Too few resamples for the ends of such intervals.
    #[error(
        "{resamples} resamples cannot carry {} % intervals: {least:.0} are needed, or one beyond each end",
        100.0 * confidence
    )]
    TooFewResamples {
        /// The confidence level that was asked for.
        confidence: f64,
        /// Resamples that were asked for.
        resamples: usize,
        /// The least number for this confidence level.
        least: f64,
    },
    /// Seatings with too few samples each.
    #[error(
        "{seatings} seatings share {samples} samples: a seating needs samples enough to show its gain"
    )]
    TooManySeatings {
        /// Seatings that hold samples.
        seatings: usize,
        /// Samples in the measurement.
        samples: usize,
    },
    /// No factorisation succeeded; numbers near overflow.
    #[error("the solve broke down: the forces or readings are too extreme for double precision")]
    Numerical,
}

impl FitError {
    /// What to do about it.
    #[must_use]
    pub fn help(&self) -> &'static str {
        match self {
            Self::TooFewSamples { .. } | Self::OneForce { .. } => {
                "record readings at eight or more forces, from where the reading is 0 to where it is full"
            }
            Self::NeverResponds { .. } => {
                "place larger forces (within the maker's limit), or check that the reading column is the right one"
            }
            Self::AlwaysFull { .. } => "place smaller forces, or check the unit of the readings",
            Self::NoRise { .. } => "check that the reading column is the right one",
            Self::Falls => {
                "check that the force and reading columns are not swapped or sorted apart"
            }
            Self::Confidence { .. } => "write for example 0.95",
            Self::TooFewResamples { .. } => "take more resamples, or a lower confidence level",
            Self::TooManySeatings { .. } => {
                "number a seating for each time stylus or lever was positioned, at least ten samples each; rename a column that counts samples"
            }
            Self::Numerical => "check the units of the force and reading columns",
        }
    }

    /// Whether the measurement or the settings are at fault, rather than what the stylus did.
    #[must_use]
    pub fn is_bad_input(&self) -> bool {
        matches!(
            self,
            Self::TooFewSamples { .. }
                | Self::OneForce { .. }
                | Self::Confidence { .. }
                | Self::TooFewResamples { .. }
                | Self::TooManySeatings { .. }
        )
    }
}
