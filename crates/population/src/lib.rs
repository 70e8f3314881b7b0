//! What a few units say of their model, and how models differ.
//!
//! ```
//! use evenhand_population::{Sample, welch};
//!
//! let (first, second) = ([184.0, 190.0, 196.0], [214.0, 220.0, 226.0]);
//! let found = welch(Sample::of(&first), Sample::of(&second), 0.95).ok_or("one unit says nothing")?;
//! assert!((found.estimate + 30.0).abs() < 1e-9);
//! assert!(found.low < -30.0 && found.high < 0.0);
//! # Ok::<(), &str>(())
//! ```
//!
//! This crate owns the statistics beneath comparisons of many styluses, each checked against outside tables
//! (`tests/outside/population.rs`): tolerance and prediction intervals of few units, differences of two
//! groups with and without a normal model, more groups, a correction for many comparisons, agreement of two
//! benches, the spread between units apart from that of repeats, and a robust score for outliers.
//!
//! [`compare`] puts them to work: fitted measurements ([`FittedMeasurement`]) become units, units become groups,
//! each on one bench. Repeats of a unit on a bench are joined; benches are never pooled unless asked for. One
//! unit says nothing of its model. Values are forces in gf, shares and confidences fractions 0..1; nothing is
//! dropped that the caller did not leave out.
//!
//! It never reads files, and draws and words nothing.

mod agreement;
mod bench_bias;
mod between_units;
mod clusters;
mod comparison;
mod corrections;
mod curve_difference;
mod envelope;
mod flag;
mod group;
mod integral;
mod kruskal_wallis;
mod mann_whitney;
mod matching;
mod measured;
mod outlier;
mod pair;
mod percentile_rank;
mod permutation;
mod prediction;
mod profile;
mod quantile;
mod repeats;
mod sample;
mod share;
mod share_above;
mod spread;
mod tolerance;
mod unit;
mod variance_components;
mod welch;

pub use agreement::{Agreement, agreement};
pub use bench_bias::{BenchBias, SharedUnit};
pub use clusters::Clusters;
pub use comparison::{CompareSettings, Comparison, GroupBy, compare};
pub use corrections::holm;
pub use curve_difference::{CurveDifference, LevelDifference, curve_difference};
pub use envelope::{Envelope, envelope};
pub use flag::Flag;
pub use group::{ALPHA, Group, SHARE_LIMITS_GF, Verdict};
pub use kruskal_wallis::{KruskalWallis, kruskal_wallis};
pub use mann_whitney::{MannWhitney, mann_whitney, mann_whitney_null};
pub use matching::{MatchError, UnitMatch, unit_matches};
pub use measured::{FittedMeasurement, ForceEstimate};
pub use outlier::{OutlierScore, outlier_scores};
pub use pair::{ForceDifference, Pair};
pub use percentile_rank::percentile_rank;
pub use permutation::{Permutation, permutation_test};
pub use prediction::prediction_interval;
pub use profile::{Profile, READING_GRID, level_reading};
pub use repeats::{Repeatability, Repeats};
pub use sample::Sample;
pub use share::{Share, share_interval};
pub use share_above::{Basis, ShareAbove, share_above};
pub use spread::{Spread, TOLERANCE_PART};
pub use tolerance::{part_above, part_within_extremes, two_sided_factor};
pub use unit::{Quantity, Unit};
pub use variance_components::{VarianceComponents, variance_components};
pub use welch::{Difference, welch};
