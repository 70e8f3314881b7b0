//! Where the next unit of a model will lie.

use statrs::distribution::{ContinuousCDF as _, StudentsT};

use crate::sample::Sample;

/// Interval that holds the next unit with probability `confidence`, for normal values whose standard
/// deviation is taken to be `sd`: mean ± t·sd·√(1 + 1/n). `None` of fewer than two units: one unit says
/// nothing of its model.
#[must_use]
pub fn prediction_interval(sample: &Sample, sd: f64, confidence: f64) -> Option<(f64, f64)> {
    if sample.count < 2 || !(confidence > 0.0 && confidence < 1.0) {
        return None;
    }
    let n = sample.count as f64;
    let t = StudentsT::new(0.0, 1.0, n - 1.0).ok()?;
    let half_width = t.inverse_cdf(0.5 + confidence / 2.0) * sd * (1.0 + 1.0 / n).sqrt();
    Some((sample.mean - half_width, sample.mean + half_width))
}
