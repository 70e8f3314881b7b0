//! `evenhand bench record`: on the whole screen of a terminal, or line by line.

use std::io::{self, IsTerminal as _};

use evenhand_bench::BEFORE_WEIGHTS;
use evenhand_measurement::ForceError;
use evenhand_recorder::EventLayout;
use evenhand_recorder::{
    Action, Next, Outcome, Recorder, RecorderSettings, Source, SourceSettings, StreamKind,
};
use evenhand_text::{count, gf};
use evenhand_workflow::{CANNOT, Failure};

use crate::args::{LayoutArg, RecordArgs, StreamArg};
use crate::output::Output;

const KEYS: &str = "Enter: it hangs still · a force such as 60gf: that one instead · r: retake the last · u: undo the last · s: new seating · q: enough for today";

const KEYS_AT_THE_END: &str = "Enter: that was all · r: retake the last · u: undo the last · a force such as 60gf: that one as well";

pub(crate) fn run(args: &RecordArgs, output: &Output) -> Result<u8, Failure> {
    if output.json {
        return Err(Failure::bad_input(
            "a session of the bench is no single object",
            "leave --json away; the measurement is in the file",
        ));
    }
    // The source first: what cannot be read leaves no file behind.
    let source = Source::open(&source_settings(args))?;
    let fills_screen = !args.plain
        && !output.quiet
        && !source.is_standard_input()
        && !is_dumb_terminal()
        && io::stdin().is_terminal()
        && output.chart_allowed();
    let recorder = Recorder::open(settings(args), source)?;
    if fills_screen {
        let recorder = evenhand_screen::run(recorder)?;
        output.people(&saved_summary(&recorder))?;
        return Ok(0);
    }
    Plain { recorder, output }.session()
}

/// Whether the terminal says of itself that it can do nothing but lines.
fn is_dumb_terminal() -> bool {
    std::env::var_os("TERM").is_some_and(|term| term == "dumb")
}

fn source_settings(args: &RecordArgs) -> SourceSettings {
    SourceSettings {
        path: args.from.clone(),
        kind: args.kind.map(|kind| match kind {
            StreamArg::Percent => StreamKind::Percent,
            StreamArg::Fraction => StreamKind::Fraction,
            StreamArg::Raw => StreamKind::Raw,
            StreamArg::Events => StreamKind::Events,
        }),
        levels: args.levels,
        layout: args.layout.map(|layout| match layout {
            LayoutArg::Bits64 => EventLayout::Bits64,
            LayoutArg::Bits32 => EventLayout::Bits32,
        }),
    }
}

fn settings(args: &RecordArgs) -> RecorderSettings {
    RecorderSettings {
        forces: args.forces.clone(),
        limit: args.limit,
        rig: args.rig.clone(),
        tilt_limit: args.tilt_limit,
        settle: args.settle as usize,
        same_seating: args.same_seating,
        levels: args.levels,
        model: args.model.clone(),
        unit: args.unit.clone(),
        date: args.date.clone(),
        ..RecorderSettings::new(args.out.clone())
    }
}

fn saved_summary(recorder: &Recorder) -> String {
    format!("{}; the same command goes on\n", recorder.saved_summary())
}

/// What is meant by a line of keys.
enum Line {
    Action(Action),
    Quit,
    Unknown(String),
}

impl Line {
    fn of(line: &str) -> Self {
        match line.trim() {
            "" => Self::Action(Action::TakeReading),
            "r" => Self::Action(Action::Retake),
            "u" => Self::Action(Action::Undo),
            "s" => Self::Action(Action::NewSeating),
            "q" => Self::Quit,
            other => match other.parse() {
                Ok(force) => Self::Action(Action::UseForce(force)),
                // What begins as a number is meant as a force.
                Err(error) if other.starts_with(|c: char| c.is_ascii_digit()) => {
                    Self::Unknown(ForceError::to_string(&error))
                }
                Err(_) => Self::Unknown(format!("`{other}` is not understood. {KEYS}")),
            },
        }
    }
}

/// A session line by line, in a plain terminal and for scripts.
struct Plain<'a> {
    recorder: Recorder,
    output: &'a Output,
}

impl Plain<'_> {
    fn print(&self, text: &str) -> Result<(), Failure> {
        self.output.people(&format!("{text}\n"))
    }

    fn show(&self, outcome: &Outcome) -> Result<(), Failure> {
        if outcome.is_warning() {
            self.output.warn(&outcome.to_string());
            Ok(())
        } else {
            self.print(&outcome.to_string())
        }
    }

    fn session(mut self) -> Result<u8, Failure> {
        if let Some(text) = self.recorder.resume_summary() {
            self.print(&text)?;
        }
        for note in self.recorder.notes() {
            self.output.warn(note);
        }
        self.print(BEFORE_WEIGHTS)?;
        // Standard input has one reader: a stream of readings, or a person's keys.
        let mut keys = (!self.recorder.source().is_standard_input()).then(|| io::stdin().lines());
        if keys.is_some() {
            self.print(KEYS)?;
        }
        loop {
            let is_done = !self.prompt()?;
            if is_done {
                // The last sample can still be taken back by a person.
                if keys.is_none() {
                    return Ok(0);
                }
                self.print(KEYS_AT_THE_END)?;
            }
            let line = match keys.as_mut().map(Iterator::next) {
                None => Line::Action(Action::TakeReading),
                Some(Some(Ok(line))) => Line::of(&line),
                Some(_) => Line::Quit,
            };
            if is_done && matches!(line, Line::Quit | Line::Action(Action::TakeReading)) {
                return Ok(0);
            }
            match line {
                Line::Quit => {
                    self.output.people(&saved_summary(&self.recorder))?;
                    return Ok(0);
                }
                Line::Unknown(why) => self.print(&why)?,
                Line::Action(action) => {
                    let outcome = self.recorder.act(action)?;
                    if action != Action::TakeReading {
                        self.show(&outcome)?;
                    }
                }
            }
            while self.recorder.is_watching() {
                for outcome in self.recorder.watch()? {
                    self.show(&outcome)?;
                    if outcome == Outcome::SourceEnded {
                        return Ok(CANNOT);
                    }
                }
            }
        }
    }

    /// Asks for the next force; false at the end.
    fn prompt(&mut self) -> Result<bool, Failure> {
        let seating = self.recorder.seating();
        let kept = self.recorder.rows().len();
        let placed = match self.recorder.next_step().clone() {
            Next::Place(placed) => placed,
            Next::Done(why) => {
                self.print(&format!("done: {}; {why}", count(kept, "sample")))?;
                return Ok(false);
            }
        };
        let how = placed
            .how
            .map_or_else(String::new, |words| format!(", {words}"));
        let why = if placed.why.is_empty() {
            String::new()
        } else {
            format!(": {}", placed.why)
        };
        self.print(&format!(
            "next: {}{how} (seating {seating}){why}",
            gf(placed.force_gf)
        ))?;
        if let Some(caution) = placed.caution {
            self.print(&caution)?;
        }
        Ok(true)
    }
}
