//! The spread between units apart from that of repeated measurements.

use statrs::distribution::{ContinuousCDF as _, FisherSnedecor};

use crate::sample::Sample;

/// One-way analysis of variance of units measured more than once.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VarianceComponents {
    /// Standard deviation of repeats of one unit.
    pub within: f64,
    /// Standard deviation between units, 0 where repeats explain all of it.
    pub between: f64,
    /// Variance ratio F with its freedoms.
    pub ratio: f64,
    /// Freedom between units.
    pub freedom_between: f64,
    /// Freedom of repeats.
    pub freedom_within: f64,
    /// Probability of so large a ratio were all units alike.
    pub p: f64,
}

/// Splits the spread of units, each with its repeats; units may have different numbers of them (the moment
/// estimator of one-way random effects, any text on variance components). `None` where no unit has a
/// second measurement or there are fewer than two units.
#[must_use]
pub fn variance_components(units: &[Vec<f64>]) -> Option<VarianceComponents> {
    let units: Vec<&Vec<f64>> = units.iter().filter(|unit| !unit.is_empty()).collect();
    let groups = units.len();
    let total: usize = units.iter().map(|unit| unit.len()).sum();
    if groups < 2 || total <= groups {
        return None;
    }
    // Values are moved near 0 first: a large common part would cost digits.
    let shift = units[0][0];
    let moved: Vec<Vec<f64>> = units
        .iter()
        .map(|unit| unit.iter().map(|value| value - shift).collect())
        .collect();
    let means: Vec<Sample> = moved.iter().map(|unit| Sample::of(unit)).collect();
    let n = total as f64;
    let grand = means.iter().map(|s| s.mean * s.count as f64).sum::<f64>() / n;
    let between: f64 = means
        .iter()
        .map(|s| s.count as f64 * (s.mean - grand).powi(2))
        .sum();
    let within: f64 = moved
        .iter()
        .zip(&means)
        .flat_map(|(unit, s)| unit.iter().map(|value| (value - s.mean).powi(2)))
        .sum();
    let (freedom_between, freedom_within) = ((groups - 1) as f64, (total - groups) as f64);
    let (mean_between, mean_within) = (between / freedom_between, within / freedom_within);
    let squares: f64 = means.iter().map(|s| (s.count as f64).powi(2)).sum();
    let usual = (n - squares / n) / freedom_between;
    let ratio = mean_between / mean_within;
    let f = FisherSnedecor::new(freedom_between, freedom_within).ok()?;
    Some(VarianceComponents {
        within: mean_within.sqrt(),
        between: ((mean_between - mean_within) / usual).max(0.0).sqrt(),
        ratio,
        freedom_between,
        freedom_within,
        p: if ratio.is_finite() { f.sf(ratio) } else { 0.0 },
    })
}
