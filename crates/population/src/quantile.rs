//! Quantiles of the normal distribution, and of values some of which are only known to lie above.

use statrs::distribution::{ContinuousCDF as _, Normal, StudentsT};

/// Half the width of the central part `confidence` of the standard normal distribution.
pub(crate) fn two_sided_z(confidence: f64) -> f64 {
    Normal::standard().inverse_cdf(0.5 + confidence / 2.0)
}

/// The same of Student's distribution with so many degrees of freedom; infinitely many are the normal.
pub(crate) fn two_sided_t(confidence: f64, freedom: f64) -> f64 {
    StudentsT::new(0.0, 1.0, freedom)
        .ok()
        .filter(|_| freedom.is_finite())
        .map_or_else(
            || two_sided_z(confidence),
            |law| law.inverse_cdf(0.5 + confidence / 2.0),
        )
}

/// Type 7 quantile of values in order (R. J. Hyndman and Y. Fan, Am. Stat. 50, 1996); values that are
/// infinite stand for "above all that was placed", and what lies next to them is infinite too.
pub(crate) fn quantile_of_sorted(sorted: &[f64], part: f64) -> f64 {
    let Some(last) = sorted.len().checked_sub(1) else {
        return f64::NAN;
    };
    let position = part.clamp(0.0, 1.0) * last as f64;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "part of a length"
    )]
    let below = position.floor() as usize;
    let rest = position - below as f64;
    if rest <= 0.0 {
        return sorted[below];
    }
    let (low, high) = (sorted[below], sorted[below + 1]);
    if high.is_finite() {
        low + rest * (high - low)
    } else {
        high
    }
}
