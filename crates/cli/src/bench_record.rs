//! `evenhand bench record`: in a plain terminal, and for scripts.

use std::io;
use std::path::Path;

use evenhand_bench::{
    Budget, PlanSettings, Reachable, Rig, Step, Wish, force_budget, next_force, reachable,
};
use evenhand_capture::{Log, LogRow, MARK, Settled, StableRule, Watcher};
use evenhand_fitting::{Settings, fit};
use evenhand_measurement::{
    Force, ForceBudget, Measurement, ReadOptions, parse_measurement, save_atomically,
};
use evenhand_workflow::{count, gf, read_failure, read_text, rig, save_failure};

use crate::args::RecordArgs;
use crate::bench_plan::{BEFORE, NEAR, whole_gf};
use crate::bench_source::Source;
use crate::failure::{CANNOT, Failure};
use crate::output::Output;

/// Ticks of a live stream after which a person is asked again: a minute.
const PATIENCE: usize = 6000;
/// Logs larger than this are none.
const MOST_BYTES: u64 = 4 << 20;
/// Resamples of the fits that planning looks at.
const RESAMPLES: usize = 300;
const KEYS: &str = "Enter: it hangs still · a force such as 60gf: that one instead · r: retake the last · u: undo the last · s: new seating · q: enough for today";

/// What a person can say.
enum Said {
    Watch,
    Instead(Force),
    Retake,
    Undo,
    NewSeating,
    Quit,
    Unknown(String),
}

impl Said {
    fn of(line: &str) -> Self {
        match line.trim() {
            "" => Self::Watch,
            "r" => Self::Retake,
            "u" => Self::Undo,
            "s" => Self::NewSeating,
            "q" => Self::Quit,
            other => other
                .parse()
                .map_or_else(|_| Self::Unknown(other.to_owned()), Self::Instead),
        }
    }
}

/// How watching a placement ended.
enum Watched {
    Settled(Settled),
    NotSettled,
    SourceEnded,
}

struct Recorder<'a> {
    args: &'a RecordArgs,
    output: &'a Output,
    log: Log,
    seating: u32,
    forces: Vec<Reachable>,
    rig: Option<Rig>,
}

pub(crate) fn run(args: &RecordArgs, output: &Output) -> Result<u8, Failure> {
    if output.json {
        return Err(Failure::bad_input(
            "a session of the bench is no single object",
            "leave --json away; the measurement is in the file",
        ));
    }
    let limit = args.limit.gf();
    let wrong = args
        .forces
        .iter()
        .find(|force| !(0.0..=limit).contains(&force.gf()));
    if let Some(force) = wrong {
        return Err(Failure::bad_input(
            format!("{force} is not between 0 and the limit of {}", gf(limit)),
            "leave it out, or give a larger --limit where the maker allows it",
        ));
    }
    let rig = match &args.rig {
        Some(path) => Some(rig(path)?),
        None => None,
    };
    let forces = match &rig {
        Some(rig) if !reachable(rig, limit).is_empty() => reachable(rig, limit),
        _ => whole_gf(limit),
    };
    let mut recorder = Recorder {
        log: opened(&args.out)?,
        args,
        output,
        seating: 1,
        forces,
        rig,
    };
    let last = recorder.log.rows.last().map(|row| row.seating);
    recorder.seating = match last {
        Some(last) if args.same_seating => last,
        Some(last) => last + 1,
        None => 1,
    };
    if recorder.log.head.is_empty() {
        recorder.log.head = recorder.head();
    }
    let source = Source::open(args)?;
    recorder.save()?;
    recorder.session(source)
}

/// The log to go on with, or a new one; any other file is left alone.
fn opened(out: &Path) -> Result<Log, Failure> {
    if !out.exists() {
        return Ok(Log::default());
    }
    let name = out.display();
    let text = read_text(out, MOST_BYTES, "name a new file")?;
    Log::parse(&text).map_err(|line| {
        let message = if line == 1 {
            format!("{name}: this file exists and was not recorded by this command (its first line is not `{MARK}`)")
        } else {
            format!("{name}:{line}: this line is none of a recording")
        };
        Failure::bad_input(message, "name a new file, or mend the line").in_file(name.to_string())
    })
}

impl Recorder<'_> {
    /// Comment lines of a new measurement.
    fn head(&self) -> String {
        let mut head = String::new();
        let mut remark = |key: &str, value: Option<String>| {
            if let Some(value) = value {
                let line: String = value.split(['\n', '\r']).collect::<Vec<_>>().join(" ");
                head.push_str(&format!("# {key} = {line}\n"));
            }
        };
        remark("model", self.args.model.clone());
        remark("unit", self.args.unit.clone());
        remark("date", self.args.date.clone());
        remark("levels", self.args.levels.map(|levels| levels.to_string()));
        if let Some(rig) = &self.rig {
            remark("bench", Some(rig.name.clone()));
            remark("lever", Some(rig.in_words()));
            let budgets: Vec<Budget> = self
                .forces
                .iter()
                .filter_map(|one| evenhand_bench::Placement::parse(&one.written(), rig.kind()).ok())
                .map(|placement| rig.force(&placement))
                .collect();
            let figures = force_budget(&budgets).figures();
            for (key, figure) in ForceBudget::KEYS.iter().zip(figures) {
                remark(key, Some(format!("{figure:.3e}")));
            }
        }
        head
    }

    fn save(&self) -> Result<(), Failure> {
        save_atomically(&self.args.out, self.log.text().as_bytes(), true)
            .map_err(|error| save_failure(&error))
    }

    fn say(&self, text: &str) -> Result<(), Failure> {
        self.output.people(&format!("{text}\n"))
    }

    fn session(&mut self, mut source: Source) -> Result<u8, Failure> {
        if !self.log.rows.is_empty() {
            self.say(&format!(
                "going on with {}, seating {}",
                count(self.log.rows.len(), "sample"),
                self.seating
            ))?;
        }
        self.say(BEFORE)?;
        let asks = !source.is_standard_input();
        if asks {
            self.say(KEYS)?;
        }
        // Standard input has one reader: a stream of readings, or a person's keys.
        let mut commands = asks.then(|| io::stdin().lines());
        let mut instead: Option<Force> = None;
        loop {
            let Some(force_gf) = instead.map(Force::gf).or_else(|| self.next()) else {
                self.say(&format!("done: {}", count(self.log.rows.len(), "sample")))?;
                return Ok(0);
            };
            self.prompt(force_gf)?;
            let said = match commands.as_mut().map(Iterator::next) {
                None => Said::Watch,
                Some(Some(Ok(line))) => Said::of(&line),
                Some(_) => Said::Quit,
            };
            match said {
                Said::Quit => {
                    self.say(&format!(
                        "kept {}; the same command goes on",
                        count(self.log.rows.len(), "sample")
                    ))?;
                    return Ok(0);
                }
                Said::Unknown(word) => self.say(&format!("`{word}` is not understood. {KEYS}"))?,
                Said::Instead(force) if !(0.0..=self.args.limit.gf()).contains(&force.gf()) => {
                    self.say(&format!(
                        "{force} is not between 0 and the limit of {}",
                        gf(self.args.limit.gf())
                    ))?;
                }
                Said::Instead(force) => instead = Some(force),
                Said::NewSeating => {
                    if self
                        .log
                        .rows
                        .last()
                        .is_some_and(|row| row.seating == self.seating)
                    {
                        self.seating += 1;
                    }
                    self.say(&format!("seating {}", self.seating))?;
                }
                Said::Undo | Said::Retake => {
                    let Some(row) = self.log.rows.pop() else {
                        self.say("there is nothing to undo")?;
                        continue;
                    };
                    self.save()?;
                    self.say(&format!(
                        "took back {} at {:.2} %",
                        gf(row.force_gf),
                        100.0 * row.reading
                    ))?;
                    instead = matches!(said, Said::Retake).then(|| Force::from_gf(row.force_gf));
                }
                Said::Watch => {
                    if source.is_live() {
                        source.leave_placement();
                    }
                    match self.watch(&mut source)? {
                        Watched::Settled(settled) => {
                            self.keep(force_gf, &settled)?;
                            instead = None;
                            if !source.is_live() {
                                source.leave_placement();
                            }
                        }
                        Watched::NotSettled => self.say(
                            "the reading did not settle; nothing was kept: wait for the weight to hang still, and look for friction",
                        )?,
                        Watched::SourceEnded => {
                            self.output.warn("the source ended before the reading settled; everything before is kept");
                            return Ok(CANNOT);
                        }
                    }
                }
            }
        }
    }

    fn keep(&mut self, force_gf: f64, settled: &Settled) -> Result<(), Failure> {
        self.log.rows.push(LogRow {
            force_gf,
            reading: settled.reading,
            seating: self.seating,
            direction: self.log.direction(force_gf, self.seating),
            settled: Some((settled.scatter, settled.ticks)),
        });
        if let Err(failure) = self.save() {
            self.log.rows.pop();
            return Err(failure);
        }
        self.say(&format!(
            "kept {}: {:.2} %, scatter {:.3} %",
            gf(force_gf),
            100.0 * settled.reading,
            100.0 * settled.scatter
        ))
    }

    /// The next force of the list, or of the plan; `None` where nothing is left to place.
    fn next(&self) -> Option<f64> {
        if !self.args.forces.is_empty() {
            return self
                .args
                .forces
                .get(self.log.rows.len())
                .map(|force| force.gf());
        }
        let measurement = self.measurement().ok();
        let settings = Settings {
            resamples: RESAMPLES,
            ..Settings::default()
        };
        let fitted = measurement.as_ref().and_then(|m| fit(m, &settings).ok());
        let candidates: Vec<f64> = self.forces.iter().map(|one| one.force_gf).collect();
        let plan = PlanSettings {
            limit_gf: self.args.limit.gf(),
            wish: Wish::default(),
        };
        match next_force(measurement.as_ref(), fitted.as_ref(), &candidates, &plan) {
            Step::Place { force_gf, .. } => Some(force_gf),
            _ => None,
        }
    }

    fn measurement(&self) -> Result<Measurement, Failure> {
        let name = self.args.out.display().to_string();
        let text = self.log.text();
        parse_measurement(&name, text.as_bytes(), &ReadOptions::default())
            .map(|(measurement, _)| measurement)
            .map_err(|error| read_failure(&error))
    }

    fn prompt(&self, force_gf: f64) -> Result<(), Failure> {
        let masses = self
            .forces
            .iter()
            .find(|one| (one.force_gf - force_gf).abs() < 1e-9)
            .filter(|one| self.rig.is_some() && !one.masses_g.is_empty());
        let hang = masses.map_or_else(String::new, |one| format!(", hang {} g", one.written()));
        self.say(&format!(
            "next: {}{hang} (seating {})",
            gf(force_gf),
            self.seating
        ))?;
        if force_gf >= NEAR * self.args.limit.gf() {
            self.say(&format!(
                "this is near the limit of {}: stop if anything bends, creaks or slips",
                gf(self.args.limit.gf())
            ))?;
        }
        Ok(())
    }

    fn watch(&self, source: &mut Source) -> Result<Watched, Failure> {
        let mut watcher = Watcher::new(StableRule {
            ticks: self.args.settle as usize,
            ..StableRule::default()
        });
        let (mut ticks, mut leaning, mut unknown) = (0_usize, false, 0_usize);
        while let Some(tick) = source.tick() {
            // What ends a placement before anything was read belongs to the one before.
            if tick.ends_placement && watcher.current().is_some() {
                return Ok(Watched::NotSettled);
            }
            ticks += 1;
            unknown += usize::from(tick.value.is_none());
            if let Some(tilt) = tick
                .tilt
                .filter(|tilt| *tilt > self.args.tilt_limit && !leaning)
            {
                leaning = true;
                self.output.warn(&format!(
                    "the pen leans by {tilt:.0}, more than {}: set it upright, or say so with tilt_deg",
                    self.args.tilt_limit
                ));
            }
            if let Some(settled) = watcher.push(tick.value) {
                return Ok(Watched::Settled(settled));
            }
            if source.is_live() && ticks >= PATIENCE {
                if unknown == ticks {
                    self.output.warn("nothing was read in a minute: lift the nib and place it again, and see whether the source tells its pressure");
                }
                return Ok(Watched::NotSettled);
            }
        }
        Ok(Watched::SourceEnded)
    }
}
