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
mod failure;
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

use std::process::ExitCode;

use clap::Parser;

use crate::args::{BenchCommand, Cli, Command};
use crate::failure::{BAD_INPUT, Failure};
use crate::output::Output;

fn main() -> ExitCode {
    let cli = match Cli::try_parse() {
        Ok(cli) => cli,
        Err(error) => {
            // Help and version are no errors; a closed pipe is none either.
            let code = if error.use_stderr() { BAD_INPUT } else { 0 };
            let _ = error.print();
            return ExitCode::from(code);
        }
    };
    let output = Output::new(cli.shown);
    let result = match cli.command {
        Command::Fit(args) => fit::run(&args, &output),
        Command::Map(args) => map::run(&args, &output),
        Command::Export(args) => export::run(&args, &output),
        Command::Preview(args) => preview::run(&args, &output),
        Command::Edit(args) => edit::run(&args),
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
            ExitCode::from(failure::code(&failure))
        }
    }
}

fn report(failure: &Failure, output: &Output) {
    if output.json {
        let _ = output.data(&format!("{}\n", failure::to_json(failure)));
    }
    output.error_text(&failure::to_text(failure, output.error_color()));
}
