//! What is wrong with a profile, and what to write instead.

use std::ops::Range;

/// A rule of profiles that a value breaks, with the key it stands under.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}: {message}; {help}", key.join("."))]
pub struct ProfileFlaw {
    key: &'static [&'static str],
    message: String,
    help: String,
}

impl ProfileFlaw {
    pub(crate) fn new(key: &'static [&'static str], message: String, help: String) -> Self {
        Self { key, message, help }
    }

    /// The key, outermost table first.
    #[must_use]
    pub fn key(&self) -> &'static [&'static str] {
        self.key
    }

    /// What was found.
    #[must_use]
    pub fn message(&self) -> &str {
        &self.message
    }

    /// What to write instead.
    #[must_use]
    pub fn help(&self) -> &str {
        &self.help
    }
}

/// A profile file that cannot be used, with the place in its text.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{file}:{line}:{column}: {message}; {help}")]
pub struct ProfileError {
    file: String,
    line: usize,
    column: usize,
    span: Range<usize>,
    message: String,
    help: String,
}

impl ProfileError {
    pub(crate) fn at(
        file: &str,
        text: &str,
        span: Range<usize>,
        message: String,
        help: String,
    ) -> Self {
        let before = text.get(..span.start).unwrap_or(text);
        let line = before.matches('\n').count() + 1;
        let column = before.rsplit('\n').next().map_or(0, |s| s.chars().count()) + 1;
        Self {
            file: file.to_owned(),
            line,
            column,
            span,
            message,
            help,
        }
    }

    /// The file's name as given to the parser.
    #[must_use]
    pub fn file(&self) -> &str {
        &self.file
    }

    /// Line, from 1.
    #[must_use]
    pub fn line(&self) -> usize {
        self.line
    }

    /// Column in characters, from 1.
    #[must_use]
    pub fn column(&self) -> usize {
        self.column
    }

    /// Range of bytes in the text.
    #[must_use]
    pub fn span(&self) -> Range<usize> {
        self.span.clone()
    }

    /// What was found.
    #[must_use]
    pub fn message(&self) -> &str {
        &self.message
    }

    /// What to write instead.
    #[must_use]
    pub fn help(&self) -> &str {
        &self.help
    }
}
