//! How two ways of measuring agree.

use crate::sample::Sample;

/// Bias between two benches and the limits within which their differences lie.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Agreement {
    /// Mean difference, first less second.
    pub bias: f64,
    /// Standard deviation of the differences.
    pub deviation: f64,
    /// Limits of agreement: bias ± 1.96 deviations.
    pub limits: (f64, f64),
    /// Standard error of the bias.
    pub bias_error: f64,
    /// Standard error of either limit.
    pub limit_error: f64,
}

/// 97.5 % quantile of the normal distribution, two decimals as the method has it.
const REACH: f64 = 1.96;

/// Differences of pairs (J. M. Bland and D. G. Altman, Lancet i, 1986, 307–310). `None` of fewer than two
/// pairs.
#[must_use]
pub fn agreement(pairs: &[(f64, f64)]) -> Option<Agreement> {
    let differences: Vec<f64> = pairs.iter().map(|(a, b)| a - b).collect();
    let sample = Sample::of(&differences);
    if sample.count < 2 {
        return None;
    }
    let n = sample.count as f64;
    let reach = REACH * sample.deviation;
    Some(Agreement {
        bias: sample.mean,
        deviation: sample.deviation,
        limits: (sample.mean - reach, sample.mean + reach),
        bias_error: sample.deviation / n.sqrt(),
        limit_error: (3.0 * sample.deviation.powi(2) / n).sqrt(),
    })
}
