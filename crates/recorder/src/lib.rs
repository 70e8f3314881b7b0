//! A session at the bench: which force is next, what is read, and what is kept of it.
//!
//! ```
//! use evenhand_recorder::{StableRule, Watcher};
//!
//! // A reading that creeps towards 0.4 settles once it lies still for half a second.
//! let mut watcher = Watcher::new(StableRule::default());
//! let creeping = (0..500).map(|tick| 0.4 - 0.1 * (-f64::from(tick) / 20.0).exp());
//! let settled = creeping.filter_map(|reading| watcher.push(Some(reading))).next().unwrap();
//! assert!((settled.reading - 0.4).abs() < 0.001 && settled.ticks == 50);
//! ```
//!
//! Streams: [`EventDecoder`] reads the Linux kernel's input events (64- and 32-bit layouts) from bytes in any
//! portions; [`Hold`] turns events with their times into even ticks, for the kernel reports changes only;
//! [`text_reading`] reads a line of text. [`Watcher`] reports when readings have settled, by a stated rule. [`Log`]
//! is the text of a measurement while it grows.
//!
//! Session: a [`Source`] gives readings as they come, from a file, standard input, a serial line or a device of
//! kernel events. A [`Recorder`] asks for a force ([`Recorder::next_step`]), does what a person asks ([`Recorder::act`],
//! [`Action`]), watches until the reading settles ([`Recorder::watch`] waits for readings, [`Recorder::poll`] takes
//! those that are there) and saves the measurement whole after every sample, so that a kill loses at most the
//! sample in progress. What came of it is an [`Outcome`], whose words every view shows; [`SessionView`] remembers the
//! latest of them.
//!
//! Forces in gf along the stylus, readings 0..1. A [`RecordError`] is one of files: unreadable, not written by this
//! program, changed by another while the session ran, no room left; or of a bench that cannot do what was asked.
//!
//! Out of scope: how a session is shown and where keys come from.

mod action;
mod batch_queue;
mod bench_head;
mod error;
mod event_decoder;
mod event_layout;
mod forces;
mod hold;
mod log;
mod next;
mod outcome;
mod progress;
mod recorder;
mod recording;
mod session_fit;
mod session_view;
mod settings;
mod settling;
mod source;
mod text_reading;
mod watcher;

pub use action::Action;
pub use error::RecordError;
pub use event_decoder::{EventDecoder, PenReport};
pub use event_layout::EventLayout;
pub use hold::{Hold, Tick};
pub use log::{Log, LogRow, MARK, RecordingPosition};
pub use next::{Next, Placed};
pub use outcome::{Outcome, Unsettled};
pub use progress::{CurvePoint, Progress};
pub use recorder::Recorder;
pub use session_view::{Sentence, SessionView};
pub use settings::{RecorderSettings, SourceSettings, StreamKind};
pub use settling::Settling;
pub use source::Source;
pub use text_reading::{ReadingKind, text_reading};
pub use watcher::{Settled, StableRule, Watcher};
