//! Units that lie far from the others.

use crate::mann_whitney::median;

/// Turns the median of absolute deviations into the standard deviation of normal values: 1/Φ⁻¹(3/4).
const TO_DEVIATION: f64 = 1.482_602_218_505_602;
/// Scores from here on are called outliers (B. Iglewicz and D. Hoaglin, 1993, as the NIST/SEMATECH
/// e-Handbook 1.3.5.17 has it; from memory).
const FAR: f64 = 3.5;

/// How far a unit lies from the others.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutlierScore {
    /// Distance from the median in robust standard deviations.
    pub score: f64,
    /// Whether it lies so far that it should be looked at.
    pub is_outlier: bool,
}

/// Scores of all values: distance from the median over the robust spread, which is taken no smaller than
/// `floor`, what the instrument can tell apart. Fewer than four values have no outliers.
#[must_use]
pub fn outlier_scores(values: &[f64], floor: f64) -> Vec<OutlierScore> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let middle = median(&sorted);
    let mut off: Vec<f64> = values.iter().map(|value| (value - middle).abs()).collect();
    off.sort_by(f64::total_cmp);
    let spread = (TO_DEVIATION * median(&off))
        .max(floor)
        .max(f64::MIN_POSITIVE);
    values
        .iter()
        .map(|value| {
            let score = (value - middle) / spread;
            OutlierScore {
                score,
                is_outlier: values.len() >= 4 && score.abs() >= FAR,
            }
        })
        .collect()
}
