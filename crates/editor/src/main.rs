//! The window as a program: `evenhand edit` starts it.

use std::io::{IsTerminal as _, Write as _};
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, ValueEnum};
use evenhand_editor::{Start, WindowError, data_folder};
use evenhand_text::clean_lines;
use evenhand_workflow::{BAD_INPUT, Failure, exit_code, failure_json, failure_text};

/// Measure and edit maps in a window; `evenhand edit` starts this program
#[derive(Debug, Parser)]
#[command(name = "evenhand-window", version, max_term_width = 96)]
struct Arguments {
    /// Measurement to make a map for, or a saved map; a demo without one
    file: Option<PathBuf>,
    /// Print an error as one JSON object on standard output
    #[arg(long)]
    json: bool,
    /// Print nothing but errors
    #[arg(long, short)]
    quiet: bool,
    /// Colour in messages for people (`NO_COLOR` is honoured)
    #[arg(long, value_enum, default_value_t = ColorChoice::Auto, value_name = "WHEN")]
    color: ColorChoice,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum ColorChoice {
    /// On a terminal, unless `NO_COLOR` is set
    Auto,
    Always,
    Never,
}

fn main() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => {
            // Help and version are no errors; a closed pipe is none either.
            let code = if error.use_stderr() { BAD_INPUT } else { 0 };
            // A name that a shell found steers nothing.
            let message = error.render().to_string();
            if clean_lines(&message) == message {
                let _ = error.print();
            } else {
                let _ = std::io::stderr().write_all(clean_lines(&message).as_bytes());
            }
            return ExitCode::from(code);
        }
    };
    let start = Start {
        file: arguments.file.clone(),
        data_folder: data_folder(),
    };
    let failure = match evenhand_editor::run(&start) {
        Ok(()) => return ExitCode::SUCCESS,
        Err(WindowError::File(failure)) => failure,
        Err(WindowError::NoWindow { reason, help }) => Failure::cannot(reason, help),
    };
    report(&failure, &arguments);
    ExitCode::from(exit_code(&failure))
}

fn report(failure: &Failure, arguments: &Arguments) {
    // Nothing can be done where the streams are closed.
    if arguments.json {
        let _ = writeln!(std::io::stdout().lock(), "{}", failure_json(failure));
    }
    let is_plain = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
    let color = match arguments.color {
        ColorChoice::Always => true,
        ColorChoice::Never => false,
        ColorChoice::Auto => std::io::stderr().is_terminal() && !is_plain,
    };
    let text = failure_text(failure, color);
    let _ = std::io::stderr().lock().write_all(text.as_bytes());
}
