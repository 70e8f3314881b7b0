//! How far from the target the output of the true stylus may be.
//!
//! A map is compiled for the fitted response. The stylus has another one; what it may be, the fit's resamples show.
//! Each of them is sent through the map, and its worst error found as that of the fitted response is.

use evenhand_curve::Curve;
use evenhand_fitting::Fit;
use evenhand_measurement::Force;
use serde::Serialize;

use crate::target::Target;

/// Steps from light-at to full-at at which errors are looked at.
const STEPS: u32 = 128;
/// Resamples that are looked at; they are drawn independently, so the first stand for all.
const MOST_RESAMPLES: usize = 400;

/// The worst error from light-at to full-at over what the response may be, fraction of full scale.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct StylusError {
    /// As likely exceeded as not.
    pub median: f64,
    /// Not exceeded by the true stylus, at the confidence of the fit.
    pub high: f64,
}

/// What the response may be, read where errors are judged.
#[derive(Clone, Debug)]
pub(crate) struct PossibleResponses {
    /// Wanted outputs at the forces looked at.
    wanted: Vec<f64>,
    /// Readings there, as the map has them: a row for each resample.
    resamples: Vec<Vec<f64>>,
    /// Least and greatest reading there, where there are too few samples for resamples to say.
    brackets: Vec<(f64, f64)>,
    confidence: f64,
}

impl PossibleResponses {
    /// Of a fit, with a curve that is applied to its readings before the map.
    pub(crate) fn new(fit: &Fit, before: Option<&dyn Curve>, target: &Target) -> Self {
        let (light, full) = (target.light_at().gf(), target.full_at().gf());
        let forces: Vec<Force> = (0..=STEPS)
            .map(|step| light + (full - light) * f64::from(step) / f64::from(STEPS))
            .map(Force::from_gf)
            .collect();
        let through = |reading: f64| before.map_or(reading, |curve| curve.value(reading));
        Self {
            wanted: forces.iter().map(|force| target.output(*force)).collect(),
            resamples: fit
                .resampled_readings(&forces, MOST_RESAMPLES)
                .into_iter()
                .map(|row| row.into_iter().map(through).collect())
                .collect(),
            brackets: forces
                .iter()
                .filter_map(|force| fit.bracketed_reading(*force))
                .map(|(low, high)| (through(low), through(high)))
                .collect(),
            confidence: fit.settings.confidence,
        }
    }

    /// The worst error of a map, with what comes after it; `fitted` is that of the fitted response.
    pub(crate) fn error(&self, map: &dyn Curve, fitted: f64) -> StylusError {
        let off = |wanted: f64, reading: f64| (map.value(reading) - wanted).abs();
        let mut worst: Vec<f64> = self
            .resamples
            .iter()
            .map(|row| {
                let pairs = self.wanted.iter().zip(row);
                pairs.map(|(w, r)| off(*w, *r)).fold(0.0, f64::max)
            })
            .collect();
        worst.sort_by(f64::total_cmp);
        let bracketed = self
            .wanted
            .iter()
            .zip(&self.brackets)
            .map(|(wanted, (low, high))| off(*wanted, *low).max(off(*wanted, *high)))
            .fold(fitted, f64::max);
        let median = part(&worst, 0.5);
        StylusError {
            median,
            high: part(&worst, self.confidence).max(bracketed).max(median),
        }
    }
}

/// The least of sorted values that at least `part` of all do not exceed; 0 of none.
fn part(sorted: &[f64], part: f64) -> f64 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "part of a length"
    )]
    let rank = (part * sorted.len() as f64).ceil() as usize;
    sorted.get(rank.max(1) - 1).copied().unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use evenhand_curve::{Point, Polyline};

    use super::*;

    #[test]
    fn resamples_that_happen_to_fit_better_do_not_lessen_it()
    -> Result<(), Box<dyn std::error::Error>> {
        let same = Polyline::new(vec![Point::new(0.0, 0.0), Point::new(1.0, 1.0)])?;
        let possible = PossibleResponses {
            wanted: vec![0.5, 1.0],
            resamples: vec![vec![0.5, 1.0], vec![0.52, 1.0]],
            brackets: Vec::new(),
            confidence: 0.95,
        };
        let found = possible.error(&same, 0.1);
        assert_eq!((found.median, found.high), (0.0, 0.1));
        // Nor do they hide what lies between two samples.
        let bracketed = PossibleResponses {
            brackets: vec![(0.2, 0.6), (1.0, 1.0)],
            ..possible
        };
        assert!((bracketed.error(&same, 0.1).high - 0.3).abs() < 1e-12);
        Ok(())
    }
}
