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
//! # How level the test of likeness is
//!
//! Units of one true response are simulated, measured and fitted, 600 of each kind (`cargo bench -p evenhand-population
//! --bench likeness`), and put into groups of so many units: how often p lies at or below 1, 5 and 10 percent, and how
//! far it is from uniform at most (D). Then saturation forces are spread by 2 %: how often the estimate of the spread
//! is 0, how often its lower bound lies above the truth and how often its upper bound lies below (5 percent of either
//! are expected at most). All in percent but D. *Freedom* is the median of the degrees of freedom behind a fit's
//! scatter. Bent responses are fitted with intervals wider than they need be, so their p is rather too large; ten units
//! with a knee, each known from 12 samples only, differ too often.
//!
//! | response | units | freedom | p ≤ 1 % | p ≤ 5 % | p ≤ 10 % | D | estimate 0 | low above | high below |
//! |-|-|-|-|-|-|-|-|-|-|
//! | bent, 12 samples | 2 | 8 | 0.0 | 1.7 | 5.0 | 0.100 | 36 | 4.7 | 0.0 |
//! | bent, 12 samples | 3 | 8 | 0.0 | 3.5 | 7.0 | 0.136 | 22 | 6.5 | 0.0 |
//! | bent, 12 samples | 5 | 8 | 0.0 | 1.7 | 4.2 | 0.206 | 4 | 2.5 | 1.7 |
//! | bent, 12 samples | 10 | 8 | 0.0 | 3.3 | 5.0 | 0.287 | 0 | 3.3 | 10.0 |
//! | bent, 30 samples | 2 | 22 | 0.0 | 2.7 | 5.3 | 0.082 | 22 | 6.3 | 0.0 |
//! | bent, 30 samples | 3 | 22 | 0.0 | 2.0 | 7.5 | 0.136 | 8 | 5.0 | 1.0 |
//! | bent, 30 samples | 5 | 22 | 0.0 | 0.0 | 0.8 | 0.171 | 0 | 5.8 | 5.8 |
//! | bent, 30 samples | 10 | 22 | 0.0 | 0.0 | 1.7 | 0.282 | 0 | 1.7 | 1.7 |
//! | knee, 12 samples | 2 | 6 | 2.0 | 4.7 | 10.3 | 0.041 | 39 | 4.3 | 0.0 |
//! | knee, 12 samples | 3 | 6 | 2.5 | 9.5 | 15.0 | 0.072 | 26 | 7.5 | 0.0 |
//! | knee, 12 samples | 5 | 6 | 3.3 | 6.7 | 16.7 | 0.121 | 9 | 3.3 | 0.0 |
//! | knee, 12 samples | 10 | 6 | 6.7 | 15.0 | 21.7 | 0.181 | 3 | 5.0 | 10.0 |
//! | knee, 30 samples | 2 | 20 | 1.0 | 4.3 | 9.3 | 0.035 | 29 | 6.7 | 0.0 |
//! | knee, 30 samples | 3 | 20 | 1.0 | 6.5 | 10.0 | 0.074 | 13 | 6.0 | 0.0 |
//! | knee, 30 samples | 5 | 20 | 0.0 | 4.2 | 7.5 | 0.057 | 5 | 2.5 | 5.8 |
//! | knee, 30 samples | 10 | 20 | 1.7 | 5.0 | 15.0 | 0.119 | 0 | 3.3 | 3.3 |
//!
//! With uncertainties as they are assumed (normal errors, variances estimated with 8 degrees of freedom or more), p is
//! uniform for 2 to 10 units; a test of `between_units.rs` draws 1,000 groups of each size. With 4 degrees of freedom
//! ten units alike are called different in 8 % of cases instead of 5 %.
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
pub use measured::{FittedMeasurement, ForceEstimate, NearEnds};
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
