//! `evenhand check`.

use std::fmt::Write as _;
use std::path::Path;

use evenhand_fitting::{Settings, fit};
use evenhand_measurement::{Measurement, SuspicionKind, suspicions, write_csv, write_toml};
use evenhand_text::{clean, save_atomically};
use evenhand_workflow::{BAD_INPUT, Failure, Read, Wording, check_target, failure_text, faults_of};
use serde::Serialize;
use serde_json::json;

use crate::args::CheckArgs;
use crate::input;
use crate::json::pretty;
use crate::output::Output;
use crate::text;

#[derive(Serialize)]
struct Suspicious {
    line: Option<usize>,
    kind: &'static str,
    message: String,
    advice: String,
}

pub(crate) fn run(args: &CheckArgs, output: &Output) -> Result<u8, Failure> {
    if let Some(out) = &args.rewrite {
        let [file] = args.files.as_slice() else {
            return Err(Failure::bad_input(
                format!("{} files to write as one", args.files.len()),
                "name one measurement with --rewrite",
            ));
        };
        check_target(out, args.force, &[file])?;
    }
    let mut code = 0;
    let mut files = Vec::new();
    for path in &args.files {
        match input::measurement(path, &args.read) {
            Ok(read) => {
                let found = found_in(&read.measurement);
                output.people(&report(&read, &found))?;
                if let Some(out) = &args.rewrite {
                    rewrite(&read, out, args.force)?;
                    output.people(&format!("  written to {}\n", out.display()))?;
                }
                files.push(json!({
                    "file": read.source.name,
                    "readable": true,
                    "samples": read.measurement.samples.len(),
                    "seatings": read.measurement.used_seatings().len(),
                    "read_as": read.source.read_as,
                    "suspicions": found,
                    "faults": [],
                }));
            }
            // One bad file does not keep the others from being looked at.
            Err(failure) => {
                code = BAD_INPUT;
                output.error_text(&failure_text(&failure, output.error_color()));
                files.push(json!({
                    "file": path.display().to_string(),
                    "readable": false,
                    "samples": 0,
                    "seatings": 0,
                    "read_as": null,
                    "suspicions": [],
                    "faults": faults_of(&failure),
                }));
            }
        }
    }
    if output.json {
        output.data(&pretty(&json!({ "files": files })))?;
    }
    Ok(code)
}

/// What looks suspicious: in the samples themselves, and a change of seating that a fit finds among them.
fn found_in(measurement: &Measurement) -> Vec<Suspicious> {
    let change = fit(measurement, &Settings::quick())
        .ok()
        .and_then(|fit| fit.seating_change)
        .map(|change| {
            let warning = change.warning();
            Suspicious {
                line: warning.line,
                kind: "seating-change",
                advice: Wording::CommandLine.remedy(&warning.advice),
                message: warning.message,
            }
        });
    let found = suspicions(measurement).into_iter();
    found
        .map(|s| Suspicious {
            line: s.line,
            kind: SuspicionKind::as_str(s.kind),
            message: s.message,
            advice: s.advice,
        })
        .chain(change)
        .collect()
}

fn report(read: &Read, found: &[Suspicious]) -> String {
    let mut text = format!(
        "{}: {}, {}: {}\n  {}\n",
        clean(&read.source.name),
        text::count(read.measurement.samples.len(), "sample"),
        text::count(read.measurement.used_seatings().len(), "seating"),
        if found.is_empty() {
            "nothing suspicious".to_owned()
        } else {
            text::count(found.len(), "thing") + " to look at"
        },
        read.source.read_as.in_words(),
    );
    for suspicion in found {
        let place = suspicion
            .line
            .map_or_else(String::new, |line| format!("line {line}: "));
        let _ = writeln!(text, "  {place}{}; {}", suspicion.message, suspicion.advice);
    }
    text
}

/// Writes the plain form, in the form that the name's ending says; a table without one.
fn rewrite(read: &Read, out: &Path, force: bool) -> Result<(), Failure> {
    let is_toml = out
        .extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case("toml"));
    let text = if is_toml {
        write_toml(&read.measurement)
    } else {
        write_csv(&read.measurement)
    };
    Ok(save_atomically(out, text.as_bytes(), force)?)
}
