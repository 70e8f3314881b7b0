//! How a failure is told: as text with its place, or as JSON.

use std::fmt::Write as _;

pub(crate) use evenhand_workflow::Failure;
use evenhand_workflow::FailureKind;
use miette::{Diagnostic, LabeledSpan, NamedSource, SourceCode};
use serde::Serialize;

/// Exit code of bad input or usage.
pub(crate) const BAD_INPUT: u8 = 2;
/// Exit code of a request that cannot be met.
pub(crate) const CANNOT: u8 = 1;

/// The exit code that a failure ends with.
pub(crate) fn code(failure: &Failure) -> u8 {
    match failure.kind {
        FailureKind::BadInput => BAD_INPUT,
        FailureKind::Cannot => CANNOT,
    }
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

pub(crate) fn to_json(failure: &Failure) -> String {
    let body = FailureBody {
        message: &failure.message,
        help: &failure.help,
        file: failure.file.as_deref(),
        line: failure.line,
        column: failure.column,
    };
    serde_json::to_string_pretty(&FailureJson { error: body }).unwrap_or_default()
}

/// Text for people, ending in a line break.
pub(crate) fn to_text(failure: &Failure, color: bool) -> String {
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
    let report = Report::of(failure);
    if handler.render_report(&mut text, &report).is_err() {
        let _ = write!(text, "{}\n  help: {}\n", failure.message, failure.help);
    }
    text
}

/// A failure as the printer of reports wants it.
#[derive(Debug)]
struct Report<'f> {
    failure: &'f Failure,
    source: Option<NamedSource<String>>,
}

impl<'f> Report<'f> {
    fn of(failure: &'f Failure) -> Self {
        let name = failure.file.clone().unwrap_or_default();
        let source = failure
            .shown
            .as_ref()
            .map(|(text, _)| NamedSource::new(name, text.clone()));
        Self { failure, source }
    }
}

impl std::fmt::Display for Report<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.failure.message)
    }
}

impl std::error::Error for Report<'_> {}

impl Diagnostic for Report<'_> {
    fn help<'a>(&'a self) -> Option<Box<dyn std::fmt::Display + 'a>> {
        (!self.failure.help.is_empty())
            .then(|| Box::new(&self.failure.help) as Box<dyn std::fmt::Display>)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        self.source.as_ref().map(|source| source as &dyn SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let (_, span) = self.failure.shown.as_ref()?;
        Some(Box::new(std::iter::once(LabeledSpan::new_with_span(
            Some("here".to_owned()),
            span.clone(),
        ))))
    }
}
