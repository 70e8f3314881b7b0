//! A session on the whole terminal.

use std::io;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use crossterm::event::{self, Event, KeyCode, KeyEvent, KeyEventKind, KeyModifiers};
use crossterm::terminal::size;
use evenhand_recorder::Recorder;
use evenhand_workflow::Failure;

use crate::canvas::Canvas;
use crate::held::Held;
use crate::screen::{Key, Screen};
use crate::update::update;

/// How long keys are waited for before readings are looked at.
const WAIT: Duration = Duration::from_millis(40);
/// Most columns and rows that are drawn on, whatever a terminal says of its size.
const MOST: (u16, u16) = (1000, 500);

/// Signals that tell a program to end.
const ENDS: &[i32] = &[
    signal_hook::consts::SIGTERM,
    signal_hook::consts::SIGINT,
    #[cfg(unix)]
    signal_hook::consts::SIGHUP,
];

/// Runs a session on the whole screen until the person has had enough; the terminal is given back, also after a
/// fault or when the program is told to end.
///
/// # Errors
/// A terminal that cannot be used.
pub fn run(recorder: Recorder) -> Result<Recorder, Failure> {
    let must_end = Arc::new(AtomicBool::new(false));
    let mut registered = Vec::new();
    for signal in ENDS {
        let known = signal_hook::flag::register(*signal, Arc::clone(&must_end));
        registered.push(known.map_err(unusable)?);
    }
    let mut screen = Screen::new(recorder);
    let outcome = Held::take()
        .and_then(|held| {
            let turned = turn(&held, &mut screen, &must_end);
            let given_back = held.give_back();
            turned.and(given_back)
        })
        .map_err(unusable);
    for one in registered {
        signal_hook::low_level::unregister(one);
    }
    outcome.map(|()| screen.into_recorder())
}

#[expect(clippy::needless_pass_by_value, reason = "as map_err gives it")]
fn unusable(error: io::Error) -> Failure {
    Failure::cannot(
        format!("this terminal cannot be used as a whole: {error}"),
        "give --plain; everything that was kept is in the file",
    )
}

fn turn(held: &Held, screen: &mut Screen, must_end: &AtomicBool) -> io::Result<()> {
    // Changes of size are told from the first look at keys on: that is before anything is shown.
    event::poll(Duration::ZERO)?;
    let mut shown: Option<Canvas> = None;
    while !screen.is_over() && !must_end.load(Ordering::Relaxed) {
        let mut canvas = canvas_for(size()?);
        screen.draw(&mut canvas);
        held.send(&update(shown.as_ref(), &canvas)?)?;
        shown = Some(canvas);
        let mut waits = WAIT;
        while event::poll(waits)? {
            waits = Duration::ZERO;
            match event::read()? {
                Event::Key(pressed) => {
                    if let Some(key) = key(pressed) {
                        screen.press(key);
                    }
                }
                // What was shown may have been cut or moved, even where the size is the same again.
                Event::Resize(..) => shown = None,
                _ => {}
            }
        }
        screen.poll();
    }
    Ok(())
}

/// An empty canvas for a terminal of so many columns and rows.
fn canvas_for((width, height): (u16, u16)) -> Canvas {
    Canvas::new(width.min(MOST.0), height.min(MOST.1))
}

fn key(event: KeyEvent) -> Option<Key> {
    if event.kind == KeyEventKind::Release {
        return None;
    }
    let with_control = event.modifiers.contains(KeyModifiers::CONTROL);
    match event.code {
        KeyCode::Char('c' | 'd') if with_control => Some(Key::Interrupt),
        KeyCode::Char(_) if with_control => None,
        KeyCode::Char(letter) => Some(Key::Char(letter)),
        KeyCode::Enter => Some(Key::Enter),
        KeyCode::Backspace => Some(Key::Backspace),
        KeyCode::Esc => Some(Key::Escape),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_size_of_a_terminal_is_too_much() {
        for (size, taken) in [
            ((80, 24), (80, 24)),
            ((0, 0), (0, 0)),
            ((u16::MAX, 1), (MOST.0, 1)),
            ((u16::MAX, u16::MAX), MOST),
        ] {
            let canvas = canvas_for(size);
            assert_eq!((canvas.width(), canvas.height()), taken);
        }
    }

    #[test]
    fn keys_are_told_apart_from_those_with_control() {
        let pressed = |code, modifiers| key(KeyEvent::new(code, modifiers));
        let (plain, control) = (KeyModifiers::NONE, KeyModifiers::CONTROL);
        for (letter, with) in [
            ('c', Some(Key::Interrupt)),
            ('d', Some(Key::Interrupt)),
            ('q', None),
        ] {
            let code = KeyCode::Char(letter);
            assert_eq!(pressed(code, control), with, "{letter}");
            assert_eq!(pressed(code, plain), Some(Key::Char(letter)), "{letter}");
        }
        for (code, key) in [(KeyCode::Enter, Some(Key::Enter)), (KeyCode::F(1), None)] {
            assert_eq!(pressed(code, control), key, "{code:?}");
            assert_eq!(pressed(code, plain), key, "{code:?}");
        }
        let released = KeyEvent {
            kind: KeyEventKind::Release,
            ..KeyEvent::new(KeyCode::Enter, plain)
        };
        assert_eq!(key(released), None, "a key is not pressed twice");
    }
}
