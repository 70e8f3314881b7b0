//! What is shown, and what keys do.

use evenhand_measurement::Force;
use evenhand_recorder::{Action, Recorder, SessionView};
use evenhand_workflow::Wording;

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

/// A session with what a person is typing.
pub struct Screen {
    pub(crate) session: SessionView,
    /// A force that is being typed.
    pub(crate) typed: Option<String>,
    is_over: bool,
}

impl Screen {
    /// Shows a session.
    #[must_use]
    pub fn new(recorder: Recorder) -> Self {
        Self {
            session: SessionView::new(recorder, |remedy| Wording::CommandLine.remedy(remedy)),
            typed: None,
            is_over: false,
        }
    }

    /// Whether the person has had enough.
    #[must_use]
    pub fn is_over(&self) -> bool {
        self.is_over
    }

    /// The session.
    #[must_use]
    pub fn into_recorder(self) -> Recorder {
        self.session.into_recorder()
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
            Key::Enter => self.session.act(Action::TakeReading),
            Key::Char('r') => self.session.act(Action::Retake),
            Key::Char('u') => self.session.act(Action::Undo),
            Key::Char('s') => self.session.act(Action::NewSeating),
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
                    Ok(force) => self.session.act(Action::UseForce(force)),
                    Err(error) => self.session.show(error.to_string(), true),
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

    /// Takes the readings that have come.
    pub fn poll(&mut self) {
        self.session.poll();
    }
}
