//! What a map is predicted to do.

use evenhand_curve::Curve;
use evenhand_receiver::{ControlPoint, MapCurve, MapInterpolation};

/// An output measured at a known force.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Check {
    /// Force along the stylus, gf.
    pub force_gf: f64,
    /// Output, 0..1.
    pub output: f64,
}

/// A map with the response it was compiled for.
pub struct MapPrediction<'a> {
    /// Force in gf → reading.
    pub response: &'a dyn Curve,
    /// Least and greatest reading that the response may have at a force, at the confidence below.
    pub band: &'a dyn Fn(f64) -> (f64, f64),
    /// Standard deviation of a reading.
    pub reading_noise: f64,
    /// Half of the step in which outputs are told, fraction of full scale; 0 where they are exact.
    pub output_rounding: f64,
    /// Probability that an interval should hold.
    pub confidence: f64,
    /// The map's points.
    pub points: &'a [ControlPoint],
    /// What joins them.
    pub interpolation: MapInterpolation,
    /// Of a power.
    pub exponent: Option<f64>,
    /// The map.
    pub map: &'a MapCurve,
    /// What is applied to readings before it.
    pub before: Option<&'a MapCurve>,
    /// What is applied to outputs after it.
    pub after: Option<&'a MapCurve>,
}

/// Standard uncertainty of a force placed anew: a fixed part in gf and a part of the force (common
/// practice, no source).
const FORCE_FIXED_GF: f64 = 0.4;
const FORCE_PART: f64 = 0.005;

impl MapPrediction<'_> {
    /// The output that a map makes of a reading, within the chain.
    pub(crate) fn through(&self, map: &dyn Fn(f64) -> f64, reading: f64) -> f64 {
        let reading = self.before.map_or(reading, |curve| curve.value(reading));
        let output = map(reading).clamp(0.0, 1.0);
        self.after.map_or(output, |curve| curve.value(output))
    }

    pub(crate) fn force_sd(force_gf: f64) -> f64 {
        FORCE_FIXED_GF.hypot(FORCE_PART * force_gf)
    }

    /// Standard deviation of a reading at a force, as far as it differs from the response.
    pub(crate) fn reading_sd(&self, force_gf: f64, quantile: f64) -> f64 {
        let (low, high) = (self.band)(force_gf);
        let response = 0.5 * (high - low).max(0.0) / quantile;
        let sd = Self::force_sd(force_gf);
        let placed =
            0.5 * (self.response.value(force_gf + sd) - self.response.value(force_gf - sd)).abs();
        (response.powi(2) + placed.powi(2) + self.reading_noise.powi(2)).sqrt()
    }
}
