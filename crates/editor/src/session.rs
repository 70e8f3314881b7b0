//! A session: an open file, what is done to it, and what follows from that.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, TryRecvError, channel};

use evenhand_inversion::{BuiltMap, MapInputs, judged, prepare};
use evenhand_measurement::read_measurement;
use evenhand_preview::Theme;
use evenhand_receiver::{Compiled, ExportForm};
use evenhand_text::{Faults, clean_lines, refuse_input, save_atomically};
use evenhand_workflow::{
    Failure, MapFile, Wording, card_picture, exported, from_folder, reopened_with,
};

use crate::bench::{Bench, Opened, demo, of_job, open, read_again};
use crate::document::{Command, Document, FollowUp};
use crate::history::History;
use crate::recovery::{Keeper, Left, discard, left_behind};
use crate::solver::{Answer, Found, Question, Solver, is_quick};

/// What the points do, worked out anew after every change.
pub struct Figures {
    prepared: Arc<MapInputs>,
    /// The map and what it does.
    pub built: BuiltMap,
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

/// A file that is being opened, or the measurement that is read again.
struct Opening {
    answer: Receiver<Result<Opened, Failure>>,
    is_again: bool,
}

/// An open file and what is done to it.
pub struct Session {
    bench: Bench,
    document: Document,
    path: Option<PathBuf>,
    history: History<Document>,
    figures: Figures,
    solver: Solver,
    /// Number of the latest question, and of the first whose answers still show the way.
    latest_question: u64,
    followed_from: u64,
    is_solving: bool,
    /// Whether slow solves are waited for, as tests do.
    waits_for_answers: bool,
    revisions: u64,
    saved: u64,
    kept: u64,
    keeper: Option<Keeper>,
    folder: Option<PathBuf>,
    notice: Option<Notice>,
    /// A save that waits for the map to be solved.
    save_waits: Option<(PathBuf, bool)>,
    /// A file that is being opened.
    opening: Option<Opening>,
    wake: Arc<dyn Fn() + Send + Sync>,
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
        wake: impl Fn() + Send + Sync + 'static,
    ) -> Result<Self, Failure> {
        let wake: Arc<dyn Fn() + Send + Sync> = Arc::new(wake);
        let own = Arc::clone(&wake);
        let figures = figures(&opened.bench, &opened.document, None)?;
        let keeper = folder.as_deref().and_then(Keeper::new);
        Ok(Self {
            bench: opened.bench,
            document: opened.document,
            path: opened.path,
            history: History::default(),
            figures,
            solver: Solver::new(move || own()),
            latest_question: 0,
            followed_from: 0,
            is_solving: false,
            waits_for_answers: false,
            revisions: 0,
            saved: 0,
            kept: 0,
            keeper,
            folder,
            notice: opened.note.map(|text| Notice {
                text,
                is_fault: false,
            }),
            save_waits: None,
            opening: None,
            wake,
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
        let mut help = Wording::Window.remedy(&failure.remedy);
        if !help.is_empty() {
            help.insert_str(0, "; ");
        }
        let others = failure.faults.as_ref().map_or(1, Faults::count) - 1;
        let more = match others {
            0 => String::new(),
            1 => "; and 1 more fault in this file".to_owned(),
            n => format!("; and {n} more faults in this file"),
        };
        self.notice = Some(Notice {
            text: format!("{}{help}{more}", clean_lines(&failure.message)),
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
        let is_of_locks = matches!(command, Command::SetLock { .. });
        let is_of_receiver = matches!(command, Command::SetReceiver(_));
        let Some(follow_up) = self.document.apply(command) else {
            return false;
        };
        let prepared = match follow_up {
            FollowUp::Judge => Ok(Arc::clone(&self.figures.prepared)),
            FollowUp::Solve => prepare(&self.bench.fit, &self.document.request)
                .map_err(Failure::from)
                .map(Arc::new),
        };
        let outcome = prepared.and_then(|prepared| {
            if is_of_receiver {
                // Points of another receiver show no way.
                self.followed_from = self.latest_question + 1;
            }
            let is_new = !Arc::ptr_eq(&prepared, &self.figures.prepared);
            if is_new || (is_of_locks && self.document.waits) {
                self.solve(&prepared)?;
            }
            figures(&self.bench, &self.document, Some(prepared))
        });
        match outcome {
            Ok(figures) => {
                self.history.note(&before);
                self.figures = figures;
                self.revise();
                if self.notice.as_ref().is_some_and(|notice| notice.is_fault) {
                    self.hush();
                }
                true
            }
            Err(failure) => {
                self.document = before;
                self.give_up();
                if self.document.is_stale {
                    let prepared = Arc::clone(&self.figures.prepared);
                    self.ask(&prepared);
                }
                self.complain(&failure);
                false
            }
        }
    }

    /// Wants no answer to what was asked so far.
    fn give_up(&mut self) {
        self.latest_question += 1;
        self.followed_from = self.latest_question;
        self.is_solving = false;
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
        self.give_up();
        if let Ok(prepared) = prepare(&self.bench.fit, &self.document.request).map(Arc::new) {
            if self.document.is_stale {
                self.ask(&prepared);
            }
            if let Ok(figures) = figures(&self.bench, &self.document, Some(prepared)) {
                self.figures = figures;
            }
        }
        self.keep();
        true
    }

    fn solve(&mut self, prepared: &Arc<MapInputs>) -> Result<(), Failure> {
        if is_quick(&self.document.profile) {
            self.give_up();
            let found = self.question(prepared).answered()?;
            self.take(found);
            return Ok(());
        }
        self.ask(prepared);
        if self.waits_for_answers {
            while let Some(answer) = self.solver.wait() {
                if answer.number == self.latest_question {
                    self.is_solving = false;
                    self.take(answer.found?);
                    break;
                }
            }
        }
        Ok(())
    }

    fn question(&self, prepared: &Arc<MapInputs>) -> Question {
        Question {
            number: self.latest_question,
            profile: self.document.profile.clone(),
            prepared: Arc::clone(prepared),
            points: self.document.points.clone(),
            exponent: self.document.exponent,
            locked: self.document.locks().to_vec(),
        }
    }

    fn ask(&mut self, prepared: &Arc<MapInputs>) {
        self.latest_question += 1;
        self.is_solving = true;
        self.solver.ask(self.question(prepared));
    }

    fn take(&mut self, found: Found) {
        self.document.optimum = found.optimum;
        self.document.is_stale = false;
        if self.document.waits {
            self.document.take(found.points, found.exponent);
            self.document.waits = false;
        }
    }

    /// Takes what was solved or opened in the background, if anything was; true where something changed.
    pub fn poll(&mut self) -> bool {
        let opened = self.poll_opening();
        let Some(Answer { number, found }) = self.solver.answer() else {
            return opened;
        };
        if number < self.followed_from {
            return opened;
        }
        if number < self.latest_question {
            // An answer to an older request shows the way while the latest is solved.
            if let (Ok(found), true) = (found, self.document.waits) {
                self.document.take(found.points, found.exponent);
                self.judge_again();
            }
            return true;
        }
        self.is_solving = false;
        match found {
            Ok(found) => self.take(found),
            Err(failure) => {
                self.save_waits = None;
                self.complain(&failure);
            }
        }
        self.judge_again();
        self.revise();
        self.keep();
        if !self.document.is_stale
            && let Some((out, replace)) = self.save_waits.take()
            && let Err(failure) = self.save(&out, replace)
        {
            self.complain(&failure);
        }
        true
    }

    fn judge_again(&mut self) {
        let prepared = Arc::clone(&self.figures.prepared);
        match figures(&self.bench, &self.document, Some(prepared)) {
            Ok(figures) => self.figures = figures,
            Err(failure) => self.complain(&failure),
        }
    }

    fn poll_opening(&mut self) -> bool {
        let Some(opening) = &self.opening else {
            return false;
        };
        let is_again = opening.is_again;
        let opened = match opening.answer.try_recv() {
            Ok(opened) => opened,
            Err(TryRecvError::Empty) => return false,
            Err(TryRecvError::Disconnected) => Err(Failure::cannot(
                "the file could not be opened",
                "try again; if it stays so, please report it with the file",
            )),
        };
        self.opening = None;
        let done = opened.and_then(|opened| {
            if is_again {
                self.measured_again(opened)
            } else {
                self.replace(opened)
            }
        });
        if let Err(failure) = done {
            if is_again {
                // Asked about once; the next change is asked about anew.
                self.bench.mark_as_read();
            }
            self.complain(&failure);
        }
        true
    }

    fn measured_again(&mut self, opened: Opened) -> Result<(), Failure> {
        self.end_gesture();
        let before = self.bench.read.measurement.samples.len();
        let mut document = opened.document;
        document.keep_work_of(&self.document);
        let figures = figures(&opened.bench, &document, None)?;
        self.begin_with(opened.bench, document, figures);
        self.keep();
        let now = self.bench.read.measurement.samples.len();
        self.say(format!("measured again: {now} samples, {before} before"));
        Ok(())
    }

    /// The map file as it would be saved, its measurement named as seen from `out`.
    ///
    /// # Errors
    /// A measurement whose name a map file cannot hold.
    pub fn map_file(&self, out: &Path) -> Result<MapFile, Failure> {
        let file = if self.bench.is_demo {
            demo_name()
        } else {
            from_folder(&self.bench.read.path, out)?
        };
        Ok(self.map_of(&file))
    }

    /// The map with its measurement named as it is.
    fn map_of(&self, file: &str) -> MapFile {
        self.bench
            .job(&self.document, self.figures.built.clone())
            .document(file)
    }

    /// Saves the map. Whatever goes wrong, the work stays open and kept.
    ///
    /// # Errors
    /// A file that exists and is not this map's own, where `replace` does not say so, or cannot be written.
    pub fn save(&mut self, out: &Path, replace: bool) -> Result<(), Failure> {
        self.end_gesture();
        if self.document.is_stale {
            self.save_waits = Some((out.to_path_buf(), replace));
            self.say("the map is being solved; it is saved when that has ended");
            return Ok(());
        }
        if self.bench.is_demo {
            self.save_demo(out)?;
        }
        refuse_input(out, &[&self.bench.read.path])?;
        let text = self.map_file(out)?.to_toml()?;
        let is_own = self.path.as_deref() == Some(out);
        save_atomically(out, text.as_bytes(), replace || is_own)?;
        self.path = Some(out.to_path_buf());
        self.saved = self.document.revision;
        if let Some(keeper) = &self.keeper {
            keeper.forget();
        }
        self.say(format!("saved as {}", out.display()));
        Ok(())
    }

    /// The files that the map comes from and is saved in, which nothing else may replace.
    #[must_use]
    pub fn inputs(&self) -> Vec<&Path> {
        let mut inputs = vec![self.bench.read.path.as_path()];
        inputs.extend(self.path.as_deref());
        inputs
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
        let demo = crate::bench::DEMO.as_bytes();
        Ok(save_atomically(&beside, demo, false)?)
    }

    /// The map in a form that is read elsewhere.
    ///
    /// # Errors
    /// A map that the form cannot hold.
    pub fn export(&self, form: ExportForm) -> Result<String, Failure> {
        exported(&self.bench.name(), &self.solved()?, form)
    }

    /// The map; points that wait to be solved are handed to nobody.
    fn solved(&self) -> Result<MapFile, Failure> {
        if self.document.is_stale {
            return Err(Failure::cannot(
                "the map is being solved",
                "wait until that has ended",
            ));
        }
        Ok(self.map_of(&self.bench.read.source.name))
    }

    /// The card to type the points from, as an SVG.
    ///
    /// # Errors
    /// More points than a card holds.
    pub fn card(&self, theme: Theme) -> Result<String, Failure> {
        card_picture(&self.bench.name(), &self.solved()?, theme)
    }

    /// Opens another file in place of this one; a new history begins. What was not saved is kept for
    /// recovery.
    ///
    /// # Errors
    /// A file that cannot be opened; the one that is open stays.
    pub fn open(&mut self, path: &Path) -> Result<(), Failure> {
        self.replace(open(path)?)
    }

    /// The same in the background; the file is there once [`Session::poll`] took it.
    pub fn begin_opening(&mut self, path: &Path) {
        let path = path.to_path_buf();
        self.begin(false, move || open(&path));
    }

    /// Reads the measurement again in the background, as when another force was placed; request, receiver,
    /// locks and points that were moved stay.
    pub fn begin_reading_again(&mut self) {
        let (bench, document) = (self.bench.clone(), self.document.clone());
        self.begin(true, move || read_again(&bench, &document));
    }

    fn begin(
        &mut self,
        is_again: bool,
        work: impl FnOnce() -> Result<Opened, Failure> + Send + 'static,
    ) {
        let (sender, answer) = channel();
        let wake = Arc::clone(&self.wake);
        let begun = std::thread::Builder::new()
            .name("opening".to_owned())
            .spawn(move || {
                // A window that is gone wants nothing.
                let _ = sender.send(work());
                wake();
            });
        if begun.is_ok() {
            self.opening = Some(Opening { answer, is_again });
        }
    }

    /// Whether a file is being opened.
    #[must_use]
    pub fn is_opening(&self) -> bool {
        self.opening.is_some()
    }

    fn replace(&mut self, opened: Opened) -> Result<(), Failure> {
        let figures = figures(&opened.bench, &opened.document, None)?;
        self.end_gesture();
        let was_changed = self.is_changed();
        if was_changed {
            let Some(keeper) = self.keeper.take() else {
                return Err(Failure::cannot(
                    "the map that is open is not saved and could not be kept",
                    "save it first",
                ));
            };
            // Left for recovery, as if the session had been killed.
            keeper.leave();
            self.keeper = self.folder.as_deref().and_then(Keeper::new);
        }
        self.begin_with(opened.bench, opened.document, figures);
        self.path = opened.path;
        self.save_waits = None;
        self.saved = self.revisions;
        self.kept = self.revisions;
        let kept = was_changed.then_some("the map that was open is kept, and offered for recovery");
        let sentences: Vec<&str> = kept.into_iter().chain(opened.note.as_deref()).collect();
        self.hush();
        if !sentences.is_empty() {
            self.say(sentences.join("; "));
        }
        Ok(())
    }

    /// Takes another measurement and its map. Steps back would lead to maps for another response.
    fn begin_with(&mut self, bench: Bench, document: Document, figures: Figures) {
        self.bench = bench;
        self.document = document;
        self.figures = figures;
        self.history = History::default();
        self.give_up();
        self.revise();
    }

    /// Tells the document from all it was before.
    fn revise(&mut self) {
        self.revisions += 1;
        self.document.revision = self.revisions;
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
            // What was kept has a line of its own.
            Ok(opened) => Opened {
                note: None,
                ..opened
            },
            Err(failure) => {
                let demo = demo()?;
                if saved.source.sha256 != demo.bench.read.source.sha256 {
                    return Err(failure);
                }
                let job = reopened_with(&left.state, &saved, demo.bench.read_anew())?;
                let mut opened = of_job(job, None);
                opened.bench.is_demo = true;
                opened
            }
        };
        self.replace(opened)?;
        self.path = left.file.clone();
        self.saved = 0;
        self.kept = 0;
        if self.keep() {
            discard(left);
        }
        self.say("recovered; save it to keep it");
        Ok(())
    }

    /// Keeps the state, if it changed since it was kept or saved; false where it could not be.
    fn keep(&mut self) -> bool {
        let revision = self.document.revision;
        if revision == self.kept {
            return true;
        }
        self.kept = revision;
        let Some(keeper) = &self.keeper else {
            return false;
        };
        if !self.is_changed() {
            keeper.forget();
            return true;
        }
        // Whatever folder the state is recovered from, the whole path finds the measurement.
        let path = &self.bench.read.path;
        let kept = if self.bench.is_demo {
            Ok(self.map_of(&demo_name()))
        } else {
            let whole = path.canonicalize().unwrap_or_else(|_| path.clone());
            let name = whole.into_os_string().into_string();
            name.map(|name| self.map_of(&name))
                .map_err(|_| "the measurement's name is not Unicode text".to_owned())
        };
        let kept = kept
            .and_then(|file| file.to_toml().map_err(|failure| failure.message.clone()))
            .and_then(|text| keeper.keep(&text, self.path.as_deref()));
        if let Err(reason) = kept {
            self.notice = Some(Notice {
                text: format!("the state could not be kept for recovery: {reason}; save often"),
                is_fault: true,
            });
            return false;
        }
        true
    }
}

/// The demo's measurement beside its map.
fn demo_name() -> String {
    "dunlin-01.csv".to_owned()
}

fn figures(
    bench: &Bench,
    document: &Document,
    prepared: Option<Arc<MapInputs>>,
) -> Result<Figures, Failure> {
    let prepared = match prepared {
        Some(prepared) => prepared,
        None => Arc::new(prepare(&bench.fit, &document.request)?),
    };
    let compiled = |points, exponent| {
        let bound = document.optimum.lower_bound;
        let profile = &document.profile;
        Compiled::of_points(profile, &prepared.ideal, points, exponent, bound).map_err(|error| {
            Failure::cannot(
                format!("the points make no map: {error}"),
                "this is a fault of evenhand; please report it with the map",
            )
        })
    };
    let own = compiled(document.points.clone(), document.exponent)?;
    let (fit, request) = (&bench.fit, &document.request);
    let built = judged(fit, request, &prepared, own, bench.levels());
    let optimum_error = if document.is_stale {
        None
    } else if document.is_tuned() {
        let optimum = &document.optimum;
        compiled(optimum.control_points.clone(), optimum.exponent)
            .ok()
            .map(|best| prepared.error_of(&document.request, &best.curve))
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
