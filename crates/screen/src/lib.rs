//! A session at the bench on the whole screen of a terminal: the next force and the reading in figures large
//! enough to be read from the bench, the curve so far, and the keys.
//!
//! [`Screen`] holds a [`Recorder`](evenhand_recorder::Recorder) and what a person is typing; [`Screen::draw`]
//! draws it on a [`Canvas`], so that tests look at it without a terminal. [`run`] takes the terminal, and gives
//! it back however the session ends.
//!
//! No colour carries a meaning: light, dark and grey terminals show the same.

mod area;
mod axes;
mod bar;
mod canvas;
mod dots;
mod figures;
mod grid;
mod held;
mod letter;
mod picture;
mod plot;
mod screen;
mod terminal;
mod update;
mod wrap;

pub use canvas::{Canvas, Look};
pub use screen::{Key, Screen};
pub use terminal::run;
