//! How well measurements of the same unit repeat.

use statrs::distribution::{ChiSquared, ContinuousCDF as _};

use crate::measured::FittedMeasurement;
use crate::sample::Sample;
use crate::unit::{Quantity, Unit};

/// √2 times the 97.5 % quantile of the normal distribution: two repeats differ by less than this many
/// standard deviations in 95 % of cases (the repeatability limit of ISO 5725-6, from memory).
const LIMIT: f64 = 2.77;

/// Scatter of the repeats of one unit.
#[derive(Clone, Debug, PartialEq)]
pub struct Repeats {
    /// Name of the unit.
    pub unit: String,
    /// How often it was measured with a known saturation.
    pub count: usize,
    /// Standard deviation of the onset forces, gf.
    pub onset_sd: f64,
    /// Standard deviation of the saturation forces, gf.
    pub saturation_sd: f64,
    /// Largest less least saturation force, gf.
    pub saturation_range: f64,
}

/// Repeatability over all units that were measured more than once, saturation forces as parts of their
/// unit's mean.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Repeatability {
    /// Standard deviation of repeats, part of the saturation force.
    pub sd: f64,
    /// Its degrees of freedom.
    pub degrees_of_freedom: f64,
    /// What two repeats differ by at most in 95 % of cases.
    pub limit: f64,
    /// What the measurements' own intervals predict for the standard deviation.
    pub predicted_sd: f64,
    /// Probability of so large a scatter if those intervals were right (χ²).
    pub p: f64,
}

pub(crate) fn repeats(found: &Unit, measured: &[FittedMeasurement]) -> Option<Repeats> {
    let values = known(found, measured, Quantity::Saturation);
    if values.len() < 2 {
        return None;
    }
    let (low, high) = values
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
            (low.min(*value), high.max(*value))
        });
    Some(Repeats {
        unit: found.name.clone(),
        count: values.len(),
        onset_sd: Sample::of(&known(found, measured, Quantity::Onset)).deviation,
        saturation_sd: Sample::of(&values).deviation,
        saturation_range: high - low,
    })
}

fn known(unit: &Unit, measured: &[FittedMeasurement], quantity: Quantity) -> Vec<f64> {
    unit.measurements
        .iter()
        .filter_map(|index| quantity.of_measured(&measured[*index]).value())
        .collect()
}

/// Over all units; `None` where nothing was repeated.
pub(crate) fn repeatability(
    units: &[Unit],
    measured: &[FittedMeasurement],
) -> Option<Repeatability> {
    let (mut squares, mut freedom, mut claimed, mut weighed, mut count) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for unit in units.iter().filter(|unit| unit.is_repeated()) {
        let figures: Vec<_> = unit
            .measurements
            .iter()
            .map(|index| &measured[*index].saturation)
            .filter(|figure| !figure.is_least)
            .collect();
        if figures.len() < 2 {
            continue;
        }
        let values: Vec<f64> = figures.iter().map(|f| f.estimate).collect();
        let sample = Sample::of(&values);
        let own = figures.iter().map(|f| f.error.powi(2)).sum::<f64>() / figures.len() as f64;
        let free = (figures.len() - 1) as f64;
        squares += free * (sample.deviation / sample.mean).powi(2);
        weighed += free * sample.deviation.powi(2) / own;
        claimed += free * own / sample.mean.powi(2);
        freedom += free;
        count += 1.0;
    }
    if count < 1.0 {
        return None;
    }
    let sd = (squares / freedom).sqrt();
    let law = ChiSquared::new(freedom).ok()?;
    Some(Repeatability {
        sd,
        degrees_of_freedom: freedom,
        limit: LIMIT * sd,
        predicted_sd: (claimed / freedom).sqrt(),
        p: law.sf(weighed),
    })
}
