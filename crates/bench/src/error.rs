//! What can be wrong with what was placed on a rig.

use evenhand_text::quoted;
use thiserror::Error;

/// A placement that a rig cannot take.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum BenchError {
    /// What was placed cannot be read.
    #[error("{}, which is no placement", quoted(found))]
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
        let Self::Placement { help, .. } = self;
        help
    }
}
