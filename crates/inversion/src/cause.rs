//! What may be wrong with a map that does not do what was promised.

use std::fmt;

use evenhand_receiver::MapInterpolation;

/// A reason for outputs that were measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cause {
    /// Nothing is wrong.
    AsPredicted,
    /// The points are joined in another way.
    WrongInterpolation(MapInterpolation),
    /// The map is not applied at all.
    NotApplied,
    /// The map is applied twice.
    AppliedTwice,
    /// Inputs and outputs are exchanged.
    SwappedAxes,
    /// The stylus responds differently from when it was measured.
    StylusChanged {
        /// How many times the force is now needed.
        force_ratio: f64,
    },
}

impl Cause {
    /// Its name in data.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::AsPredicted => "as-predicted",
            Self::WrongInterpolation(_) => "wrong-interpolation",
            Self::NotApplied => "not-applied",
            Self::AppliedTwice => "applied-twice",
            Self::SwappedAxes => "swapped-axes",
            Self::StylusChanged { .. } => "stylus-changed",
        }
    }

    /// What to do about it.
    #[must_use]
    pub const fn advice(self) -> &'static str {
        match self {
            Self::AsPredicted => "nothing needs to be done",
            Self::WrongInterpolation(_) => {
                "compile the map again for a receiver that joins points in this way"
            }
            Self::NotApplied => "see that the receiver uses the points, and restart it",
            Self::AppliedTwice => {
                "remove the map from one of the two places, or compile it for the other as the curve before or after it"
            }
            Self::SwappedAxes => "exchange inputs and outputs where the points were typed",
            Self::StylusChanged { .. } => "measure the stylus again and compile a new map",
        }
    }
}

impl fmt::Display for Cause {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::AsPredicted => f.write_str("as predicted"),
            Self::WrongInterpolation(found) => {
                write!(
                    f,
                    "wrong interpolation: the points seem to be joined by {found}"
                )
            }
            Self::NotApplied => f.write_str("the map is not applied"),
            Self::AppliedTwice => f.write_str("the map is applied twice"),
            Self::SwappedAxes => f.write_str("inputs and outputs are exchanged"),
            Self::StylusChanged { force_ratio } => write!(
                f,
                "the stylus has changed: it now takes about {force_ratio:.2} times the force"
            ),
        }
    }
}

/// A cause with how well it explains the checks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CauseFit {
    /// The cause.
    pub cause: Cause,
    /// Misfit with a penalty for what was fitted, like twice a negative log likelihood; smaller is
    /// better, and a difference of 6 is strong.
    pub misfit: f64,
    /// Root mean square of measured less explained output, fraction of full scale.
    pub rms: f64,
}
