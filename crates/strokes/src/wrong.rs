//! What is wrong with a document, while it is read piece by piece.

use std::ops::Range;

use evenhand_text::{Fault, Place, Remedy};

/// A fault at bytes of a text that may be part of a longer one; nowhere where the range is empty and at the
/// beginning.
#[derive(Debug)]
pub(crate) struct Wrong {
    /// What was found.
    pub(crate) found: String,
    /// What to do about it.
    pub(crate) remedy: Remedy,
    /// Range of bytes in the text.
    pub(crate) span: Range<usize>,
}

impl Wrong {
    pub(crate) fn new(
        found: impl Into<String>,
        remedy: impl Into<Remedy>,
        span: Range<usize>,
    ) -> Self {
        Self {
            found: found.into(),
            remedy: remedy.into(),
            span,
        }
    }

    /// The same fault where the text is part of a longer one.
    pub(crate) fn shifted(mut self, by: usize) -> Self {
        self.span = self.span.start + by..self.span.end + by;
        self
    }

    /// The fault of the whole text.
    pub(crate) fn in_text(self, text: &str) -> Box<Fault> {
        let place = (self.span != (0..0)).then(|| Place::of(text, self.span));
        Box::new(Fault {
            place,
            found: self.found,
            expected: String::new(),
            remedy: self.remedy,
        })
    }
}
