//! Why a session cannot begin or go on.

use evenhand_bench::NoForce;
use evenhand_measurement::Force;
use evenhand_text::{Faults, Remedy, SaveError, Setting, Unreadable, gf};
use thiserror::Error;

use crate::log::MARK;

/// Why a session cannot begin or go on. What was kept before stays kept.
#[derive(Debug, Error)]
pub enum RecordError {
    /// A limit that is not a force above 0.
    #[error("a limit of {0} is none")]
    Limit(Force),
    /// A listed force beyond the limit.
    #[error("{force} is not between 0 and the limit of {}", gf(*limit_gf))]
    BeyondLimit {
        /// The force.
        force: Force,
        /// The limit, gf.
        limit_gf: f64,
    },
    /// A listed force that the bench cannot make.
    #[error("the bench makes no {force}; the nearest is {nearest}")]
    Unreachable {
        /// The force.
        force: Force,
        /// The nearest that it can, in words.
        nearest: String,
    },
    /// A rig or a log that is not as it must be.
    #[error(transparent)]
    Faults(#[from] Faults),
    /// A bench that makes no force at all.
    #[error(transparent)]
    NoForce(#[from] NoForce),
    /// A file that cannot be written, or is an input.
    #[error(transparent)]
    Save(#[from] SaveError),
    /// A log that cannot be read.
    #[error(transparent)]
    Unreadable(#[from] Unreadable),
    /// A file that this program did not record.
    #[error(
        "{file}: this file exists and was not recorded by this command (its first line is not `{MARK}`)"
    )]
    NotRecorded {
        /// The file.
        file: String,
    },
    /// A line that no recording has.
    #[error("{file}:{line}: this line is none of a recording")]
    Line {
        /// The file.
        file: String,
        /// Its line, from 1.
        line: usize,
    },
    /// A file that another wrote to meanwhile.
    #[error("{file}: this file was changed by another while it was recorded to")]
    Changed {
        /// The file.
        file: String,
    },
    /// Samples of another bench.
    #[error("{file}: {differs}")]
    OtherBench {
        /// The file.
        file: String,
        /// In which way it is another.
        differs: String,
        /// What to do about it.
        remedy: Remedy,
    },
    /// A reading while no force is asked for.
    #[error("{why}")]
    NoNextForce {
        /// Why none is.
        why: String,
    },
    /// Counts whose full scale is not known.
    #[error("counts without a number of levels")]
    NoLevels,
    /// Binary events from standard input.
    #[error("events cannot come from standard input")]
    PipedEvents,
    /// A source that is a folder.
    #[error("{path}: this is a folder")]
    Folder {
        /// The source.
        path: String,
    },
    /// A source that cannot be used as it was named.
    #[error("{path}: {reason}")]
    Source {
        /// The source.
        path: String,
        /// What is wrong with it.
        reason: String,
        /// What to do about it.
        remedy: Remedy,
    },
}

impl RecordError {
    /// What to do about it.
    #[must_use]
    pub fn remedy(&self) -> Remedy {
        match self {
            Self::Limit(_) => "write a force above 0, such as 1000gf",
            Self::BeyondLimit { .. } => {
                "leave it out, or give a larger limit where the maker allows it"
            }
            Self::Unreachable { .. } => {
                return Remedy::from("list forces that its masses make")
                    .or_set(Setting::PlannedForces);
            }
            Self::Faults(faults) => return faults.first().remedy.clone(),
            Self::NoForce(error) => error.help(),
            Self::Save(error) => return error.remedy(),
            Self::Unreadable(_) => "name a new file",
            Self::NotRecorded { .. } | Self::Line { .. } => "name a new file, or mend the line",
            Self::Changed { .. } => {
                "nothing was written; begin again to go on with it as it is now"
            }
            Self::NoNextForce { .. } => "",
            Self::NoLevels => return Setting::Levels.into(),
            Self::PipedEvents => "give the device, or save the events to a file and name that",
            Self::Folder { .. } => "name a file, a serial line or a device of input events",
            Self::OtherBench { remedy, .. } | Self::Source { remedy, .. } => return remedy.clone(),
        }
        .into()
    }

    /// The file that it is about, where that is the log or the source.
    #[must_use]
    pub fn file(&self) -> Option<&str> {
        match self {
            Self::Unreadable(error) => Some(&error.path),
            Self::NotRecorded { file }
            | Self::Line { file, .. }
            | Self::Changed { file }
            | Self::OtherBench { file, .. } => Some(file),
            Self::Source { path, .. } => Some(path),
            _ => None,
        }
    }
}
