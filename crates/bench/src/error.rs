//! What can be wrong with what was placed on a rig.

use evenhand_text::quoted;
use thiserror::Error;

/// A load that a rig cannot take.
#[derive(Clone, Debug, Error, PartialEq)]
#[error("{}, which is no placement", quoted(found))]
pub struct BenchError {
    found: String,
    help: &'static str,
}

impl BenchError {
    /// A text that cannot be read, with what to write instead.
    pub(crate) fn load(found: &str, help: &'static str) -> Self {
        Self {
            found: found.trim().to_owned(),
            help,
        }
    }

    /// What to do about it.
    #[must_use]
    pub const fn help(&self) -> &str {
        self.help
    }
}
