//! What a few units say of their model, and how models differ.
//!
//! The statistics beneath comparisons of many styluses, each checked against outside tables
//! (`tests/outside/population.rs`): tolerance and prediction intervals of few units, differences of two
//! groups with and without a normal model, more groups, corrections for many comparisons, agreement of two
//! benches, the spread between units apart from that of repeats, and a robust score for outliers.
//!
//! [`compare`] puts them to work: fitted measurements ([`Measured`]) become units, units become groups, each on
//! one bench. Repeats of a unit on a bench are joined; benches are never pooled unless asked for. One unit
//! says nothing of its model. Values are forces in gf; nothing is dropped that the caller did not leave out.
//!
//! Out of scope: files, pictures and pages.

mod agreement;
mod bench_bias;
mod comparison;
mod corrections;
mod curve_difference;
mod envelope;
mod flag;
mod group;
mod integral;
mod kruskal_wallis;
mod mann_whitney;
mod measured;
mod outlier;
mod pair;
mod percentile_rank;
mod permutation;
mod prediction;
mod profile;
mod quantile;
mod reach;
mod repeats;
mod sample;
mod share;
mod spread;
mod tolerance;
mod unit;
mod variance_parts;
mod welch;

pub use agreement::{Agreement, agreement};
pub use bench_bias::{BenchBias, SharedUnit};
pub use comparison::{CompareSettings, Comparison, GroupBy, compare};
pub use corrections::holm;
pub use curve_difference::{CurveDifference, LevelDifference, curve_difference};
pub use envelope::{Envelope, envelope};
pub use flag::Flag;
pub use group::{Group, LEVEL, REACHES_GF, Verdict};
pub use kruskal_wallis::{KruskalWallis, kruskal_wallis};
pub use mann_whitney::{MannWhitney, mann_whitney, mann_whitney_null};
pub use measured::{Figure, Measured};
pub use outlier::{OutlierScore, outlier_scores};
pub use pair::{FigureDifference, Pair};
pub use percentile_rank::percentile_rank;
pub use permutation::{Permutation, permutation_test};
pub use prediction::prediction_interval;
pub use profile::{LEVELS, Profile, level_reading};
pub use reach::{Basis, Reach, reach};
pub use repeats::{Repeatability, Repeats};
pub use sample::Sample;
pub use share::{Share, share_interval};
pub use spread::{Spread, TOLERANCE_PART};
pub use tolerance::{part_above, part_within_extremes, two_sided_factor};
pub use unit::{Quantity, Unit};
pub use variance_parts::{VarianceParts, variance_parts};
pub use welch::{Difference, welch};
