//! Where text goes: results to standard output, warnings and errors to standard error.

use evenhand_text::clean_lines;
use evenhand_workflow::Failure;
use std::io::{self, IsTerminal, Write};

use crate::args::{ColorChoice, Shown};

/// The streams of a run and how they are used.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Output {
    pub(crate) json: bool,
    pub(crate) quiet: bool,
    color: ColorChoice,
}

impl Output {
    pub(crate) fn new(shown: Shown) -> Self {
        Self {
            json: shown.json,
            quiet: shown.quiet,
            color: shown.color,
        }
    }

    /// The arguments that make another program of ours show its results in the same way.
    pub(crate) fn as_arguments(&self) -> Vec<&'static str> {
        let color = match self.color {
            ColorChoice::Auto => None,
            ColorChoice::Always => Some("--color=always"),
            ColorChoice::Never => Some("--color=never"),
        };
        let json = self.json.then_some("--json");
        let quiet = self.quiet.then_some("--quiet");
        json.into_iter().chain(quiet).chain(color).collect()
    }

    /// Whether messages on standard error are coloured.
    pub(crate) fn error_color(&self) -> bool {
        self.color_on(io::stderr().is_terminal())
    }

    fn color_on(&self, terminal: bool) -> bool {
        match self.color {
            ColorChoice::Always => true,
            ColorChoice::Never => false,
            ColorChoice::Auto => {
                terminal && std::env::var_os("NO_COLOR").is_none_or(|value| value.is_empty())
            }
        }
    }

    /// Whether a chart drawn in characters can be shown.
    pub(crate) fn chart_allowed(&self) -> bool {
        let utf8 = ["LC_ALL", "LC_CTYPE", "LANG"]
            .iter()
            .find_map(|name| std::env::var(name).ok().filter(|value| !value.is_empty()))
            .is_some_and(|value| {
                let value = value.to_ascii_lowercase();
                value.contains("utf-8") || value.contains("utf8")
            });
        io::stdout().is_terminal() && utf8
    }

    /// Writes data that was asked for, whatever the quietness. What files say is shown, but steers nothing.
    pub(crate) fn data(&self, text: &str) -> Result<(), Failure> {
        let text = clean_lines(text);
        let mut out = io::stdout().lock();
        match out.write_all(text.as_bytes()).and_then(|()| out.flush()) {
            Ok(()) => Ok(()),
            // A reader that has seen enough is no fault.
            Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
            Err(error) => Err(Failure::bad_input(
                format!("standard output could not be written: {error}"),
                "check the disk or the pipe it goes to",
            )),
        }
    }

    /// Writes text for people, unless JSON or quiet was asked for.
    pub(crate) fn people(&self, text: &str) -> Result<(), Failure> {
        if self.json || self.quiet {
            Ok(())
        } else {
            self.data(text)
        }
    }

    /// Writes a warning for people on standard error.
    pub(crate) fn warn(&self, text: &str) {
        if !self.quiet {
            self.error_text(&format!("warning: {}\n", clean_lines(text)));
        }
    }

    /// Writes to standard error text that may be coloured, so that it has to be clean; nothing can be done if that
    /// fails.
    pub(crate) fn error_text(&self, text: &str) {
        let _ = io::stderr().lock().write_all(text.as_bytes());
    }
}
