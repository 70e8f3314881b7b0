//! Recordings that cannot be read.

use std::ops::Range;

use thiserror::Error;

/// A fault of a recording, with its place in the text.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
#[error("{message}; {help}")]
pub struct RecordingError {
    /// What was found.
    pub message: String,
    /// What to write instead.
    pub help: String,
    /// Range of bytes in the text.
    pub span: Range<usize>,
}

impl RecordingError {
    pub(crate) fn new(
        message: impl Into<String>,
        help: impl Into<String>,
        span: Range<usize>,
    ) -> Self {
        Self {
            message: message.into(),
            help: help.into(),
            span,
        }
    }

    /// The same fault where the text is part of a longer one.
    pub(crate) fn shifted(mut self, by: usize) -> Self {
        self.span = self.span.start + by..self.span.end + by;
        self
    }
}
