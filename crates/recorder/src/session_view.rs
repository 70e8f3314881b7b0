//! A session with a person beside it.

use std::collections::VecDeque;

use evenhand_bench::BEFORE_WEIGHTS;
use evenhand_text::Remedy;

use crate::action::Action;
use crate::error::RecordError;
use crate::outcome::Outcome;
use crate::recorder::Recorder;

/// Sentences that are remembered.
const REMEMBERED: usize = 3;

/// A sentence that was shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sentence {
    /// The words.
    pub text: String,
    /// Whether it needs attention.
    pub is_warning: bool,
}

/// A session whose latest sentences are remembered, for views that stay on a screen. A file that cannot be
/// written is shown as well, and the session goes on: room can be made on the disk.
pub struct SessionView {
    recorder: Recorder,
    sentences: VecDeque<Sentence>,
    in_words: fn(&Remedy) -> String,
}

impl SessionView {
    /// Opens the view of a session; the cautions come first. `in_words` words what to do about a failure.
    #[must_use]
    pub fn new(recorder: Recorder, in_words: fn(&Remedy) -> String) -> Self {
        let mut view = Self {
            recorder,
            sentences: VecDeque::new(),
            in_words,
        };
        if let Some(text) = view.recorder.resume_summary() {
            view.show(text, false);
        }
        for note in view.recorder.notes().to_vec() {
            view.show(note, true);
        }
        view.show(BEFORE_WEIGHTS.to_owned(), true);
        view
    }

    /// The session.
    #[must_use]
    pub fn recorder(&self) -> &Recorder {
        &self.recorder
    }

    /// The session, to ask it for what is worked out when it is asked for.
    pub fn recorder_mut(&mut self) -> &mut Recorder {
        &mut self.recorder
    }

    /// The session alone.
    #[must_use]
    pub fn into_recorder(self) -> Recorder {
        self.recorder
    }

    /// The latest sentences, the latest first.
    pub fn sentences(&self) -> impl Iterator<Item = &Sentence> {
        self.sentences.iter().rev()
    }

    /// Does an action.
    pub fn act(&mut self, action: Action) {
        match self.recorder.act(action) {
            // That it is watched is seen.
            Ok(Outcome::Watching) => {}
            Ok(outcome) => self.show_outcome(&outcome),
            Err(error) => self.show_error(&error),
        }
    }

    /// Takes the readings that have come.
    pub fn poll(&mut self) {
        match self.recorder.poll() {
            Ok(all) => all.iter().for_each(|outcome| self.show_outcome(outcome)),
            Err(error) => self.show_error(&error),
        }
    }

    /// Remembers a sentence.
    pub fn show(&mut self, text: String, is_warning: bool) {
        self.sentences.push_back(Sentence { text, is_warning });
        while self.sentences.len() > REMEMBERED {
            self.sentences.pop_front();
        }
    }

    fn show_outcome(&mut self, outcome: &Outcome) {
        self.show(outcome.to_string(), outcome.is_warning());
    }

    fn show_error(&mut self, error: &RecordError) {
        let remedy = (self.in_words)(&error.remedy());
        self.show(format!("not kept: {error}; {remedy}"), true);
    }
}
