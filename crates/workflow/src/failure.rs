//! Why a task could not be done, with what to do about it.

use std::ops::Range;

use thiserror::Error;

/// Which kind of answer a failure is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FailureKind {
    /// What was given cannot be worked with.
    BadInput,
    /// The request cannot be met.
    Cannot,
}

/// A failure in words, with its place where it has one.
#[derive(Debug, Error)]
#[error("{}", told.message)]
pub struct Failure {
    // Boxed, so that a result costs little where all is well.
    told: Box<Told>,
}

/// What a failure says.
#[derive(Debug)]
pub struct Told {
    /// Which kind of answer it is.
    pub kind: FailureKind,
    /// What was found or why it cannot be.
    pub message: String,
    /// What to write or do instead.
    pub help: String,
    /// File it is about.
    pub file: Option<String>,
    /// Line in it, from 1.
    pub line: Option<usize>,
    /// Column in it, from 1.
    pub column: Option<usize>,
    /// Text to show, and the bytes in it that are meant.
    pub shown: Option<(String, Range<usize>)>,
}

impl Failure {
    /// What was given cannot be worked with.
    #[must_use]
    pub fn bad_input(message: impl Into<String>, help: impl Into<String>) -> Self {
        let told = Told {
            kind: FailureKind::BadInput,
            message: message.into(),
            help: help.into(),
            file: None,
            line: None,
            column: None,
            shown: None,
        };
        Self {
            told: Box::new(told),
        }
    }

    /// The request cannot be met.
    #[must_use]
    pub fn cannot(message: impl Into<String>, help: impl Into<String>) -> Self {
        let mut failure = Self::bad_input(message, help);
        failure.kind = FailureKind::Cannot;
        failure
    }

    /// Names the file it is about.
    #[must_use]
    pub fn in_file(mut self, file: impl Into<String>) -> Self {
        self.file = Some(file.into());
        self
    }

    /// Points at a place in a text that is shown.
    #[must_use]
    pub fn at(mut self, text: Option<&str>, span: Option<Range<usize>>) -> Self {
        self.shown = text.zip(span).map(|(text, span)| (text.to_owned(), span));
        self
    }
}

impl std::ops::Deref for Failure {
    type Target = Told;

    fn deref(&self) -> &Told {
        &self.told
    }
}

impl std::ops::DerefMut for Failure {
    fn deref_mut(&mut self) -> &mut Told {
        &mut self.told
    }
}
