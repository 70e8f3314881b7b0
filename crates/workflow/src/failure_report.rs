//! How a program reports a failure: as text with its place, as JSON, as an exit code.

use std::fmt::Write as _;
use std::ops::Range;

use evenhand_text::{Faults, clean, clean_lines, json_escaped};
use miette::{Diagnostic, LabeledSpan, NamedSource, SourceCode};
use serde::Serialize;

use crate::failure::{Failure, FailureKind, is_readable};
use crate::wording::Wording;

/// Exit code of bad input or usage.
pub const BAD_INPUT: u8 = 2;
/// Exit code of a request that cannot be met.
pub const CANNOT: u8 = 1;

/// The exit code that a failure ends with.
#[must_use]
pub fn exit_code(failure: &Failure) -> u8 {
    match failure.kind {
        FailureKind::BadInput => BAD_INPUT,
        FailureKind::Cannot => CANNOT,
    }
}

/// A failure to meet a request, as scripts read it.
#[derive(Serialize)]
struct FailureJson<'a> {
    error: FailureBody<'a>,
}

#[derive(Serialize)]
struct FailureBody<'a> {
    message: &'a str,
    help: String,
    file: Option<&'a str>,
    line: Option<usize>,
    column: Option<usize>,
}

/// Bad input or usage, as scripts read it.
#[derive(Serialize)]
struct FaultsJson {
    faults: Vec<FaultJson>,
}

/// A fault, as scripts read it.
#[derive(Clone, Debug, Serialize)]
pub struct FaultJson {
    /// File it is in, where it is in one.
    pub file: Option<String>,
    /// Line or row, from 1.
    pub line: Option<usize>,
    /// Column in characters, or of a spreadsheet, from 1.
    pub column: Option<usize>,
    /// What was found.
    pub found: String,
    /// What was expected.
    pub expected: Option<String>,
    /// What to do about it.
    pub remedy: String,
}

/// The faults of a failure, one at least.
#[must_use]
pub fn faults_of(failure: &Failure) -> Vec<FaultJson> {
    let wording = Wording::CommandLine;
    let Some(faults) = &failure.faults else {
        return vec![FaultJson {
            file: failure.file.clone(),
            line: failure.line,
            column: failure.column,
            found: failure.message.clone(),
            expected: None,
            remedy: wording.remedy(&failure.remedy),
        }];
    };
    faults
        .iter()
        .map(|fault| FaultJson {
            file: Some(faults.file().to_owned()),
            line: fault.place.as_ref().map(|place| place.line),
            column: fault.place.as_ref().map(|place| place.column),
            found: fault.found.clone(),
            expected: Some(fault.expected.clone()).filter(|text| !text.is_empty()),
            remedy: wording.remedy(&fault.remedy),
        })
        .collect()
}

/// The failure as one JSON object, without a line break at its end: `faults` for bad input, else `error`.
#[must_use]
pub fn failure_json(failure: &Failure) -> String {
    let wording = Wording::CommandLine;
    if failure.kind == FailureKind::Cannot {
        let body = FailureBody {
            message: &failure.message,
            help: wording.remedy(&failure.remedy),
            file: failure.file.as_deref(),
            line: failure.line,
            column: failure.column,
        };
        return json_text(&FailureJson { error: body });
    }
    let faults = faults_of(failure);
    json_text(&FaultsJson { faults })
}

/// An object as text that can be shown, whatever its strings hold.
fn json_text(object: &impl Serialize) -> String {
    // Strings and whole numbers cannot fail.
    json_escaped(&serde_json::to_string_pretty(object).unwrap_or_default())
}

/// Faults of a file that are shown to people; a script gets all.
const MOST_SHOWN: usize = 12;

/// Text for people, ending in a line break; coloured for terminals where `color` says so.
#[must_use]
pub fn failure_text(failure: &Failure, color: bool) -> String {
    let wording = Wording::CommandLine;
    let Some(faults) = &failure.faults else {
        let report = Report {
            message: failure.message.clone(),
            help: wording.remedy(&failure.remedy),
            source: failure.shown.as_ref().map(|(text, span)| {
                let name = failure.file.as_deref().unwrap_or_default();
                cleaned(name, text, span)
            }),
        };
        return report.render(color);
    };
    let mut text = String::new();
    for fault in faults.iter().take(MOST_SHOWN) {
        // The words of one fault among several are those of that fault alone.
        let alone = Faults::one(faults.file(), fault.clone());
        let span = fault.place.as_ref().and_then(|place| place.span.clone());
        let source = faults.source_text().zip(span);
        let report = Report {
            message: alone.to_string(),
            help: wording.remedy(&fault.remedy),
            source: source
                .filter(|(text, span)| is_readable(text, span))
                .map(|(text, span)| cleaned(faults.file(), text, &span)),
        };
        text.push_str(&report.render(color));
    }
    if faults.count() > MOST_SHOWN {
        let more = faults.count() - MOST_SHOWN;
        let _ = writeln!(text, "and {more} more in this file (--json lists all)");
    }
    text
}

/// A text to show with the bytes in it that are meant, both as they are once nothing in it steers a terminal.
fn cleaned(name: &str, text: &str, span: &Range<usize>) -> (NamedSource<String>, Range<usize>) {
    let shown = |part: Option<&str>| clean_lines(part.unwrap_or_default());
    let before = shown(text.get(..span.start));
    let meant = shown(text.get(span.clone()));
    let after = shown(text.get(span.end..));
    let place = before.len()..before.len() + meant.len();
    let text = [before, meant, after].concat();
    (NamedSource::new(clean(name), text), place)
}

/// A failure as the printer of reports wants it.
#[derive(Debug)]
struct Report {
    message: String,
    help: String,
    source: Option<(NamedSource<String>, Range<usize>)>,
}

impl Report {
    fn render(mut self, color: bool) -> String {
        self.message = clean_lines(&self.message);
        self.help = clean_lines(&self.help);
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
        if handler.render_report(&mut text, &self).is_err() {
            text = format!("{}\n  help: {}\n", self.message, self.help);
        }
        text
    }
}

impl std::fmt::Display for Report {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Report {}

impl Diagnostic for Report {
    fn help<'a>(&'a self) -> Option<Box<dyn std::fmt::Display + 'a>> {
        (!self.help.is_empty()).then(|| Box::new(&self.help) as Box<dyn std::fmt::Display>)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        self.source
            .as_ref()
            .map(|(source, _)| source as &dyn SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let (_, span) = self.source.as_ref()?;
        Some(Box::new(std::iter::once(LabeledSpan::new_with_span(
            Some("here".to_owned()),
            span.clone(),
        ))))
    }
}

#[cfg(test)]
mod tests {
    use evenhand_text::{Fault, Place, is_clean};

    use super::*;

    const STEERS: &str = "a\u{1b}[31mb\u{202e}c";

    fn is_shown(text: &str) -> bool {
        text.lines().all(is_clean)
    }

    #[test]
    fn nothing_that_is_reported_steers() {
        let text = format!("x = 1\n{STEERS} = é{STEERS}\n");
        let at = text.find('é').unwrap_or_default();
        let place = Place::of(&text, at..text.len() - 1);
        let fault = Fault::at(place, STEERS, STEERS, STEERS);
        let faults = Faults::of(STEERS, Some(&text), vec![fault.clone(), fault]);
        let listed = faults.map(Failure::unusable);
        // What is pointed at is still what is meant.
        let (source, place) = cleaned(STEERS, &text, &(at..text.len() - 1));
        assert_eq!(source.inner().get(place), Some("éa\u{fffd}[31mb\u{fffd}c"));
        let single = Failure::cannot(STEERS, STEERS)
            .in_file(STEERS)
            .at(Some(&text), Some(at..text.len() - 1));
        for failure in [Some(single), listed].into_iter().flatten() {
            let told = failure_text(&failure, false);
            assert!(
                is_shown(&told) && is_shown(&failure_json(&failure)),
                "{told}"
            );
        }
    }
}
