//! A session at the bench: which force is next, what is read, and what is kept of it.
//!
//! A [`Source`] gives readings as they come, from a file, standard input, a serial line or a device of kernel
//! events. A [`Recorder`] asks for a force ([`Recorder::asked`]), hears what a person says ([`Recorder::say`],
//! [`Said`]), watches until the reading settles ([`Recorder::watch`] waits for readings, [`Recorder::poll`] takes
//! those that are there) and saves the measurement whole after every sample, so that a kill loses at most the
//! sample in progress. What came of it is told as [`Heard`], whose words every view shows; [`Attended`] remembers the latest of them.
//!
//! Forces in gf along the stylus, readings 0..1. Failures are those of files: unreadable, not written by this
//! program, changed by another while the session ran, no room left.
//!
//! Out of scope: how a session is shown and where keys come from.

mod attended;
mod bench_head;
mod forces;
mod heard;
mod known;
mod next;
mod recorder;
mod recording;
mod said;
mod settings;
mod settling;
mod so_far;
mod source;

pub use attended::{Attended, Sentence};
pub use heard::{Heard, Unsettled};
pub use next::{Next, Placed};
pub use recorder::Recorder;
pub use said::Said;
pub use settings::{RecorderSettings, SourceSettings, StreamKind};
pub use settling::Settling;
pub use so_far::{CurvePoint, SoFar};
pub use source::Source;
