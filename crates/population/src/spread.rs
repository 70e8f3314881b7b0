//! How a figure differs between the units of a group, apart from how well each was measured.

use statrs::distribution::{ChiSquared, ContinuousCDF as _};

use crate::measured::ForceEstimate;
use crate::prediction::prediction_interval;
use crate::sample::Sample;
use crate::tolerance::two_sided_factor;

/// Part of all units that a tolerance interval is to hold.
pub const TOLERANCE_PART: f64 = 0.9;

/// A figure over the units of a group, gf.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// Units whose figure is known.
    pub known: usize,
    /// Units of which only a lower bound is known.
    pub unsaturated: usize,
    /// Mean of those that are known; NaN of none.
    pub mean: f64,
    /// Standard deviation of the estimates: units and measurement together. `None` of fewer than two.
    pub observed_sd: Option<f64>,
    /// Standard uncertainty of one unit's figure, root mean square.
    pub measurement_sd: Option<f64>,
    /// What is left for the units themselves: √(observed² − measurement²), 0 where measurement explains all.
    pub between_unit_sd: Option<f64>,
    /// Upper bound, at the confidence, of the standard deviation between units. This and the next two take the
    /// deviation no smaller than the uncertainty of measuring: units that happen to agree prove no less.
    pub between_unit_sd_upper_bound: Option<f64>,
    /// Where the next unit lies, at the confidence, if units are normal.
    pub next_unit: Option<(f64, f64)>,
    /// What holds [`TOLERANCE_PART`] of all units with that confidence, if units are normal.
    pub tolerance_90: Option<(f64, f64)>,
    /// Probability of so large a spread were all units alike (homogeneity, χ² of the estimates weighted by
    /// their uncertainties; W. G. Cochran, Biometrics 10, 1954, 101–129).
    pub homogeneity_p: Option<f64>,
}

impl Spread {
    /// Of the figures of units.
    #[must_use]
    pub fn of(figures: &[&ForceEstimate], confidence: f64) -> Self {
        let known: Vec<&ForceEstimate> = figures.iter().copied().filter(|f| !f.is_least).collect();
        let values: Vec<f64> = known.iter().map(|f| f.estimate).collect();
        let sample = Sample::of(&values);
        let n = sample.count as f64;
        let several = sample.count >= 2;
        let measured = measuring_variance(&known);
        let kept = |value: f64| several.then_some(value);
        let observed = sample.deviation;
        let floored = floored_sd(&known);
        let freedom = n - 1.0;
        let at_most = several
            .then(|| ChiSquared::new(freedom).ok())
            .flatten()
            .map(|law| floored * (freedom / law.inverse_cdf(1.0 - confidence)).sqrt());
        let tolerance_90 = several
            .then(|| {
                let count = u32::try_from(sample.count).unwrap_or(u32::MAX);
                let reach = two_sided_factor(count, TOLERANCE_PART, confidence) * floored;
                (sample.mean - reach, sample.mean + reach)
            })
            .filter(|(low, high)| low.is_finite() && high.is_finite());
        Self {
            known: sample.count,
            unsaturated: figures.len() - sample.count,
            mean: sample.mean,
            observed_sd: kept(observed),
            measurement_sd: (sample.count > 0).then(|| measured.sqrt()),
            between_unit_sd: kept((observed * observed - measured).max(0.0).sqrt()),
            between_unit_sd_upper_bound: at_most,
            next_unit: prediction_interval(&sample, floored, confidence),
            tolerance_90,
            homogeneity_p: homogeneity(&known),
        }
    }
}

/// Mean square of the uncertainties of measuring; NaN of none.
fn measuring_variance(known: &[&ForceEstimate]) -> f64 {
    known.iter().map(|f| f.error.powi(2)).sum::<f64>() / known.len() as f64
}

/// Deviation of the estimates, no smaller than the uncertainty of measuring: units that happen to agree are not
/// known better than they were measured.
pub(crate) fn floored_sd(known: &[&ForceEstimate]) -> f64 {
    let values: Vec<f64> = known.iter().map(|f| f.estimate).collect();
    Sample::of(&values)
        .deviation
        .max(measuring_variance(known).sqrt())
}

fn homogeneity(figures: &[&ForceEstimate]) -> Option<f64> {
    if figures.len() < 2 || figures.iter().any(|f| f.error.is_nan() || f.error <= 0.0) {
        return None;
    }
    let weight = |f: &ForceEstimate| f.error.powi(-2);
    let total: f64 = figures.iter().map(|f| weight(f)).sum();
    let mean = figures.iter().map(|f| weight(f) * f.estimate).sum::<f64>() / total;
    let q: f64 = figures
        .iter()
        .map(|f| weight(f) * (f.estimate - mean).powi(2))
        .sum();
    let law = ChiSquared::new((figures.len() - 1) as f64).ok()?;
    Some(law.sf(q))
}
