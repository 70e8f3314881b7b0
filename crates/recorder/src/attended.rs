//! A session with a person beside it.

use std::collections::VecDeque;

use evenhand_bench::BEFORE_WEIGHTS;
use evenhand_text::Remedy;

use crate::error::RecordError;
use crate::heard::Heard;
use crate::recorder::Recorder;
use crate::said::Said;

/// Sentences that are remembered.
const REMEMBERED: usize = 3;

/// Something that was told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sentence {
    /// The words.
    pub text: String,
    /// Whether it needs attention.
    pub is_warning: bool,
}

/// A session whose latest sentences are remembered, for views that stay on a screen. A file that cannot be
/// written is told as well, and the session goes on: room can be made on the disk.
pub struct Attended {
    recorder: Recorder,
    sentences: VecDeque<Sentence>,
    in_words: fn(&Remedy) -> String,
}

impl Attended {
    /// Attends a session; the cautions come first. `in_words` words what to do about a failure.
    #[must_use]
    pub fn new(recorder: Recorder, in_words: fn(&Remedy) -> String) -> Self {
        let mut attended = Self {
            recorder,
            sentences: VecDeque::new(),
            in_words,
        };
        if let Some(text) = attended.recorder.going_on() {
            attended.tell(text, false);
        }
        for note in attended.recorder.notes().to_vec() {
            attended.tell(note, true);
        }
        attended.tell(BEFORE_WEIGHTS.to_owned(), true);
        attended
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

    /// Does what a person says.
    pub fn say(&mut self, said: Said) {
        match self.recorder.say(said) {
            // That it is watched is seen.
            Ok(Heard::Watching) => {}
            Ok(heard) => self.hear(&heard),
            Err(error) => self.show_error(&error),
        }
    }

    /// Takes the readings that have come.
    pub fn poll(&mut self) {
        match self.recorder.poll() {
            Ok(all) => all.iter().for_each(|heard| self.hear(heard)),
            Err(error) => self.show_error(&error),
        }
    }

    /// Remembers a sentence.
    pub fn tell(&mut self, text: String, is_warning: bool) {
        self.sentences.push_back(Sentence { text, is_warning });
        while self.sentences.len() > REMEMBERED {
            self.sentences.pop_front();
        }
    }

    fn hear(&mut self, heard: &Heard) {
        self.tell(heard.to_string(), heard.is_warning());
    }

    fn show_error(&mut self, error: &RecordError) {
        let remedy = (self.in_words)(&error.remedy());
        self.tell(format!("not kept: {error}; {remedy}"), true);
    }
}
