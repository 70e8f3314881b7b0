//! Recordings of strokes.
//!
//! [`read_inkml`] reads the traces of an `InkML` document, with the channels that its trace format names;
//! [`Trace`] holds the values of one stroke, point after point. [`decode`] turns the text of a single
//! trace into values: explicit ones, differences, and differences of differences.
//!
//! Out of scope: files and clocks, and what a response makes of readings. Not here yet: mappings and
//! brushes of a document, and recordings as tables.

mod channel;
mod decode;
mod error;
mod inkml;

pub use channel::{Channel, ChannelKind};
pub use decode::decode;
pub use error::RecordingError;
pub use inkml::{Recording, Trace, read_inkml};
