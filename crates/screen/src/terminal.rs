//! The terminal, taken and given back.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use evenhand_recorder::Recorder;
use evenhand_workflow::Failure;
use ratatui::DefaultTerminal;
use ratatui::crossterm::event::{self, Event, KeyCode, KeyEvent, KeyEventKind, KeyModifiers};

use crate::screen::{Key, Screen};

/// How long keys are waited for before readings are looked at.
const WAIT: Duration = Duration::from_millis(40);

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
    let told_to_end = Arc::new(AtomicBool::new(false));
    let mut registered = Vec::new();
    for signal in ENDS {
        let known = signal_hook::flag::register(*signal, Arc::clone(&told_to_end));
        registered.push(known.map_err(unusable)?);
    }
    let mut screen = Screen::new(recorder);
    let outcome = ratatui::try_init()
        .map_err(unusable)
        .and_then(|mut terminal| {
            let turned = turn(&mut terminal, &mut screen, &told_to_end);
            let restored = ratatui::try_restore();
            turned.and(restored).map_err(unusable)
        });
    for one in registered {
        signal_hook::low_level::unregister(one);
    }
    outcome.map(|()| screen.into_recorder())
}

#[expect(clippy::needless_pass_by_value, reason = "as map_err gives it")]
fn unusable(error: std::io::Error) -> Failure {
    Failure::cannot(
        format!("this terminal cannot be used as a whole: {error}"),
        "give --plain; everything that was kept is in the file",
    )
}

fn turn(
    terminal: &mut DefaultTerminal,
    screen: &mut Screen,
    told_to_end: &AtomicBool,
) -> std::io::Result<()> {
    while !screen.is_over() && !told_to_end.load(Ordering::Relaxed) {
        terminal.draw(|frame| screen.draw(frame))?;
        let mut waits = WAIT;
        while event::poll(waits)? {
            waits = Duration::ZERO;
            if let Event::Key(pressed) = event::read()?
                && let Some(key) = key(pressed)
            {
                screen.press(key);
            }
        }
        screen.poll();
    }
    Ok(())
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
