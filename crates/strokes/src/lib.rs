//! Recordings of strokes.
//!
//! [`read_inkml`] reads the traces of an `InkML` document, with the channels that its trace format names;
//! [`Trace`] holds the values of one stroke, point after point. [`decode`] turns the text of a single
//! trace into values: explicit ones, differences, and differences of differences. [`Mapping`] is what turns
//! channels into others. [`read_stroke_table`] reads a table with a line for each point. What is wrong
//! with either is a [`Fault`](evenhand_text::Fault).
//!
//! Both end in [`Strokes`]: places, times, and readings or forces, told apart by when the nib touched.
//!
//! Out of scope: files and clocks, and what a response makes of readings. Brushes of a document are not
//! read.

mod channel;
mod decode;
mod formula;
mod inkml;
mod mapping;
mod pen;
mod stroke;
mod table;
mod table_spec;
mod wrong;

pub use channel::{Channel, ChannelKind};
pub use decode::decode;
pub use formula::Formula;
pub use inkml::{Recording, Trace, read_inkml};
pub use mapping::{Affine, Lookup, LookupJoining, Mapping, Values};
pub use stroke::{Pressing, Stroke, StrokePoint, Strokes};
pub use table::{Levels, read_stroke_table, strokes_of_table};
