//! What a few units say of their model, and how models differ.
//!
//! The statistics beneath comparisons of many styluses, each checked against outside tables
//! (`tests/outside/population.rs`): tolerance and prediction intervals of few units, differences of two
//! groups with and without a normal model, more groups, corrections for many comparisons, agreement of two
//! benches, the spread between units apart from that of repeats, and a robust score for outliers.
//!
//! Values are plain numbers, such as saturation forces in gf; nothing is ordered, pooled or dropped that the
//! caller did not ask for. Not here yet: groups of fits, envelopes of curves, and a command.

mod agreement;
mod corrections;
mod integral;
mod kruskal_wallis;
mod mann_whitney;
mod outlier;
mod permutation;
mod prediction;
mod sample;
mod tolerance;
mod variance_parts;
mod welch;

pub use agreement::{Agreement, agreement};
pub use corrections::{Correction, corrected};
pub use kruskal_wallis::{KruskalWallis, kruskal_wallis};
pub use mann_whitney::{MannWhitney, mann_whitney, mann_whitney_null};
pub use outlier::{OutlierScore, outlier_scores};
pub use permutation::{Permutation, permutation_test};
pub use prediction::prediction_interval;
pub use sample::Sample;
pub use tolerance::{one_sided_factor, two_sided_factor, units_for_extremes, units_for_maximum};
pub use variance_parts::{VarianceParts, variance_parts};
pub use welch::{Difference, welch};
