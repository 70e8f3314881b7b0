//! Why a file is no measurement.

use std::fmt;
use std::ops::Range;

/// A file that was refused: where, what was found, what to write instead.
///
/// Displayed as one line, `FILE:LINE:COLUMN: what was found`; the advice is [`ReadError::help`].
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadError {
    // Boxed, so that a result costs little where all is well.
    told: Box<Told>,
}

#[derive(Clone, Debug, PartialEq, Eq)]
struct Told {
    file: String,
    place: Option<Place>,
    message: String,
    help: String,
    text: Option<String>,
}

#[derive(Clone, Debug, PartialEq, Eq)]
struct Place {
    line: usize,
    column: usize,
    span: Range<usize>,
}

/// Texts beyond this are not carried along to be shown.
const SHOWN_BYTES: usize = 1 << 20;

impl ReadError {
    /// About a file as a whole.
    pub(crate) fn of_file(file: &str, message: impl Into<String>, help: impl Into<String>) -> Self {
        let told = Told {
            file: file.to_owned(),
            place: None,
            message: message.into(),
            help: help.into(),
            text: None,
        };
        Self {
            told: Box::new(told),
        }
    }

    /// About a range of bytes of a text.
    pub(crate) fn at(
        file: &str,
        text: &str,
        span: Range<usize>,
        message: impl Into<String>,
        help: impl Into<String>,
    ) -> Self {
        let (line, column) = line_and_column(text, span.start);
        let mut error = Self::of_file(file, message, help);
        error.told.place = Some(Place { line, column, span });
        error.told.text = (text.len() <= SHOWN_BYTES).then(|| text.to_owned());
        error
    }

    /// The file, as it was named.
    #[must_use]
    pub fn file(&self) -> &str {
        &self.told.file
    }

    /// Line, from 1.
    #[must_use]
    pub fn line(&self) -> Option<usize> {
        self.told.place.as_ref().map(|place| place.line)
    }

    /// Column in characters, from 1.
    #[must_use]
    pub fn column(&self) -> Option<usize> {
        self.told.place.as_ref().map(|place| place.column)
    }

    /// Range of bytes in the text.
    #[must_use]
    pub fn span(&self) -> Option<Range<usize>> {
        self.told.place.as_ref().map(|place| place.span.clone())
    }

    /// What was found.
    #[must_use]
    pub fn message(&self) -> &str {
        &self.told.message
    }

    /// What to write instead.
    #[must_use]
    pub fn help(&self) -> &str {
        &self.told.help
    }

    /// The text of the file, where it was text and not too long to show.
    #[must_use]
    pub fn source_text(&self) -> Option<&str> {
        self.told.text.as_deref()
    }
}

impl fmt::Display for ReadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.told.file)?;
        if let Some(place) = &self.told.place {
            write!(f, ":{}:{}", place.line, place.column)?;
        }
        write!(f, ": {}", self.told.message)
    }
}

impl std::error::Error for ReadError {}

/// Line and column (in characters), both from 1; lines end with LF, CR LF or CR.
pub(crate) fn line_and_column(text: &str, at: usize) -> (usize, usize) {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    let before = &text[..at];
    let bytes = before.as_bytes();
    let mut line = 1;
    let mut start = 0;
    for (index, byte) in bytes.iter().enumerate() {
        let ends = match byte {
            b'\n' => true,
            // The LF of a CR LF ends the line.
            b'\r' => text.as_bytes().get(index + 1) != Some(&b'\n'),
            _ => false,
        };
        if ends {
            line += 1;
            start = index + 1;
        }
    }
    (line, before[start..].chars().count() + 1)
}
