//! How far long work has come, on terminals only.

use std::fmt::Write as _;
use std::io::{IsTerminal as _, Write as _};
use std::sync::Mutex;

use crate::output::Output;

/// Work shorter than this many steps shows nothing.
const LEAST: usize = 8;
/// Characters of the bar.
const WIDTH: usize = 40;

/// A bar over a known number of steps on the last line of a terminal.
pub(crate) struct Bar {
    doing: &'static str,
    steps: usize,
    /// Steps done and the part of the bar that shows them; nothing where no bar is shown.
    shown: Option<Mutex<(usize, usize)>>,
}

/// A bar over so many steps; it shows nothing where standard error is no terminal or quiet was asked for.
pub(crate) fn bar(steps: usize, doing: &'static str, output: &Output) -> Bar {
    let is_shown = std::io::stderr().is_terminal() && !output.quiet && steps >= LEAST;
    Bar {
        doing,
        steps,
        shown: is_shown.then(Mutex::default),
    }
}

impl Bar {
    /// Counts a step that is done.
    pub(crate) fn step(&self) {
        let Some(Ok(mut shown)) = self.shown.as_ref().map(Mutex::lock) else {
            return;
        };
        let (done, filled) = &mut *shown;
        *done += 1;
        let now = WIDTH * (*done).min(self.steps) / self.steps;
        // Terminals are slow: what would look the same is not drawn again.
        if now != *filled || *done == 1 {
            *filled = now;
            draw(&bar_line(self.doing, *done, self.steps));
        }
    }

    /// Takes the bar off the terminal.
    pub(crate) fn clear(&self) {
        if self.shown.is_some() {
            draw("");
        }
    }
}

/// The bar as text, one line.
fn bar_line(doing: &str, done: usize, steps: usize) -> String {
    let filled = WIDTH * done.min(steps) / steps.max(1);
    let mut line = format!("{doing} [");
    line.extend(std::iter::repeat_n('=', filled));
    line.extend(std::iter::repeat_n(' ', WIDTH - filled));
    let _ = write!(line, "] {done} of {steps}");
    line
}

/// Puts a text in place of the last line: back to its beginning, and what stood there erased (ECMA-48, CR and EL).
fn draw(line: &str) {
    let mut out = std::io::stderr().lock();
    let _ = write!(out, "\r\x1b[2K{line}").and_then(|()| out.flush());
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bar_fills_with_the_steps() {
        assert_eq!(bar_line("fitting", 0, 10).matches('=').count(), 0);
        assert_eq!(bar_line("fitting", 5, 10).matches('=').count(), WIDTH / 2);
        let full = bar_line("fitting", 10, 10);
        assert!(full.contains(&"=".repeat(WIDTH)) && full.ends_with("] 10 of 10"));
        assert_eq!(full.len(), bar_line("fitting", 10, 99).len());
    }
}
