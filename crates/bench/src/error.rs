//! What can be wrong with a rig or with what was placed on it.

use std::ops::Range;

use thiserror::Error;

/// A rig that cannot be worked with, or a placement that it cannot take.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum BenchError {
    /// The text of a rig is wrong.
    #[error("{message}")]
    Rig {
        /// What was found.
        message: String,
        /// What to write instead.
        help: String,
        /// Where, in bytes; `None` where the whole is meant.
        span: Option<Range<usize>>,
    },
    /// What was placed cannot be read.
    #[error("`{found}`, which is no placement")]
    Placement {
        /// What was found.
        found: String,
        /// What to write instead.
        help: String,
    },
}

impl BenchError {
    /// What to do about it.
    #[must_use]
    pub fn help(&self) -> &str {
        match self {
            Self::Rig { help, .. } | Self::Placement { help, .. } => help,
        }
    }
}
