//! What came of an action or a reading.

use std::fmt;

use evenhand_measurement::Force;
use evenhand_text::gf;

use crate::log::LogRow;

/// Why a reading was not kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unsettled {
    /// The nib was lifted.
    Lifted,
    /// A placement that was recorded ended; what is read next is the one after it.
    PlacementEnded,
    /// It did not lie still for as long as one waits.
    TooMuchDrift,
    /// Nothing was read at all for as long as one waits.
    Silent,
}

/// What came of an action or a reading, in words by `Display`.
#[derive(Clone, Debug, PartialEq)]
pub enum Outcome {
    /// The reading is watched.
    Watching,
    /// A sample is kept, and on the disk.
    Kept(LogRow),
    /// Nothing was kept.
    NotKept(Unsettled),
    /// The last sample was taken back.
    Undone(LogRow),
    /// There was no sample to take back.
    NothingToUndo,
    /// The seating that samples belong to from now on.
    Seating(u32),
    /// Another force is in place of the one asked for.
    UsingForce {
        /// The force.
        force: Force,
        /// The force that was asked for, where the bench makes none nearer to it.
        requested: Option<Force>,
    },
    /// A force that the bench cannot make.
    Unreachable {
        /// The force.
        force: Force,
        /// The nearest that it can, in words.
        nearest: String,
    },
    /// What was read is no reading, and was passed over.
    InvalidReading {
        /// What was found.
        found: String,
        /// What a reading would be, in words.
        wanted: String,
    },
    /// A force that is not placed.
    BeyondLimit {
        /// The force.
        force: Force,
        /// The limit, gf.
        limit_gf: f64,
    },
    /// The pen leans by more than the limit, in the units of its tilt axes.
    Leans {
        /// By how much.
        by: f64,
        /// The limit.
        limit: f64,
    },
    /// No force is asked for any more: why.
    Done(String),
    /// The source gives no more readings; what was not settled is not kept.
    SourceEnded,
}

impl Outcome {
    /// Whether it is a warning.
    #[must_use]
    pub fn is_warning(&self) -> bool {
        matches!(
            self,
            Self::Leans { .. }
                | Self::InvalidReading { .. }
                | Self::SourceEnded
                | Self::NotKept(Unsettled::Silent | Unsettled::PlacementEnded)
        )
    }
}

impl fmt::Display for Outcome {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Watching => f.write_str("watching until the reading settles"),
            Self::Kept(row) => {
                write!(f, "kept {}: {:.2} %", gf(row.force_gf), 100.0 * row.reading)?;
                match row.settled {
                    Some((scatter, _)) => write!(f, ", scatter {:.3} %", 100.0 * scatter),
                    None => Ok(()),
                }
            }
            Self::NotKept(Unsettled::PlacementEnded) => f.write_str(
                "the placement ended before its reading settled; nothing was kept: the one after it is read for the force that is asked for now, so say another force where it is of another",
            ),
            Self::NotKept(Unsettled::Lifted | Unsettled::TooMuchDrift) => f.write_str(
                "the reading did not settle; nothing was kept: wait for the weight to hang still, and look for friction",
            ),
            Self::NotKept(Unsettled::Silent) => f.write_str(
                "nothing was read in a minute: lift the nib and place it again, and see whether the source tells its pressure",
            ),
            Self::Undone(row) => {
                write!(
                    f,
                    "took back {} at {:.2} %",
                    gf(row.force_gf),
                    100.0 * row.reading
                )
            }
            Self::NothingToUndo => f.write_str("there is nothing to take back"),
            Self::Seating(seating) => write!(f, "seating {seating}"),
            Self::UsingForce { force, requested } => match requested {
                Some(requested) => write!(
                    f,
                    "{} instead, the nearest to {requested} that this bench makes",
                    gf(force.gf())
                ),
                None => write!(f, "{force} instead"),
            },
            Self::Unreachable { force, nearest } => {
                write!(f, "this bench makes no {force}; the nearest is {nearest}")
            }
            Self::InvalidReading { found, wanted } => write!(
                f,
                "`{found}` is not {wanted} and was passed over: say what the source holds (percent, a fraction, counts) and with how many levels"
            ),
            Self::BeyondLimit { force, limit_gf } => write!(
                f,
                "{force} is not between 0 and the limit of {}",
                gf(*limit_gf)
            ),
            Self::Leans { by, limit } => write!(
                f,
                "the pen leans by {by:.0}, more than {limit}: set it upright, or say so with tilt_deg"
            ),
            Self::Done(why) => f.write_str(why),
            Self::SourceEnded => f.write_str(
                "the source ended before the reading settled; everything before is kept",
            ),
        }
    }
}
