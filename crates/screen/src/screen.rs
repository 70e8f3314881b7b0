//! What is shown, and what keys do.

use std::collections::VecDeque;

use evenhand_measurement::Force;
use evenhand_recorder::{Heard, Recorder, Said};
use evenhand_workflow::{BEFORE_WEIGHTS, Failure, count};

/// Sentences that are remembered.
const REMEMBERED: usize = 3;
/// Longest force that can be typed.
const LONGEST: usize = 12;

/// A key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Key {
    /// A letter, digit or sign.
    Char(char),
    /// The key that confirms.
    Enter,
    /// The key that takes a letter back.
    Backspace,
    /// The key that leaves.
    Escape,
    /// The keys that end a program.
    Interrupt,
}

/// A sentence.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Sentence {
    pub(crate) text: String,
    pub(crate) is_warning: bool,
}

/// A session with what a person is typing.
pub struct Screen {
    pub(crate) recorder: Recorder,
    pub(crate) sentences: VecDeque<Sentence>,
    /// A force that is being typed.
    pub(crate) typed: Option<String>,
    is_over: bool,
}

impl Screen {
    /// Shows a session.
    #[must_use]
    pub fn new(recorder: Recorder) -> Self {
        let mut screen = Self {
            sentences: VecDeque::new(),
            typed: None,
            is_over: false,
            recorder,
        };
        let kept = screen.recorder.rows().len();
        if kept > 0 {
            screen.tell(
                format!(
                    "going on with {}, seating {}",
                    count(kept, "sample"),
                    screen.recorder.seating()
                ),
                false,
            );
        }
        screen.tell(BEFORE_WEIGHTS.to_owned(), true);
        screen
    }

    /// Whether the person has had enough.
    #[must_use]
    pub fn is_over(&self) -> bool {
        self.is_over
    }

    /// The session.
    #[must_use]
    pub fn into_recorder(self) -> Recorder {
        self.recorder
    }

    /// Does what a key stands for.
    pub fn press(&mut self, key: Key) {
        if key == Key::Interrupt {
            self.is_over = true;
            return;
        }
        if let Some(typed) = self.typed.take() {
            self.press_typing(typed, key);
            return;
        }
        match key {
            Key::Enter => self.say(Said::Hangs),
            Key::Char('r') => self.say(Said::Retake),
            Key::Char('u') => self.say(Said::Undo),
            Key::Char('s') => self.say(Said::NewSeating),
            Key::Char('q') => self.is_over = true,
            Key::Char(first) if first.is_ascii_digit() || first == '.' => {
                self.typed = Some(first.to_string());
            }
            _ => {}
        }
    }

    fn press_typing(&mut self, mut typed: String, key: Key) {
        match key {
            Key::Escape => return,
            Key::Enter => {
                match typed.parse::<Force>() {
                    Ok(force) => self.say(Said::Instead(force)),
                    Err(error) => self.tell(error.to_string(), true),
                }
                return;
            }
            Key::Backspace => {
                typed.pop();
            }
            Key::Char(letter) if typed.chars().count() < LONGEST && !letter.is_control() => {
                typed.push(letter);
            }
            _ => {}
        }
        self.typed = (!typed.is_empty()).then_some(typed);
    }

    fn say(&mut self, said: Said) {
        match self.recorder.say(said) {
            // That it is watched is seen.
            Ok(Heard::Watching) => {}
            Ok(heard) => self.hear(&heard),
            Err(failure) => self.complain(&failure),
        }
    }

    /// Takes the readings that have come.
    pub fn poll(&mut self) {
        match self.recorder.poll() {
            Ok(all) => all.iter().for_each(|heard| self.hear(heard)),
            Err(failure) => self.complain(&failure),
        }
    }

    fn hear(&mut self, heard: &Heard) {
        self.tell(heard.to_string(), heard.is_warning());
    }

    fn complain(&mut self, failure: &Failure) {
        self.tell(
            format!("not kept: {}; {}", failure.message, failure.help),
            true,
        );
    }

    fn tell(&mut self, text: String, is_warning: bool) {
        self.sentences.push_back(Sentence { text, is_warning });
        while self.sentences.len() > REMEMBERED {
            self.sentences.pop_front();
        }
    }
}
