//! How far long work has come, on terminals only.

use std::io::IsTerminal as _;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use crate::output::Output;

/// Work shorter than this many steps shows nothing.
const LEAST: u64 = 8;

/// A bar over so many steps; it shows nothing where standard error is no terminal or quiet was asked for.
pub(crate) fn bar(steps: usize, doing: &'static str, output: &Output) -> ProgressBar {
    let steps = steps as u64;
    let shown = std::io::stderr().is_terminal() && !output.quiet && steps >= LEAST;
    let target = if shown {
        ProgressDrawTarget::stderr()
    } else {
        ProgressDrawTarget::hidden()
    };
    let bar = ProgressBar::with_draw_target(Some(steps), target).with_message(doing);
    let plain = if output.error_color() {
        "{msg} [{bar:40.blue}] {pos} of {len}, {eta} left"
    } else {
        "{msg} [{bar:40}] {pos} of {len}, {eta} left"
    };
    match ProgressStyle::with_template(plain) {
        Ok(style) => bar.with_style(style.progress_chars("=> ")),
        Err(_) => bar,
    }
}
