//! Order statistics around a quantile.

use statrs::function::beta::beta_reg;

/// Ranks r and s such that the r-th and the s-th of `n` independent values enclose the `level` quantile with
/// at least the given confidence: r the largest with P(B < r) ≤ (1 − confidence)/2, s the smallest with
/// P(B ≥ s) ≤ (1 − confidence)/2, B binomial (any text on distribution-free intervals; here as a beta
/// function, so that `n` need not be whole). `None` where not even the outermost value will do.
#[must_use]
pub fn rank_bounds(n: f64, level: f64, confidence: f64) -> (Option<f64>, Option<f64>) {
    let tail = (1.0 - confidence) / 2.0;
    let ok = n >= 1.0 && level > 0.0 && level < 1.0 && tail > 0.0 && tail < 1.0;
    if !ok {
        return (None, None);
    }
    // P(B ≥ k) = I_level(k, n − k + 1), falling with k.
    let reaches = |k: f64| beta_reg(k, n - k + 1.0, level);
    let last = n.floor();
    let low =
        (1.0 - reaches(1.0) <= tail).then(|| largest(1.0, last, |k| 1.0 - reaches(k) <= tail));
    let high = (reaches(last) <= tail).then(|| {
        // The largest rank that still fails, and one more.
        if reaches(1.0) <= tail {
            1.0
        } else {
            largest(1.0, last, |k| reaches(k) > tail) + 1.0
        }
    });
    (low, high)
}

/// The largest whole number from `low` (for which `holds`) to `high` for which it holds.
fn largest(mut low: f64, mut high: f64, holds: impl Fn(f64) -> bool) -> f64 {
    while low < high {
        let middle = low + ((high - low) / 2.0).ceil();
        if holds(middle) {
            low = middle;
        } else {
            high = middle - 1.0;
        }
    }
    low
}
