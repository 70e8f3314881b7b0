//! Checks against a prediction.

use evenhand_curve::Curve as _;
use statrs::distribution::{ContinuousCDF as _, Normal};

use crate::allowed;
use crate::cause::CauseFit;
use crate::explain::ranked;
use crate::prediction::{Check, MapPrediction};

/// One verification point beside what was predicted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CheckRow {
    /// Force along the stylus, gf.
    pub force_gf: f64,
    /// Predicted output.
    pub predicted: f64,
    /// Least output that noise allows.
    pub low: f64,
    /// Greatest output that noise allows.
    pub high: f64,
    /// Measured output.
    pub measured: f64,
}

impl CheckRow {
    /// Whether the measured output is within what noise allows.
    #[must_use]
    pub fn is_inside(&self) -> bool {
        (self.low..=self.high).contains(&self.measured)
    }

    /// Whether it lies so far outside that one such check is enough.
    #[must_use]
    pub fn is_far_off(&self) -> bool {
        let off = self.measured - self.predicted;
        let half = if off > 0.0 {
            self.high - self.predicted
        } else {
            self.predicted - self.low
        };
        off.abs() > (FAR * half).max(NEAR)
    }
}

/// Confidence below which intervals say nothing.
const LEAST_CONFIDENCE: f64 = 0.95;
/// Widths of an interval's half beyond which chance does not reach: about five standard deviations.
const FAR: f64 = 2.5;
/// Outputs that differ by less are never far off, fraction of full scale.
const NEAR: f64 = 0.01;

/// How the checks came out.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// Every check, in the order given.
    pub rows: Vec<CheckRow>,
    /// Probability that an interval should hold: that of the prediction, and 0.95 at least.
    pub confidence: f64,
    /// Checks outside their intervals.
    pub outside: usize,
    /// As many as chance explains.
    pub allowed_outside: usize,
    /// Whether the map does what was promised, as far as these checks can tell.
    pub passed: bool,
    /// Causes, the one that explains the checks best first.
    pub causes: Vec<CauseFit>,
}

/// Compares outputs measured again with what was promised; outputs and readings are fractions of full
/// scale.
#[must_use]
pub fn verify(prediction: &MapPrediction<'_>, checks: &[Check]) -> Verdict {
    // The band is that of the fit; a verdict is never given with less than this.
    let confidence = prediction.confidence.max(LEAST_CONFIDENCE);
    let (band, quantile) = (quantile(prediction.confidence), quantile(confidence));
    let map = |x: f64| prediction.map.value(x);
    let rows: Vec<CheckRow> = checks
        .iter()
        .map(|check| {
            let reading = prediction.response.value(check.force_gf);
            let reach = quantile * prediction.reading_sd(check.force_gf, band);
            let at = |reading: f64| prediction.through(&map, reading.clamp(0.0, 1.0));
            CheckRow {
                force_gf: check.force_gf,
                predicted: at(reading),
                low: (at(reading - reach) - prediction.output_rounding).max(0.0),
                high: (at(reading + reach) + prediction.output_rounding).min(1.0),
                measured: check.output,
            }
        })
        .collect();
    let outside = rows.iter().filter(|row| !row.is_inside()).count();
    let allowed_outside = allowed::outside(rows.len(), confidence);
    let passed = outside <= allowed_outside && !rows.iter().any(CheckRow::is_far_off);
    Verdict {
        passed,
        confidence,
        outside,
        allowed_outside,
        causes: ranked(prediction, checks, band),
        rows,
    }
}

/// Standard deviations on either side that hold with a probability.
fn quantile(confidence: f64) -> f64 {
    let tail = 0.5 + 0.5 * confidence.clamp(0.01, 0.999_999);
    Normal::new(0.0, 1.0).map_or(2.0, |normal| normal.inverse_cdf(tail))
}
