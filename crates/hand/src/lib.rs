//! How hard a hand presses, from strokes it drew.
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
//! Simulated recordings (`cargo bench -p evenhand-hand --bench coverage`, 2,000 a row, seed 20261126):
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
//! Out of scope: files, and what a map makes of the forces.

mod clusters;
mod error;
mod quantile;
mod ranks;
mod summary;

pub use error::HandError;
pub use evenhand_population::{Share, share_interval};
pub use quantile::weighted_quantile;
pub use ranks::rank_bounds;
pub use summary::{Bound, Hand, HandRule, Percentile, Suggestion, summarise};
