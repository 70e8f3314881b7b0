//! Evenhand's command line.

mod args;
mod bench_convert;
mod bench_plan;
mod bench_record;
mod chart;
mod check;
mod compare;
mod compare_text;
mod edit;
mod export;
mod fit;
mod fraction;
mod hand;
mod input;
mod json;
mod map;
mod output;
mod picture;
mod preview;
mod progress;
mod receivers;
mod text;
mod verify;

use std::io::Write as _;
use std::process::ExitCode;

use clap::Parser;
use evenhand_text::clean_lines;
use evenhand_workflow::{BAD_INPUT, Failure, exit_code, failure_json, failure_text, start_threads};

use crate::args::{BenchCommand, Cli, Command};
use crate::output::Output;

fn main() -> ExitCode {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(error) => {
            // Help and version are no errors; a closed pipe is none either.
            if !error.use_stderr() {
                let _ = error.print();
                return ExitCode::SUCCESS;
            }
            // Nothing was parsed, so that the wish for JSON is read from the words themselves.
            if std::env::args_os().any(|word| word == "--json") {
                let _ = writeln!(std::io::stdout(), "{}", failure_json(&usage(&error)));
            }
            // Words of the command line, such as names that a shell found, steer nothing either.
            let message = error.render().to_string();
            if clean_lines(&message) == message {
                let _ = error.print();
            } else {
                let _ = std::io::stderr().write_all(clean_lines(&message).as_bytes());
            }
            return ExitCode::from(BAD_INPUT);
        }
    };
    start_threads();
    let output = Output::new(cli.shown);
    let result = match cli.command {
        Command::Fit(args) => fit::run(&args, &output),
        Command::Map(args) => map::run(&args, &output),
        Command::Export(args) => export::run(&args, &output),
        Command::Preview(args) => preview::run(&args, &output),
        Command::Edit(args) => edit::run(&args, &output),
        Command::Hand(args) => hand::run(&args, &output),
        Command::Verify(args) => verify::run(&args, &output),
        Command::Bench(BenchCommand::Convert(args)) => bench_convert::run(&args, &output),
        Command::Bench(BenchCommand::Plan(args)) => bench_plan::run(&args, &output),
        Command::Bench(BenchCommand::Record(args)) => bench_record::run(&args, &output),
        Command::Compare(args) => compare::run(&args, &output),
        Command::Check(args) => check::run(&args, &output),
        Command::Receivers(args) => receivers::run(&args, &output),
    };
    match result {
        Ok(code) => ExitCode::from(code),
        Err(failure) => {
            report(&failure, &output);
            ExitCode::from(exit_code(&failure))
        }
    }
}

/// A fault of usage, for scripts: what is wrong in one line, and what clap advises.
fn usage(error: &clap::Error) -> Failure {
    let text = error.render().to_string();
    let mut lines = text.lines().map(str::trim).filter(|line| !line.is_empty());
    let found = lines.next().unwrap_or_default();
    let found = found.strip_prefix("error: ").unwrap_or(found);
    let advice: Vec<&str> = lines.filter(|line| !line.starts_with("For more")).collect();
    // What our own parsers say stands behind clap's sentence.
    match found.split_once("': ") {
        Some((found, remedy)) if advice.iter().all(|line| line.starts_with("Usage")) => {
            Failure::bad_input(format!("{found}'"), remedy)
        }
        _ => Failure::bad_input(found, advice.join("; ")),
    }
}

fn report(failure: &Failure, output: &Output) {
    if output.json {
        let _ = output.data(&format!("{}\n", failure_json(failure)));
    }
    output.error_text(&failure_text(failure, output.error_color()));
}
