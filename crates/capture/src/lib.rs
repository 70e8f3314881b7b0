//! Readings from a stream, watched until they settle, and a log of them that a kill cannot break.
//!
//! [`EventDecoder`] reads the Linux kernel's input events (64- and 32-bit layouts) from bytes in any portions;
//! [`Hold`] turns events with their times into even ticks, for the kernel tells changes only; [`text_reading`]
//! reads a line of text. [`Watcher`] says when readings have settled, by a stated rule. [`Log`] is the text of a
//! measurement while it grows.
//!
//! Out of scope: devices, terminals and files.

mod event_decoder;
mod event_layout;
mod hold;
mod log;
mod text_reading;
mod watcher;

pub use event_decoder::{EventDecoder, PenReport};
pub use event_layout::EventLayout;
pub use hold::{Hold, Tick};
pub use log::{Log, LogRow, MARK, Played};
pub use text_reading::{ReadingKind, text_reading};
pub use watcher::{Settled, StableRule, Watcher};
