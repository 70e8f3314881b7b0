//! Quantiles of weighted values.

/// Cumulative weights this near a level, relative to the whole, have reached it.
const ROUNDING: f64 = 1e-12;

/// The least of `sorted` values (with weights above 0) up to which the weights reach `level` of their sum:
/// the inverse of the weighted distribution, the first of the nine definitions of Hyndman and Fan (American
/// Statistician 50, 1996, 361–365) where weights are equal. NaN without values.
#[must_use]
pub fn weighted_quantile(sorted: &[(f64, f64)], level: f64) -> f64 {
    let total: f64 = sorted.iter().map(|(_, weight)| weight).sum();
    let wanted = (level - ROUNDING) * total;
    let mut sum = 0.0;
    for (value, weight) in sorted {
        sum += weight;
        if sum >= wanted {
            return *value;
        }
    }
    sorted.last().map_or(f64::NAN, |(value, _)| *value)
}
