//! A session: an open file, what is done to it, and what follows from that.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use evenhand_measurement::{read_measurement, save_atomically};
use evenhand_preview::Theme;
use evenhand_receiver::{Compiled, ExportForm};
use evenhand_workflow::{
    Built, Failure, MapFile, Prepared, card_picture, exported, from_folder, judged, prepare,
    reopened_with, save_failure,
};

use crate::bench::{Bench, Opened, demo, of_job, open};
use crate::document::{Command, Document, Then};
use crate::history::History;
use crate::recovery::{Keeper, Left, discard, left_behind};
use crate::solver::{Answer, Found, Question, Solver, is_quick};

/// What the points do, told anew after every change.
pub struct Figures {
    prepared: Arc<Prepared>,
    /// The map and what it does.
    pub built: Built,
    /// Worst error of the best map there is, from light-at to full-at; `None` while it is solved.
    pub optimum_error: Option<f64>,
}

/// A sentence below the window's bar.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notice {
    /// What to say.
    pub text: String,
    /// Whether something went wrong.
    pub is_fault: bool,
}

/// An open file and what is done to it.
pub struct Session {
    bench: Bench,
    document: Document,
    path: Option<PathBuf>,
    history: History<Document>,
    figures: Figures,
    solver: Solver,
    /// Number of the latest question.
    asked: u64,
    is_solving: bool,
    /// Whether slow solves are waited for, as tests do.
    waits_for_answers: bool,
    revisions: u64,
    saved: u64,
    kept: u64,
    keeper: Option<Keeper>,
    folder: Option<PathBuf>,
    notice: Option<Notice>,
}

impl Session {
    /// A session with an opened file. `folder` is where its state is kept between saves; `wake` is called
    /// when a slow solve has ended.
    ///
    /// # Errors
    /// A map that cannot be judged.
    pub fn new(
        opened: Opened,
        folder: Option<PathBuf>,
        wake: impl Fn() + Send + 'static,
    ) -> Result<Self, Failure> {
        let Opened {
            bench,
            document,
            path,
        } = opened;
        let figures = figures(&bench, &document, None)?;
        let keeper = folder.as_deref().and_then(Keeper::new);
        Ok(Self {
            bench,
            document,
            path,
            history: History::default(),
            figures,
            solver: Solver::new(wake),
            asked: 0,
            is_solving: false,
            waits_for_answers: false,
            revisions: 0,
            saved: 0,
            kept: 0,
            keeper,
            folder,
            notice: None,
        })
    }

    /// The same, waiting for slow solves.
    #[must_use]
    pub fn waiting_for_answers(mut self) -> Self {
        self.waits_for_answers = true;
        self
    }

    /// What the map is made from.
    #[must_use]
    pub fn bench(&self) -> &Bench {
        &self.bench
    }

    /// The map.
    #[must_use]
    pub fn document(&self) -> &Document {
        &self.document
    }

    /// What the map does.
    #[must_use]
    pub fn figures(&self) -> &Figures {
        &self.figures
    }

    /// The map's own file, where it has one.
    #[must_use]
    pub fn path(&self) -> Option<&Path> {
        self.path.as_deref()
    }

    /// Whether the best map is being solved.
    #[must_use]
    pub fn is_solving(&self) -> bool {
        self.is_solving
    }

    /// Whether there is something to save.
    #[must_use]
    pub fn is_changed(&self) -> bool {
        self.document.revision != self.saved
    }

    /// Whether there is a step to undo.
    #[must_use]
    pub fn can_undo(&self) -> bool {
        self.history.can_undo()
    }

    /// Whether there is a step to redo.
    #[must_use]
    pub fn can_redo(&self) -> bool {
        self.history.can_redo()
    }

    /// The latest sentence to say, if any.
    #[must_use]
    pub fn notice(&self) -> Option<&Notice> {
        self.notice.as_ref()
    }

    /// Says something.
    pub fn say(&mut self, text: impl Into<String>) {
        self.notice = Some(Notice {
            text: text.into(),
            is_fault: false,
        });
    }

    /// Says what went wrong.
    pub fn complain(&mut self, failure: &Failure) {
        let help = if failure.help.is_empty() {
            String::new()
        } else {
            format!("; {}", failure.help)
        };
        self.notice = Some(Notice {
            text: format!("{}{help}", failure.message),
            is_fault: true,
        });
    }

    /// Says nothing any more.
    pub fn hush(&mut self) {
        self.notice = None;
    }

    /// Does a command as part of the gesture that is going on; false where it changed nothing.
    pub fn apply(&mut self, command: Command) -> bool {
        let before = self.document.clone();
        match self.document.apply(command) {
            Then::Nothing => false,
            Then::Judge => {
                self.document.waits = false;
                let prepared = Arc::clone(&self.figures.prepared);
                self.changed(before, Ok(prepared))
            }
            Then::Solve => {
                let prepared = prepare(&self.bench.fit, &self.document.wish).map(Arc::new);
                self.changed(before, prepared)
            }
        }
    }

    /// Does a command as a gesture of its own.
    pub fn perform(&mut self, command: Command) -> bool {
        self.end_gesture();
        let changed = self.apply(command);
        self.end_gesture();
        changed
    }

    /// Ends a gesture: all of it is undone as one step.
    pub fn end_gesture(&mut self) {
        self.history.end();
        self.keep();
    }

    /// Takes the last gesture back.
    pub fn undo(&mut self) -> bool {
        let found = self.history.undo(&self.document);
        self.step(found)
    }

    /// Does it again.
    pub fn redo(&mut self) -> bool {
        let found = self.history.redo(&self.document);
        self.step(found)
    }

    fn step(&mut self, found: Option<Document>) -> bool {
        let Some(document) = found else {
            return false;
        };
        self.document = document;
        // Answers to what was asked before are not wanted.
        self.asked += 1;
        self.is_solving = false;
        if let Ok(prepared) = prepare(&self.bench.fit, &self.document.wish).map(Arc::new) {
            if self.document.waits {
                self.ask(&prepared);
            }
            if let Ok(figures) = figures(&self.bench, &self.document, Some(prepared)) {
                self.figures = figures;
            }
        }
        self.keep();
        true
    }

    /// Follows a change of the document up, or takes it back where it cannot be.
    fn changed(&mut self, before: Document, prepared: Result<Arc<Prepared>, Failure>) -> bool {
        let outcome = prepared.and_then(|prepared| {
            let wants_solving = !Arc::ptr_eq(&prepared, &self.figures.prepared);
            if wants_solving {
                self.solve(&prepared)?;
            }
            figures(&self.bench, &self.document, Some(prepared))
        });
        match outcome {
            Ok(figures) => {
                self.history.note(&before);
                self.figures = figures;
                self.revisions += 1;
                self.document.revision = self.revisions;
                if self.is_solving {
                    self.figures.optimum_error = None;
                }
                true
            }
            Err(failure) => {
                self.document = before;
                self.complain(&failure);
                false
            }
        }
    }

    fn solve(&mut self, prepared: &Arc<Prepared>) -> Result<(), Failure> {
        if is_quick(&self.document.profile) {
            self.asked += 1;
            self.is_solving = false;
            let found = self.question(prepared).answered()?;
            self.document.waits = true;
            self.take(found);
            return Ok(());
        }
        self.document.waits = true;
        self.ask(prepared);
        if self.waits_for_answers
            && let Some(answer) = self.solver.wait()
        {
            self.is_solving = false;
            self.take(answer.found?);
        }
        Ok(())
    }

    fn question(&self, prepared: &Arc<Prepared>) -> Question {
        Question {
            number: self.asked,
            profile: self.document.profile.clone(),
            prepared: Arc::clone(prepared),
            points: self.document.points.clone(),
            locked: self.document.locks(),
        }
    }

    fn ask(&mut self, prepared: &Arc<Prepared>) {
        self.asked += 1;
        self.is_solving = true;
        self.solver.ask(self.question(prepared));
    }

    fn take(&mut self, found: Found) {
        self.document.optimum = found.optimum;
        if self.document.waits {
            self.document.take(found.points, found.exponent);
            self.document.waits = false;
        }
    }

    /// Takes what was solved in the background, if anything was; true where something changed.
    pub fn poll(&mut self) -> bool {
        let Some(Answer { number, found }) = self.solver.answer() else {
            return false;
        };
        if number != self.asked {
            return false;
        }
        self.is_solving = false;
        match found {
            Ok(found) => self.take(found),
            Err(failure) => self.complain(&failure),
        }
        let prepared = Arc::clone(&self.figures.prepared);
        match figures(&self.bench, &self.document, Some(prepared)) {
            Ok(figures) => self.figures = figures,
            Err(failure) => self.complain(&failure),
        }
        self.revisions += 1;
        self.document.revision = self.revisions;
        self.keep();
        true
    }

    /// The map file as it would be saved, its measurement named as seen from `out`.
    #[must_use]
    pub fn map_file(&self, out: &Path) -> MapFile {
        let source = Path::new(&self.bench.read.source.name);
        let file = if self.bench.is_demo {
            demo_name()
        } else {
            from_folder(source, out)
        };
        self.bench
            .job(&self.document, self.figures.built.clone())
            .document(&file)
    }

    /// Saves the map. Whatever goes wrong, the work stays open and kept.
    ///
    /// # Errors
    /// A file that exists and is not this map's own, where `replace` does not say so, or cannot be written.
    pub fn save(&mut self, out: &Path, replace: bool) -> Result<(), Failure> {
        self.end_gesture();
        if self.bench.is_demo {
            self.save_demo(out)?;
        }
        let text = self.map_file(out).to_toml()?;
        let is_own = self.path.as_deref() == Some(out);
        save_atomically(out, text.as_bytes(), replace || is_own)
            .map_err(|error| save_failure(&error))?;
        self.path = Some(out.to_path_buf());
        self.saved = self.document.revision;
        if let Some(keeper) = &self.keeper {
            keeper.forget();
        }
        self.say(format!("saved as {}", out.display()));
        Ok(())
    }

    /// A map of the demo needs its measurement beside it to be opened again.
    fn save_demo(&self, out: &Path) -> Result<(), Failure> {
        let beside = out.with_file_name(demo_name());
        let options = &self.bench.options;
        let is_there = read_measurement(&beside, options)
            .is_ok_and(|(_, source)| source.sha256 == self.bench.read.source.sha256);
        if is_there {
            return Ok(());
        }
        save_atomically(&beside, crate::bench::DEMO.as_bytes(), false)
            .map_err(|error| save_failure(&error))
    }

    /// The map in a form that is read elsewhere.
    ///
    /// # Errors
    /// A map that the form cannot hold.
    pub fn export(&self, form: ExportForm) -> Result<String, Failure> {
        exported(
            &self.bench.name(),
            &self.map_file(Path::new("map.toml")),
            form,
        )
    }

    /// The card to type the points from, as an SVG.
    ///
    /// # Errors
    /// More points than a card holds.
    pub fn card(&self, theme: Theme) -> Result<String, Failure> {
        card_picture(
            &self.bench.name(),
            &self.map_file(Path::new("map.toml")),
            theme,
        )
    }

    /// Opens another file in place of this one; a new history begins. What was not saved is kept for
    /// recovery.
    ///
    /// # Errors
    /// A file that cannot be opened; the one that is open stays.
    pub fn open(&mut self, path: &Path) -> Result<(), Failure> {
        let opened = open(path)?;
        self.replace(opened)
    }

    /// Opens the demo in place of what is open.
    ///
    /// # Errors
    /// None but for faults of the program.
    pub fn open_demo(&mut self) -> Result<(), Failure> {
        self.replace(demo()?)
    }

    fn replace(&mut self, opened: Opened) -> Result<(), Failure> {
        let figures = figures(&opened.bench, &opened.document, None)?;
        self.end_gesture();
        if self.is_changed()
            && let Some(keeper) = self.keeper.take()
        {
            // Left for recovery, as if the session had been killed.
            keeper.leave();
            self.keeper = self.folder.as_deref().and_then(Keeper::new);
        }
        self.bench = opened.bench;
        self.document = opened.document;
        self.path = opened.path;
        self.figures = figures;
        self.history = History::default();
        self.asked += 1;
        self.is_solving = false;
        self.revisions += 1;
        self.document.revision = self.revisions;
        self.saved = self.revisions;
        self.kept = self.revisions;
        self.hush();
        Ok(())
    }

    /// Work that sessions left behind which were killed.
    #[must_use]
    pub fn left_behind(&self) -> Vec<Left> {
        self.folder.as_deref().map_or_else(Vec::new, left_behind)
    }

    /// Opens what a killed session left behind, as changed and not yet saved.
    ///
    /// # Errors
    /// A state that cannot be opened; it stays where it is.
    pub fn recover(&mut self, left: &Left) -> Result<(), Failure> {
        let (saved, _) = MapFile::read(&left.state)?;
        let opened = match open(&left.state) {
            Ok(opened) => opened,
            Err(failure) => {
                let demo = demo()?;
                if saved.source.sha256 != demo.bench.read.source.sha256 {
                    return Err(failure);
                }
                let read = evenhand_workflow::Read {
                    measurement: demo.bench.read.measurement.clone(),
                    source: demo.bench.read.source.clone(),
                };
                let mut opened = of_job(reopened_with(&left.state, &saved, read)?, None);
                opened.bench.is_demo = true;
                opened
            }
        };
        self.replace(opened)?;
        self.path = left.of.clone();
        self.saved = 0;
        self.kept = 0;
        self.keep();
        discard(left);
        self.say("recovered; save it to keep it");
        Ok(())
    }

    /// Keeps the state, if it changed since it was kept or saved.
    fn keep(&mut self) {
        let revision = self.document.revision;
        if revision == self.kept {
            return;
        }
        self.kept = revision;
        let Some(keeper) = &self.keeper else { return };
        if !self.is_changed() {
            keeper.forget();
            return;
        }
        let mut file = self.map_file(Path::new("."));
        let source = Path::new(&self.bench.read.source.name);
        if let Ok(absolute) = source.canonicalize() {
            file.source.file = absolute.display().to_string();
        }
        let kept = file
            .to_toml()
            .map_err(|failure| failure.message.clone())
            .and_then(|text| keeper.keep(&text, self.path.as_deref()));
        if let Err(reason) = kept {
            self.notice = Some(Notice {
                text: format!("the state could not be kept for recovery: {reason}; save often"),
                is_fault: true,
            });
        }
    }
}

/// The demo's measurement beside its map.
fn demo_name() -> String {
    "dunlin-01.csv".to_owned()
}

fn figures(
    bench: &Bench,
    document: &Document,
    prepared: Option<Arc<Prepared>>,
) -> Result<Figures, Failure> {
    let prepared = match prepared {
        Some(prepared) => prepared,
        None => Arc::new(prepare(&bench.fit, &document.wish)?),
    };
    let compiled = |points, exponent| {
        let bound = document.optimum.lower_bound;
        Compiled::of_points(&document.profile, &prepared.ideal, points, exponent, bound).map_err(
            |error| {
                Failure::cannot(
                    format!("the points make no map: {error}"),
                    "this is a fault of evenhand; please report it with the map",
                )
            },
        )
    };
    let judge = |compiled| {
        judged(
            &bench.fit,
            &document.wish,
            &prepared,
            compiled,
            bench.levels(),
        )
    };
    let built = judge(compiled(document.points.clone(), document.exponent)?);
    let optimum_error = if document.waits {
        None
    } else if document.is_tuned() {
        let optimum = &document.optimum;
        compiled(optimum.control_points.clone(), optimum.exponent)
            .ok()
            .map(|best| prepared.error_of(&document.wish, &best.curve))
    } else {
        Some(built.achieved.max_error)
    };
    Ok(Figures {
        prepared,
        built,
        optimum_error,
    })
}

impl Figures {
    /// How much worse the points are than the best map, fraction of full scale; `None` while it is solved.
    #[must_use]
    pub fn beyond_optimum(&self) -> Option<f64> {
        self.optimum_error
            .map(|best| self.built.achieved.max_error - best)
    }

    /// Wanted output at a force as the hand means it, gf.
    #[must_use]
    pub fn wanted(&self, force_gf: f64, axial_part: f64) -> f64 {
        self.prepared.wanted(force_gf * axial_part)
    }
}
