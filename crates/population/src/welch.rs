//! The difference of two means.

use statrs::distribution::{ContinuousCDF as _, StudentsT};

use crate::sample::Sample;

/// A difference of two means with its interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Difference {
    /// First mean less second.
    pub estimate: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Student's t.
    pub t: f64,
    /// Its effective freedom.
    pub freedom: f64,
    /// Probability of so large a difference, to either side, were there none.
    pub p: f64,
}

/// Welch's comparison of two groups whose spreads may differ (B. L. Welch, Biometrika 34, 1947, 28–35, with
/// Satterthwaite's freedom). `None` where a group has fewer than two values or neither has a spread.
#[must_use]
pub fn welch(first: Sample, second: Sample, confidence: f64) -> Option<Difference> {
    if first.count < 2 || second.count < 2 {
        return None;
    }
    let parts = [first, second].map(|s| s.deviation.powi(2) / s.count as f64);
    let variance = parts[0] + parts[1];
    if variance.is_nan() || variance <= 0.0 {
        return None;
    }
    let freedom = variance.powi(2)
        / (parts[0].powi(2) / (first.count - 1) as f64
            + parts[1].powi(2) / (second.count - 1) as f64);
    let error = variance.sqrt();
    let estimate = first.mean - second.mean;
    let t = estimate / error;
    let student = StudentsT::new(0.0, 1.0, freedom).ok()?;
    let reach = student.inverse_cdf(0.5 + confidence / 2.0) * error;
    Some(Difference {
        estimate,
        low: estimate - reach,
        high: estimate + reach,
        t,
        freedom,
        p: 2.0 * student.sf(t.abs()),
    })
}
