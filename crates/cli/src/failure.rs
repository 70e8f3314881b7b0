//! What ends a command early, and how it is told.

use std::fmt::Write as _;
use std::ops::Range;

use miette::{Diagnostic, LabeledSpan, NamedSource, SourceCode};
use serde::Serialize;

/// Exit code of bad input or usage.
pub(crate) const BAD_INPUT: u8 = 2;
/// Exit code of a request that cannot be met.
pub(crate) const CANNOT: u8 = 1;

/// Why a command did not finish, with what to do about it.
#[derive(Debug)]
pub(crate) struct Failure {
    // Boxed, so that a result costs little where all is well.
    told: Box<Told>,
}

#[derive(Debug)]
pub(crate) struct Told {
    pub(crate) code: u8,
    pub(crate) message: String,
    pub(crate) help: String,
    pub(crate) file: Option<String>,
    pub(crate) line: Option<usize>,
    pub(crate) column: Option<usize>,
    pub(crate) shown: Option<(NamedSource<String>, Range<usize>)>,
}

/// The failure as scripts read it.
#[derive(Serialize)]
struct FailureJson<'a> {
    error: FailureBody<'a>,
}

#[derive(Serialize)]
struct FailureBody<'a> {
    message: &'a str,
    help: &'a str,
    file: Option<&'a str>,
    line: Option<usize>,
    column: Option<usize>,
}

impl Failure {
    pub(crate) fn bad_input(message: impl Into<String>, help: impl Into<String>) -> Self {
        let told = Told {
            code: BAD_INPUT,
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

    pub(crate) fn cannot(message: impl Into<String>, help: impl Into<String>) -> Self {
        let mut failure = Self::bad_input(message, help);
        failure.code = CANNOT;
        failure
    }

    pub(crate) fn in_file(mut self, file: impl Into<String>) -> Self {
        self.file = Some(file.into());
        self
    }

    /// Points at a place in a text that is shown.
    pub(crate) fn at(mut self, text: Option<&str>, span: Option<Range<usize>>) -> Self {
        let name = self.file.clone().unwrap_or_default();
        self.shown = text
            .zip(span)
            .map(|(text, span)| (NamedSource::new(name, text.to_owned()), span));
        self
    }

    pub(crate) fn to_json(&self) -> String {
        let body = FailureBody {
            message: &self.message,
            help: &self.help,
            file: self.file.as_deref(),
            line: self.line,
            column: self.column,
        };
        serde_json::to_string_pretty(&FailureJson { error: body }).unwrap_or_default()
    }

    /// Text for people, ending in a line break.
    pub(crate) fn to_text(&self, color: bool) -> String {
        let mut text = String::new();
        let theme = if color {
            miette::GraphicalTheme::unicode()
        } else {
            miette::GraphicalTheme::unicode_nocolor()
        };
        let handler = miette::GraphicalReportHandler::new_themed(theme)
            .with_links(false)
            .with_context_lines(1)
            .with_width(96);
        if handler.render_report(&mut text, self).is_err() {
            let _ = write!(text, "{}\n  help: {}\n", self.message, self.help);
        }
        text
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

impl std::fmt::Display for Failure {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Failure {}

impl Diagnostic for Failure {
    fn help<'a>(&'a self) -> Option<Box<dyn std::fmt::Display + 'a>> {
        (!self.help.is_empty()).then(|| Box::new(&self.help) as Box<dyn std::fmt::Display>)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        self.shown
            .as_ref()
            .map(|(source, _)| source as &dyn SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let (_, span) = self.shown.as_ref()?;
        Some(Box::new(std::iter::once(LabeledSpan::new_with_span(
            Some("here".to_owned()),
            span.clone(),
        ))))
    }
}
