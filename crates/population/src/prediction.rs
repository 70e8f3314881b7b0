//! Where the next unit of a model will lie.

use statrs::distribution::{ContinuousCDF as _, StudentsT};

use crate::sample::Sample;

/// Interval that holds the next unit with probability `confidence`, for normal values: mean ± t·s·√(1 + 1/n).
/// `None` of fewer than two units: one unit says nothing of its model.
#[must_use]
pub fn prediction_interval(values: &[f64], confidence: f64) -> Option<(f64, f64)> {
    let sample = Sample::of(values);
    prediction_of(&sample, sample.deviation, confidence)
}

/// The same of a sample whose deviation is taken to be another.
pub(crate) fn prediction_of(
    sample: &Sample,
    deviation: f64,
    confidence: f64,
) -> Option<(f64, f64)> {
    if sample.count < 2 || !(confidence > 0.0 && confidence < 1.0) {
        return None;
    }
    let n = sample.count as f64;
    let t = StudentsT::new(0.0, 1.0, n - 1.0).ok()?;
    let reach = t.inverse_cdf(0.5 + confidence / 2.0) * deviation * (1.0 + 1.0 / n).sqrt();
    Some((sample.mean - reach, sample.mean + reach))
}
