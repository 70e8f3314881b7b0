//! The session.

use std::path::Path;

use evenhand_bench::{
    AvailableForce, LoadRecipe, PlanSettings, PrecisionGoal, Rig, Step, load_caution, making,
    next_force, placeable, step_caution, step_in_words,
};
use evenhand_fitting::Fit;
use evenhand_measurement::{Force, Measurement, ReadOptions, parse_measurement};
use evenhand_preview::tick_step;
use evenhand_text::{count, gf, read_text, refuse_input, save_atomically};

use crate::action::Action;
use crate::bench_head::{continued, new_head};
use crate::error::RecordError;
use crate::forces::{listed, made, nearest_in_words};
use crate::hold::Tick;
use crate::log::{Log, LogRow};
use crate::next::{Next, Placed};
use crate::outcome::{Outcome, Unsettled};
use crate::progress::Progress;
use crate::recording::Recording;
use crate::session_fit::SessionFit;
use crate::settings::RecorderSettings;
use crate::settling::Settling;
use crate::source::{Source, SourceItem};
use crate::watcher::{Settled, StableRule, Watcher};

/// Ticks of a live stream after which a person is asked again: a minute.
const TIMEOUT_TICKS: usize = 6000;
/// Logs larger than this are none.
const MOST_BYTES: u64 = 4 << 20;

/// Ticks of a recording that are taken at once where none are waited for: its reading is seen to settle.
const AT_ONCE: usize = 10;
/// Room beyond the largest force of a drawing.
const BEYOND: f64 = 1.04;
/// Most ticks of its axis.
const MOST_TICKS: f64 = 8.0;
/// Shortest axis of forces, gf.
const SHORTEST_GF: f64 = 20.0;

/// A placement that is being watched.
#[derive(Clone, Copy, Debug, Default)]
struct Placement {
    ticks: usize,
    unknown: usize,
}

/// A session at the bench.
pub struct Recorder {
    settings: RecorderSettings,
    source: Source,
    log: Log,
    seating: u32,
    forces: Vec<AvailableForce>,
    /// The list of forces as the bench makes them, gf, each with what was asked for.
    list: Vec<(f64, Force)>,
    /// What speaks against the bench's own figures.
    notes: Vec<String>,
    /// Whether a recording is gone on with where it was left.
    resumes_recording: bool,
    watcher: Watcher,
    placement: Option<Placement>,
    /// Where the placement that is watched began in a recording.
    began_at: usize,
    tilt: Option<f64>,
    /// Whether the lean of this placement was told.
    has_reported_lean: bool,
    /// Whether it was told that something was no reading.
    has_reported_invalid: bool,
    has_ended: bool,
    /// A force chosen instead of the next.
    instead: Option<Force>,
    next: Option<Next>,
    /// What follows from the samples, where it was asked for since they changed.
    session_fit: Option<SessionFit>,
    /// What this session last wrote.
    written: String,
}

impl Recorder {
    /// Begins a session, or goes on with one; the file is written at once.
    ///
    /// # Errors
    /// Forces beyond the limit, a rig or a log that cannot be read, a file that was not recorded, and one that
    /// cannot be written.
    pub fn open(settings: RecorderSettings, source: Source) -> Result<Self, RecordError> {
        let limit_gf = settings.limit.gf();
        if !(limit_gf.is_finite() && limit_gf > 0.0) {
            return Err(RecordError::Limit(settings.limit));
        }
        let wrong = settings
            .forces
            .iter()
            .find(|force| !(0.0..=limit_gf).contains(&force.gf()));
        if let Some(force) = wrong {
            let force = *force;
            return Err(RecordError::BeyondLimit { force, limit_gf });
        }
        let mut inputs = vec![source.path()];
        inputs.extend(settings.rig.as_deref());
        refuse_input(&settings.out, &inputs)?;
        let rig = settings.rig.as_deref().map(Rig::read).transpose()?;
        let forces = placeable(rig.as_ref(), limit_gf)?;
        let list = listed(&settings.forces, &forces)?;
        let (mut log, before) = opened(&settings.out)?;
        let seating = match log.rows.last().map(|row| row.seating) {
            Some(last) if settings.same_seating => last,
            Some(last) => last.saturating_add(1),
            None => 1,
        };
        log.head = if log.head.is_empty() {
            new_head(&settings, rig.as_ref())
        } else {
            continued(&log, &settings, rig.as_ref())?
        };
        let mut source = source;
        let resumes_recording = log
            .position
            .as_ref()
            .is_some_and(|position| source.resume_from(position));
        let rule = StableRule {
            ticks: settings.settle,
            ..StableRule::default()
        };
        let mut recorder = Self {
            settings,
            source,
            log,
            seating,
            forces,
            list,
            notes: rig
                .iter()
                .flat_map(Rig::notes)
                .map(|note| note.to_string())
                .collect(),
            resumes_recording,
            watcher: Watcher::new(rule),
            placement: None,
            began_at: 0,
            tilt: None,
            has_reported_lean: false,
            has_reported_invalid: false,
            has_ended: false,
            instead: None,
            next: None,
            session_fit: None,
            written: before,
        };
        recorder.save()?;
        Ok(recorder)
    }

    /// What to place next.
    pub fn next_step(&mut self) -> &Next {
        let next = match self.next.take() {
            Some(next) => next,
            None => self.find_next(),
        };
        self.next.insert(next)
    }

    fn find_next(&mut self) -> Next {
        if let Some(force) = self.instead {
            return self.placed(force.gf(), String::new());
        }
        let kept = self.log.rows.len();
        if !self.list.is_empty() {
            let all = self.list.len();
            return match self.list.get(kept).copied() {
                Some((force_gf, wanted)) => {
                    let mut why = format!("{} of {all} on the list", kept + 1);
                    if gf(force_gf) != gf(wanted.gf()) {
                        why.push_str(&format!(", for {wanted}"));
                    }
                    self.placed(force_gf, why)
                }
                None => Next::Done(format!("all {all} of the list are placed")),
            };
        }
        let candidates: Vec<f64> = self.forces.iter().map(|one| one.force_gf).collect();
        let plan = PlanSettings {
            limit_gf: self.limit_gf(),
            goal: PrecisionGoal::default(),
        };
        let session_fit = self.session_fit();
        let step = next_force(
            session_fit.measurement.as_ref(),
            session_fit.fit.as_ref(),
            &candidates,
            &plan,
        );
        let words = step_in_words(&step, &plan, &self.forces);
        match step {
            Step::Place { force_gf, .. } => {
                let mut next = self.placed(force_gf, words);
                if let Next::Place(placed) = &mut next {
                    placed.caution = step_caution(&step, self.limit_gf());
                }
                next
            }
            _ => Next::Done(words),
        }
    }

    fn placed(&self, force_gf: f64, why: String) -> Next {
        Next::Place(Placed {
            force_gf,
            how: making(force_gf, &self.forces).and_then(LoadRecipe::in_words),
            why,
            caution: load_caution(force_gf, self.limit_gf()),
        })
    }

    /// The response of what is kept so far, where it can be fitted.
    pub fn fit(&mut self) -> Option<&Fit> {
        self.session_fit().fit.as_ref()
    }

    /// What is known so far, to be drawn.
    pub fn progress(&mut self) -> Progress<'_> {
        let asked_gf = match self.next_step() {
            Next::Place(placed) => Some(placed.force_gf),
            Next::Done(_) => None,
        };
        let samples: Vec<(f64, f64)> = self
            .log
            .rows
            .iter()
            .map(|row| (row.force_gf, row.reading))
            .collect();
        let current = self.current();
        let far = samples.iter().map(|(force, _)| *force).chain(asked_gf);
        let reach = BEYOND * far.fold(SHORTEST_GF, f64::max);
        let tick_gf = tick_step(reach, MOST_TICKS);
        Progress {
            end_gf: (reach / tick_gf).ceil() * tick_gf,
            tick_gf,
            samples,
            curve: &self.session_fit().curve,
            asked_gf,
            current,
        }
    }

    fn session_fit(&mut self) -> &SessionFit {
        let session_fit = match self.session_fit.take() {
            Some(session_fit) => session_fit,
            None => SessionFit::of(self.measurement()),
        };
        self.session_fit.insert(session_fit)
    }

    /// The samples kept so far.
    #[must_use]
    pub fn rows(&self) -> &[LogRow] {
        &self.log.rows
    }

    /// The seating that the next sample belongs to.
    #[must_use]
    pub fn seating(&self) -> u32 {
        self.seating
    }

    /// The file that is written.
    #[must_use]
    pub fn out(&self) -> &Path {
        &self.settings.out
    }

    /// Where readings come from.
    #[must_use]
    pub fn source(&self) -> &Source {
        &self.source
    }

    /// Never more than this is asked for, gf.
    #[must_use]
    pub fn limit_gf(&self) -> f64 {
        self.settings.limit.gf()
    }

    /// Whether a reading is being watched.
    #[must_use]
    pub fn is_watching(&self) -> bool {
        self.placement.is_some()
    }

    /// Whether the source has given all it had.
    #[must_use]
    pub fn has_ended(&self) -> bool {
        self.has_ended
    }

    /// The reading now, 0..1.
    #[must_use]
    pub fn current(&self) -> Option<f64> {
        self.watcher.current()
    }

    /// How far the reading has settled; `None` while none is watched.
    #[must_use]
    pub fn settling(&self) -> Option<Settling> {
        self.placement.as_ref()?;
        let (ticks, rule) = (self.watcher.ticks(), self.watcher.rule());
        Some(Settling {
            part: ticks as f64 / rule.ticks as f64,
            words: if ticks < rule.ticks {
                format!("watching: {ticks} of {}", rule.ticks)
            } else {
                "watching: not still yet".to_owned()
            },
            moves: self.watcher.spread().map(|far| {
                format!(
                    "moves by {:.2} %, may by {:.2} %",
                    100.0 * far,
                    100.0 * rule.within
                )
            }),
        })
    }

    /// What is gone on with, where samples were kept before.
    #[must_use]
    pub fn resume_summary(&self) -> Option<String> {
        let kept = self.log.rows.len();
        (kept > 0).then(|| {
            let inside = if self.resumes_recording {
                ", and with the recording where it was left"
            } else {
                ""
            };
            format!(
                "going on with {}, seating {}{inside}",
                count(kept, "sample"),
                self.seating
            )
        })
    }

    /// What speaks against the bench's own figures.
    #[must_use]
    pub fn notes(&self) -> &[String] {
        &self.notes
    }

    /// What was kept, and where.
    #[must_use]
    pub fn saved_summary(&self) -> String {
        format!(
            "kept {} in {}",
            count(self.log.rows.len(), "sample"),
            self.settings.out.display()
        )
    }

    /// That the pen leans, where it does by more than the limit.
    #[must_use]
    pub fn leaning(&self) -> Option<String> {
        self.leans_by()
            .map(|by| format!("the pen leans by {by:.0}"))
    }

    fn leans_by(&self) -> Option<f64> {
        self.tilt.filter(|tilt| *tilt > self.settings.tilt_limit)
    }

    /// Does an action.
    ///
    /// # Errors
    /// A file that cannot be written; the samples are then as they were.
    pub fn act(&mut self, action: Action) -> Result<Outcome, RecordError> {
        match action {
            Action::TakeReading => {
                if let Next::Done(why) = self.next_step() {
                    return Ok(Outcome::Done(why.clone()));
                }
                if self.source.is_live() {
                    self.source.leave_placement();
                }
                self.begin_watching();
                Ok(Outcome::Watching)
            }
            Action::UseForce(force) => {
                let limit_gf = self.limit_gf();
                if !(0.0..=limit_gf).contains(&force.gf()) {
                    return Ok(Outcome::BeyondLimit { force, limit_gf });
                }
                let Some(force_gf) = made(force.gf(), &self.forces) else {
                    let nearest = nearest_in_words(force, &self.forces);
                    return Ok(Outcome::Unreachable { force, nearest });
                };
                self.stop_watching();
                let exact = Force::from_gf(force_gf);
                self.instead = Some(exact);
                self.next = None;
                Ok(if gf(force_gf) == gf(force.gf()) {
                    Outcome::UsingForce {
                        force,
                        requested: None,
                    }
                } else {
                    Outcome::UsingForce {
                        force: exact,
                        requested: Some(force),
                    }
                })
            }
            Action::NewSeating => {
                self.stop_watching();
                let is_used = self
                    .log
                    .rows
                    .last()
                    .is_some_and(|row| row.seating == self.seating);
                if is_used {
                    self.seating = self.seating.saturating_add(1);
                }
                Ok(Outcome::Seating(self.seating))
            }
            Action::Undo | Action::Retake => {
                self.stop_watching();
                let Some(row) = self.log.rows.pop() else {
                    return Ok(Outcome::NothingToUndo);
                };
                if let Err(failure) = self.save() {
                    self.log.rows.push(row);
                    return Err(failure);
                }
                self.changed();
                // As the bench makes it: what was written is rounded.
                let force_gf = made(row.force_gf, &self.forces).unwrap_or(row.force_gf);
                self.instead = (action == Action::Retake).then(|| Force::from_gf(force_gf));
                Ok(Outcome::Undone(row))
            }
        }
    }

    /// Takes the next reading, waiting for it no longer than a tick; what came of it.
    ///
    /// # Errors
    /// A file that cannot be written; the sample is then not kept.
    pub fn watch(&mut self) -> Result<Vec<Outcome>, RecordError> {
        let item = self.source.wait();
        self.accept(item)
    }

    /// Takes the readings that are there; what came of them.
    ///
    /// # Errors
    /// A file that cannot be written; the sample is then not kept.
    pub fn poll(&mut self) -> Result<Vec<Outcome>, RecordError> {
        let mut outcomes = Vec::new();
        let was_watching = self.is_watching();
        let Some(ready) = self.source.ready() else {
            // A recording is read while it is watched only, and never beyond the placement.
            for _ in 0..AT_ONCE {
                if !self.is_watching() {
                    break;
                }
                outcomes.extend(self.watch()?);
            }
            return Ok(outcomes);
        };
        for item in ready {
            outcomes.extend(self.accept(item)?);
            if was_watching && !self.is_watching() {
                // What else was there belongs to the placement that is over.
                break;
            }
        }
        Ok(outcomes)
    }

    fn accept(&mut self, item: SourceItem) -> Result<Vec<Outcome>, RecordError> {
        let mut outcomes = Vec::new();
        match item {
            SourceItem::Ended => {
                self.has_ended = true;
                if self.placement.take().is_some() {
                    outcomes.push(Outcome::SourceEnded);
                }
            }
            SourceItem::Silence => outcomes.extend(self.check_timeout(true)),
            SourceItem::Tick(tick) => {
                outcomes.extend(self.invalid_reading());
                let settled = self.take(tick, &mut outcomes);
                if let Some(settled) = settled {
                    outcomes.push(Outcome::Kept(self.keep(&settled)?));
                    if self.source.is_standard_input() {
                        self.source.leave_placement();
                    }
                }
            }
        }
        Ok(outcomes)
    }

    /// That something was no reading: once a placement, as one wrong word is all it takes to look.
    fn invalid_reading(&mut self) -> Option<Outcome> {
        let (found, wanted) = self.source.take_invalid()?;
        if self.placement.is_none() || self.has_reported_invalid {
            return None;
        }
        self.has_reported_invalid = true;
        Some(Outcome::InvalidReading {
            found,
            wanted: wanted.in_words(),
        })
    }

    /// A tick; the reading, where a watched one settled with it.
    fn take(&mut self, tick: Tick, outcomes: &mut Vec<Outcome>) -> Option<Settled> {
        self.tilt = tick.tilt;
        if self.placement.is_none() {
            self.watcher.push(tick.value);
            return None;
        }
        // What ends a placement before anything was read belongs to the one before.
        if tick.ends_placement && self.watcher.current().is_some() {
            self.stop_watching();
            outcomes.push(Outcome::NotKept(if self.source.is_live() {
                Unsettled::Lifted
            } else {
                Unsettled::PlacementEnded
            }));
            return None;
        }
        if let Some(by) = self.leans_by().filter(|_| !self.has_reported_lean) {
            self.has_reported_lean = true;
            outcomes.push(Outcome::Leans {
                by,
                limit: self.settings.tilt_limit,
            });
        }
        let settled = self.watcher.push(tick.value);
        if settled.is_none() {
            outcomes.extend(self.check_timeout(tick.value.is_none()));
        }
        settled
    }

    /// Counts a tick of waiting, and gives up after a minute of a live stream.
    fn check_timeout(&mut self, is_unknown: bool) -> Option<Outcome> {
        let placement = self.placement.as_mut()?;
        placement.ticks += 1;
        placement.unknown += usize::from(is_unknown);
        if !self.source.is_live() || placement.ticks < TIMEOUT_TICKS {
            return None;
        }
        let why = if placement.unknown == placement.ticks {
            Unsettled::Silent
        } else {
            Unsettled::TooMuchDrift
        };
        self.stop_watching();
        Some(Outcome::NotKept(why))
    }

    fn begin_watching(&mut self) {
        self.watcher = Watcher::new(self.watcher.rule());
        self.began_at = self.source.recording().map_or(0, Recording::at);
        self.placement = Some(Placement::default());
        self.has_reported_lean = false;
        self.has_reported_invalid = false;
    }

    fn stop_watching(&mut self) {
        self.placement = None;
    }

    fn keep(&mut self, settled: &Settled) -> Result<LogRow, RecordError> {
        self.stop_watching();
        let force_gf = match self.next_step() {
            Next::Place(placed) => placed.force_gf,
            // Watching begins only where a force was asked for.
            Next::Done(why) => return Err(RecordError::NoNextForce { why: why.clone() }),
        };
        let row = LogRow {
            force_gf,
            reading: settled.reading,
            seating: self.seating,
            direction: self.log.direction(force_gf, self.seating),
            settled: Some((settled.scatter, settled.ticks)),
            remarks: Vec::new(),
        };
        // What is left of a recorded placement goes with its sample, so that a kill after it finds the next one.
        if self.source.recording().is_some() {
            self.source.leave_placement();
        }
        self.log.rows.push(row.clone());
        if let Err(failure) = self.save() {
            self.log.rows.pop();
            // Read again, it is the same placement.
            self.source.go_to(self.began_at);
            return Err(failure);
        }
        self.changed();
        Ok(row)
    }

    fn changed(&mut self) {
        self.instead = None;
        self.next = None;
        self.session_fit = None;
    }

    fn save(&mut self) -> Result<(), RecordError> {
        let out = &self.settings.out;
        let now = if out.exists() {
            read_text(out, MOST_BYTES)?
        } else {
            String::new()
        };
        // A file that was taken away is written anew.
        if !now.is_empty() && now != self.written {
            let file = out.display().to_string();
            return Err(RecordError::Changed { file });
        }
        if let Some(recording) = self.source.recording() {
            self.log.position = Some(recording.position());
        }
        let text = self.log.text();
        save_atomically(out, text.as_bytes(), true)?;
        self.written = text;
        Ok(())
    }

    /// The samples as a measurement, where they are one already.
    fn measurement(&self) -> Option<Measurement> {
        let name = self.settings.out.display().to_string();
        let read = parse_measurement(&name, self.written.as_bytes(), &ReadOptions::default());
        read.ok().map(|(measurement, _)| measurement)
    }
}

/// The log to go on with and its text, or a new one; any other file is left alone.
fn opened(out: &Path) -> Result<(Log, String), RecordError> {
    if !out.exists() {
        return Ok((Log::default(), String::new()));
    }
    let file = out.display().to_string();
    let text = read_text(out, MOST_BYTES)?;
    let log = Log::parse(&text).map_err(|line| match line {
        1 => RecordError::NotRecorded { file },
        line => RecordError::Line { file, line },
    })?;
    Ok((log, text))
}
