//! Recordings of strokes, and how hard a hand presses in them.
//!
//! ```
//! use evenhand_strokes::{Levels, PressUnit, read_stroke_table};
//!
//! let table = "stroke,t_ms,reported_percent\n1,0,12\n1,8,30\n2,400,25\n2,408,60\n";
//! let (recording, read_as) = read_stroke_table("grass.csv", table.as_bytes(), Levels::default())?;
//! assert_eq!(recording.press_unit, PressUnit::Reading);
//! assert_eq!((recording.strokes.len(), recording.len()), (2, 4));
//! assert_eq!(recording.strokes[1].points[1].press, 0.6);
//! assert_eq!(read_as.columns[1].unit.as_deref(), Some("ms"));
//! # Ok::<(), evenhand_text::Faults>(())
//! ```
//!
//! # Recordings
//!
//! [`read_inkml`] reads the traces of an `InkML` document, with the channels that its trace format names;
//! [`Trace`] holds the values of one stroke, point after point. [`decode`] turns the text of a single
//! trace into values: explicit ones, differences, and differences of differences. [`Mapping`] is what turns
//! channels into others. [`read_stroke_table`] reads a table with a line for each point. What is wrong
//! with either is a [`Fault`](evenhand_text::Fault).
//!
//! Both end in [`Strokes`]: places, times in s, and readings (0..1) or forces (gf), told apart by when the nib
//! touched.
//!
//! # The hand
//!
//! [`summarise`] turns the readings of a recording into forces through the fitted response of the stylus
//! that drew it: percentiles with intervals, the time spent at saturation and below the onset, and a
//! suggested light-at and full-at. A reading of full scale says only that the force was no less than the
//! saturation force, a touch without a reading that it was no more than the onset force; percentiles that
//! fall there are bounds.
//!
//! Points of one stroke are alike, so intervals count strokes, not points: the scatter of each stroke's
//! share below a percentile gives the number of independent points that would know as much (Korn and
//! Graubard, Survey Methodology 24, 1998, 193–201; from memory), and order statistics of so many points give
//! the interval. Where even the outermost point is not far enough out the interval stays open: the
//! recording is too short to tell. Drift from stroke to stroke is not modelled: draw as you always do, and
//! more than one picture.
//!
//! # How often the intervals hold
//!
//! Simulated recordings (`cargo bench -p evenhand-strokes --bench coverage`, 2,000 a row, seed 20261126):
//! strokes of 20 to 200 points whose greatest force varies from stroke to stroke by a third and rises and
//! falls within the stroke. *Held* is how often 95 % intervals hold the true percentile (an open side holds),
//! *open* how often a side is open.
//!
//! | strokes | 5th held, open | 50th held, open | 95th held, open |
//! | --- | --- | --- | --- |
//! | 5 | 91.5 %, 65 % | 94.3 %, 54 % | 94.0 %, 100 % |
//! | 10 | 92.0 %, 20 % | 95.0 %, 0 % | 95.0 %, 100 % |
//! | 20 | 93.5 %, 3 % | 96.7 %, 0 % | 94.2 %, 96 % |
//! | 40 | 92.7 %, 0 % | 95.2 %, 0 % | 95.0 %, 57 % |
//! | 80 | 93.2 %, 0 % | 96.0 %, 0 % | 94.9 %, 1 % |
//! | 160 | 95.7 %, 0 % | 95.8 %, 0 % | 95.0 %, 0 % |
//! | 320 | 95.5 %, 0 % | 95.5 %, 0 % | 95.6 %, 0 % |
//!
//! Never here: files and clocks, brushes of a document, and what a map makes of the forces.

mod channel;
mod decode;
mod draws_nothing;
mod formula;
mod hand;
mod hand_error;
mod ink_document;
mod inkml;
mod long_run;
mod mapping;
mod pen;
mod quantile;
mod ranks;
mod stroke;
mod table;
mod table_spec;
mod tail;
mod weighted_strokes;
mod wrong;

pub use channel::{Channel, ChannelKind};
pub use decode::decode;
pub use draws_nothing::DrawsNothing;
pub use formula::{Formula, Values};
pub use hand::{Bound, Hand, HandRule, Percentile, Suggestion, summarise};
pub use hand_error::HandError;
pub use inkml::{Recording, Trace, read_inkml};
pub use long_run::{LongRun, autocovariances, long_run, memory};
pub use mapping::{Affine, Lookup, LookupJoining, Mapping};
pub use quantile::weighted_quantile;
pub use ranks::rank_bounds;
pub use stroke::{PressUnit, Stroke, StrokePoint, Strokes};
pub use table::{Levels, read_stroke_table};
pub use tail::beyond_outermost;
