//! Cubics joined at knots: what every cubic spline here is once its slopes are known.

use crate::curve::Curve;
use crate::error::CurveError;
use crate::ordered::Ordered;
use crate::point::Point;
use crate::reach::Reach;
use crate::unit_cubic::{Place, UnitCubic};

/// One cubic for every step between neighbouring points.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct CubicChain {
    points: Ordered,
    slopes: Vec<f64>,
    cubics: Vec<UnitCubic>,
    reach: Reach,
}

impl CubicChain {
    /// From as many slopes as points.
    pub(crate) fn new(points: Ordered, slopes: Vec<f64>) -> Result<Self, CurveError> {
        if slopes.len() != points.points().len() {
            let (points, slopes) = (points.points().len(), slopes.len());
            return Err(CurveError::SlopeCount { points, slopes });
        }
        if let Some(index) = slopes.iter().position(|slope| !slope.is_finite()) {
            return Err(CurveError::SlopeNotFinite { index });
        }
        let cubics: Vec<UnitCubic> = points
            .steps()
            .zip(slopes.windows(2))
            .map(|((a, b), pair)| UnitCubic {
                start: a.y,
                end: b.y,
                start_slope: pair[0] * (b.x - a.x),
                end_slope: pair[1] * (b.x - a.x),
            })
            .collect();
        let reach = Reach::new(points.step(0).0.y, cubics.iter().map(|c| c.maximum()));
        Ok(Self {
            points,
            slopes,
            cubics,
            reach,
        })
    }

    pub(crate) fn points(&self) -> &[Point] {
        self.points.points()
    }

    pub(crate) fn slopes(&self) -> &[f64] {
        &self.slopes
    }

    pub(crate) fn cubics(&self) -> &[UnitCubic] {
        &self.cubics
    }

    fn locate(&self, x: f64) -> (Point, Point, UnitCubic, Place) {
        let index = self.points.step_at(x);
        let (a, b) = self.points.step(index);
        (a, b, self.cubics[index], Place::between(x, a.x, b.x))
    }
}

impl Curve for CubicChain {
    fn domain(&self) -> (f64, f64) {
        self.points.domain()
    }

    fn value(&self, x: f64) -> f64 {
        if x.is_nan() {
            return x;
        }
        let (a, b, cubic, place) = self.locate(self.points.held(x));
        let value = cubic.value(place);
        // Rounding may not carry a rising cubic past its knots.
        if cubic.is_non_decreasing() {
            value.clamp(a.y, b.y)
        } else {
            value
        }
    }

    fn slope(&self, x: f64) -> f64 {
        if x.is_nan() {
            return x;
        }
        if !self.points.covers(x) {
            return 0.0;
        }
        let (a, b, cubic, place) = self.locate(x);
        cubic.slope(place) / (b.x - a.x)
    }

    fn inverse(&self, y: f64) -> f64 {
        self.reach.inverse(y, self.domain(), |step| {
            let (a, b) = self.points.step(step);
            self.cubics[step].first_reaching(y).across(a.x, b.x)
        })
    }
}
