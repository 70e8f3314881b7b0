//! What a receiver makes of control points: reading in, output out.

use evenhand_curve::{CubicBezier, Curve, CurveError, Interpolation, Knots, Point, Power};
use thiserror::Error;

use crate::control_point::ControlPoint;
use crate::interpolation::MapInterpolation;

/// A compiled map as a function of the reading.
#[derive(Clone, Debug, PartialEq)]
pub struct MapCurve {
    joined: Joined,
}

#[derive(Clone, Debug, PartialEq)]
enum Joined {
    Points(Knots),
    Bezier(CubicBezier),
    Power(Power),
}

/// Points that make no map.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum MapCurveError {
    /// They make no curve.
    #[error(transparent)]
    Curve(#[from] CurveError),
    /// A Bézier has four control points, a power two (floor and ceiling).
    #[error("{found} points, where {interpolation} takes {wanted}")]
    Count {
        /// How many there are.
        found: usize,
        /// How many there must be.
        wanted: usize,
        /// The interpolation.
        interpolation: MapInterpolation,
    },
    /// A power without its exponent.
    #[error("a power without an exponent")]
    NoExponent,
}

impl MapCurve {
    /// The curve through points; the two of a power are (floor, 0) and (ceiling, 1).
    ///
    /// # Errors
    /// See [`MapCurveError`].
    pub fn new(
        interpolation: MapInterpolation,
        points: &[ControlPoint],
        exponent: Option<f64>,
    ) -> Result<Self, MapCurveError> {
        let count = |wanted| MapCurveError::Count {
            found: points.len(),
            wanted,
            interpolation,
        };
        let corners: Vec<Point> = points
            .iter()
            .map(|p| Point::new(p.input, p.output))
            .collect();
        let joined = match interpolation.of_points() {
            Some(between) => Joined::Points(Knots::new(corners, between)?),
            None if interpolation == MapInterpolation::Power => {
                let [floor, ceiling] = corners[..] else {
                    return Err(count(2));
                };
                let exponent = exponent.ok_or(MapCurveError::NoExponent)?;
                Joined::Power(Power::new(exponent, floor.x, ceiling.x)?)
            }
            None => {
                let control = corners.try_into().map_err(|_| count(4))?;
                Joined::Bezier(CubicBezier::new(control)?)
            }
        };
        Ok(Self { joined })
    }

    /// Whether the map is made of straight segments.
    #[must_use]
    pub fn is_straight(&self) -> bool {
        matches!(&self.joined, Joined::Points(knots) if knots.interpolation() == Interpolation::Linear)
    }

    /// Whether the map never falls: a Bézier by its handles, points by their curve.
    #[must_use]
    pub fn is_non_decreasing(&self) -> bool {
        match &self.joined {
            Joined::Points(knots) => knots.is_non_decreasing(),
            // One that falls is refused when it is made, and a power rises.
            Joined::Bezier(_) | Joined::Power(_) => true,
        }
    }

    fn curve(&self) -> &dyn Curve {
        match &self.joined {
            Joined::Points(curve) => curve,
            Joined::Bezier(curve) => curve,
            Joined::Power(curve) => curve,
        }
    }
}

impl Curve for MapCurve {
    fn domain(&self) -> (f64, f64) {
        self.curve().domain()
    }

    fn value(&self, x: f64) -> f64 {
        self.curve().value(x)
    }

    fn slope(&self, x: f64) -> f64 {
        self.curve().slope(x)
    }

    fn inverse(&self, y: f64) -> f64 {
        self.curve().inverse(y)
    }

    fn bends(&self) -> Vec<f64> {
        self.curve().bends()
    }
}
