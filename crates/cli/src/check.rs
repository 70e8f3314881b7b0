//! `evenhand check`.

use std::fmt::Write as _;

use evenhand_measurement::{SuspicionKind, suspicions};
use evenhand_workflow::{BAD_INPUT, Failure, failure_text};
use serde::Serialize;

use crate::args::CheckArgs;
use crate::input;
use crate::json::pretty;
use crate::output::Output;
use crate::text;

#[derive(Serialize)]
struct CheckJson {
    files: Vec<FileJson>,
}

#[derive(Serialize)]
struct FileJson {
    file: String,
    readable: bool,
    samples: usize,
    seatings: usize,
    suspicions: Vec<SuspicionJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    error: Option<String>,
}

#[derive(Serialize)]
struct SuspicionJson {
    line: Option<usize>,
    kind: &'static str,
    message: String,
    advice: String,
}

pub(crate) fn run(args: &CheckArgs, output: &Output) -> Result<u8, Failure> {
    let mut code = 0;
    let mut files = Vec::new();
    for path in &args.files {
        match input::measurement(path, &args.read) {
            Ok(read) => {
                let found = suspicions(&read.measurement);
                let mut text = format!(
                    "{}: {}, {}: {}\n",
                    read.source.name,
                    text::count(read.measurement.samples.len(), "sample"),
                    text::count(read.measurement.used_seatings().len(), "seating"),
                    if found.is_empty() {
                        "nothing suspicious".to_owned()
                    } else {
                        text::count(found.len(), "thing") + " to look at"
                    }
                );
                for suspicion in &found {
                    let place = suspicion
                        .line
                        .map_or_else(String::new, |line| format!("line {line}: "));
                    let _ = writeln!(text, "  {place}{}; {}", suspicion.message, suspicion.advice);
                }
                output.people(&text)?;
                files.push(FileJson {
                    file: read.source.name,
                    readable: true,
                    samples: read.measurement.samples.len(),
                    seatings: read.measurement.used_seatings().len(),
                    suspicions: found
                        .into_iter()
                        .map(|s| SuspicionJson {
                            line: s.line,
                            kind: SuspicionKind::as_str(s.kind),
                            message: s.message,
                            advice: s.advice,
                        })
                        .collect(),
                    error: None,
                });
            }
            // One bad file does not keep the others from being looked at.
            Err(failure) => {
                code = BAD_INPUT;
                output.error_text(&failure_text(&failure, output.error_color()));
                files.push(FileJson {
                    file: path.display().to_string(),
                    readable: false,
                    samples: 0,
                    seatings: 0,
                    suspicions: Vec::new(),
                    error: Some(failure.message.clone()),
                });
            }
        }
    }
    if output.json {
        output.data(&pretty(&CheckJson { files }))?;
    }
    Ok(code)
}
