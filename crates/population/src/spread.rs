//! How a figure differs between the units of a group, apart from how well each was measured.

use crate::between_units::BetweenUnits;
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
    /// What is left for the units themselves (Paule and Mandel; of equal uncertainties √(observed² − measurement²)); 0
    /// where measuring hides it, which [`Spread::between_unit_sd_upper_bound`] then tells how well.
    pub between_unit_sd: Option<f64>,
    /// Upper bound, at the confidence, of the standard deviation between units (Q-profile, W. Viechtbauer, Stat. Med.
    /// 26, 2007, 37–52), with squares no smaller than measuring alone makes them: units that happen to agree prove
    /// no less. Never 0.
    pub between_unit_sd_upper_bound: Option<f64>,
    /// Where the next unit lies, at the confidence, if units are normal and it saturates. This and the next take the
    /// deviation no smaller than the uncertainty of measuring. Where some units did not saturate the upper end is
    /// infinite: nothing is known beyond what was placed.
    pub next_unit: Option<(f64, f64)>,
    /// What holds [`TOLERANCE_PART`] of all units with that confidence, if units are normal.
    pub tolerance_90: Option<(f64, f64)>,
    /// Probability of so large a spread were all units alike (homogeneity: B. L. Welch's test of means whose
    /// uncertainties rest on few samples, Biometrika 38, 1951, 330–336; with uncertainties that are known W. G.
    /// Cochran's χ², Biometrics 10, 1954, 101–129).
    pub homogeneity_p: Option<f64>,
    /// Lower bound, at the confidence, of the standard deviation between units (Q-profile); 0 where the test does not
    /// reject likeness at that level.
    pub between_unit_sd_lower_bound: Option<f64>,
}

impl Spread {
    /// Of the figures of units.
    #[must_use]
    pub fn of(figures: &[&ForceEstimate], confidence: f64) -> Self {
        let known: Vec<&ForceEstimate> = figures.iter().copied().filter(|f| !f.is_least).collect();
        let values: Vec<f64> = known.iter().map(|f| f.estimate).collect();
        let sample = Sample::of(&values);
        let several = sample.count >= 2;
        let measured = measuring_variance(&known);
        let kept = |value: f64| several.then_some(value);
        let observed = sample.deviation;
        let floored = floored_sd(&known);
        let between = BetweenUnits::of(&known, confidence);
        // What did not saturate lies above what was placed, nobody knows how far: there is no upper end.
        let unsaturated = figures.len() - sample.count;
        let ended = |(low, high): (f64, f64)| {
            (
                low,
                if unsaturated == 0 {
                    high
                } else {
                    f64::INFINITY
                },
            )
        };
        Self {
            known: sample.count,
            unsaturated,
            mean: sample.mean,
            observed_sd: kept(observed),
            measurement_sd: (sample.count > 0).then(|| measured.sqrt()),
            between_unit_sd: between.map(|b| b.estimate),
            between_unit_sd_upper_bound: between.map(|b| b.high),
            next_unit: prediction_interval(&sample, floored, confidence).map(ended),
            tolerance_90: tolerance(&sample, floored, confidence).map(ended),
            homogeneity_p: between.map(|b| b.p),
            between_unit_sd_lower_bound: between.map(|b| b.low),
        }
    }
}

/// What holds [`TOLERANCE_PART`] of all units; `None` of fewer than two.
fn tolerance(sample: &Sample, sd: f64, confidence: f64) -> Option<(f64, f64)> {
    let count = u32::try_from(sample.count).unwrap_or(u32::MAX);
    let reach = two_sided_factor(count, TOLERANCE_PART, confidence) * sd;
    reach
        .is_finite()
        .then_some((sample.mean - reach, sample.mean + reach))
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

#[cfg(test)]
mod tests {
    use super::Spread;
    use crate::measured::ForceEstimate;

    /// Three units measured alike, each to 3 gf: the next lies within t·3·√(1 + 1/3), t = 4.303 of 2 degrees of freedom
    /// (NIST/SEMATECH e-Handbook of Statistical Methods, table of Student's t; from memory).
    #[test]
    fn units_that_agree_are_known_no_better_than_they_were_measured() {
        let figure = ForceEstimate::measured(200.0, 3.0, f64::INFINITY);
        let (low, high) = Spread::of(&[&figure; 3], 0.95)
            .next_unit
            .expect("three units");
        let reach = 4.303 * 3.0 * (4.0_f64 / 3.0).sqrt();
        assert!((200.0 - low - reach).abs() < 0.002, "{low}");
        assert!((high - 200.0 - reach).abs() < 0.002, "{high}");
    }
}
