//! Why a task could not be done, with what to do about it.

use std::ops::Range;

use evenhand_bench::NoForce;
use evenhand_inversion::MapError;
use evenhand_population::MatchError;
use evenhand_recorder::RecordError;
use evenhand_text::{Faults, Remedy, SaveError};
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
#[error("{}", detail.message)]
pub struct Failure {
    // Boxed, so that a result costs little where all is well.
    detail: Box<FailureDetail>,
}

/// What a failure says.
#[derive(Debug)]
pub struct FailureDetail {
    /// Which kind of answer it is.
    pub kind: FailureKind,
    /// What was found or why it cannot be.
    pub message: String,
    /// What to write or do instead.
    pub remedy: Remedy,
    /// File it is about.
    pub file: Option<String>,
    /// Line in it, from 1.
    pub line: Option<usize>,
    /// Column in it, from 1.
    pub column: Option<usize>,
    /// Text to show, and the bytes in it that are meant.
    pub shown: Option<(String, Range<usize>)>,
    /// Everything that is wrong with a file, where it was read by keys; message, place and remedy are then those of
    /// the first fault.
    pub faults: Option<Faults>,
}

impl Failure {
    /// What was given cannot be worked with.
    #[must_use]
    pub fn bad_input(message: impl Into<String>, remedy: impl Into<Remedy>) -> Self {
        let detail = FailureDetail {
            kind: FailureKind::BadInput,
            message: with_short_quotes(&message.into()),
            remedy: remedy.into(),
            file: None,
            line: None,
            column: None,
            shown: None,
            faults: None,
        };
        Self {
            detail: Box::new(detail),
        }
    }

    /// A file that cannot be used, with all that is wrong with it.
    #[must_use]
    pub fn unusable(faults: Faults) -> Self {
        let mut failure = Self::bad_input(faults.to_string(), faults.first().remedy.clone())
            .in_file(faults.file())
            .at(faults.source_text(), faults.span());
        failure.line = faults.line();
        failure.column = faults.column();
        failure.faults = Some(faults);
        failure
    }

    /// The request cannot be met.
    #[must_use]
    pub fn cannot(message: impl Into<String>, remedy: impl Into<Remedy>) -> Self {
        let mut failure = Self::bad_input(message, remedy);
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
        self.shown = text
            .zip(span)
            .filter(|(text, span)| is_readable(text, span))
            .map(|(text, span)| (text.to_owned(), span));
        self
    }
}

impl From<Faults> for Failure {
    fn from(faults: Faults) -> Self {
        Self::unusable(faults)
    }
}

impl From<SaveError> for Failure {
    fn from(error: SaveError) -> Self {
        Self::bad_input(error.to_string(), error.remedy())
    }
}

impl From<MapError> for Failure {
    fn from(error: MapError) -> Self {
        if error.is_bad_input() {
            Self::bad_input(error.to_string(), error.help())
        } else {
            Self::cannot(error.to_string(), error.help())
        }
    }
}

impl From<MatchError> for Failure {
    fn from(error: MatchError) -> Self {
        Self::cannot(error.to_string(), error.remedy())
    }
}

impl From<NoForce> for Failure {
    fn from(error: NoForce) -> Self {
        Self::bad_input(error.to_string(), error.help())
    }
}

impl From<RecordError> for Failure {
    fn from(error: RecordError) -> Self {
        match error {
            RecordError::Faults(faults) => Self::unusable(faults),
            RecordError::NoNextForce { why } => Self::cannot(why, ""),
            other => {
                let mut failure = Self::bad_input(other.to_string(), other.remedy());
                failure.file = other.file().map(str::to_owned);
                failure
            }
        }
    }
}

/// Characters of a quotation that are told.
const MOST_QUOTED: usize = 60;
/// Longer lines are not shown: their place is told by number.
const MOST_SHOWN: usize = 400;

/// What stands between back ticks, cut where it is longer than anybody reads.
fn with_short_quotes(message: &str) -> String {
    let mut text = String::with_capacity(message.len().min(1000));
    for (index, part) in message.split('`').enumerate() {
        if index > 0 {
            text.push('`');
        }
        let is_quoted = index % 2 == 1;
        match part.char_indices().nth(MOST_QUOTED) {
            Some((end, _)) if is_quoted => {
                text.push_str(&part[..end]);
                text.push('…');
            }
            _ => text.push_str(part),
        }
    }
    text
}

/// Whether the line of a place and its neighbours are short enough to be looked at.
pub(crate) fn is_readable(text: &str, span: &Range<usize>) -> bool {
    let at = span.start.min(text.len());
    let (Some(before), Some(after)) = (text.get(..at), text.get(at..)) else {
        return false;
    };
    let above: usize = before.rsplit('\n').take(2).map(str::len).max().unwrap_or(0);
    let below: usize = after.split('\n').take(2).map(str::len).max().unwrap_or(0);
    above <= MOST_SHOWN && below <= MOST_SHOWN
}

impl std::ops::Deref for Failure {
    type Target = FailureDetail;

    fn deref(&self) -> &FailureDetail {
        &self.detail
    }
}

impl std::ops::DerefMut for Failure {
    fn deref_mut(&mut self) -> &mut FailureDetail {
        &mut self.detail
    }
}
