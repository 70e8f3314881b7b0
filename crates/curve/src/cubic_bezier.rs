use crate::curve::Curve;
use crate::error::CurveError;
use crate::planar::Planar;
use crate::point::Point;
use crate::unit_cubic::UnitCubic;

/// A cubic Bézier curve read as a function of x.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CubicBezier {
    control: [Point; 4],
    arc: Planar,
}

impl CubicBezier {
    /// From its four control points; the inner ones may not leave the inputs of the ends, so that
    /// the curve never runs backwards in x.
    ///
    /// # Errors
    /// [`CurveError::NotFinite`], [`CurveError::XNotIncreasing`] where the last input is not above
    /// the first, [`CurveError::ControlOutside`], [`CurveError::Overflow`].
    pub fn new(control: [Point; 4]) -> Result<Self, CurveError> {
        if let Some(index) = control.iter().position(|p| !p.is_finite()) {
            return Err(CurveError::NotFinite { index });
        }
        let [first, .., last] = control;
        if last.x <= first.x {
            return Err(CurveError::XNotIncreasing { index: 3 });
        }
        if !(last.x - first.x).is_finite() {
            return Err(CurveError::Overflow { index: 0 });
        }
        if let Some(index) = (1..3).find(|i| !(first.x..=last.x).contains(&control[*i].x)) {
            return Err(CurveError::ControlOutside { index });
        }
        let arc = Planar {
            x: UnitCubic::from_bezier(control.map(|p| p.x)),
            y: UnitCubic::from_bezier(control.map(|p| p.y)),
        };
        Ok(Self { control, arc })
    }

    /// The four control points.
    #[must_use]
    pub fn control_points(&self) -> [Point; 4] {
        self.control
    }
}

impl Curve for CubicBezier {
    fn domain(&self) -> (f64, f64) {
        (self.control[0].x, self.control[3].x)
    }

    fn value(&self, x: f64) -> f64 {
        self.arc.value(x)
    }

    fn slope(&self, x: f64) -> f64 {
        let (low, high) = self.domain();
        if x < low || x > high {
            0.0
        } else {
            self.arc.slope(x)
        }
    }

    fn inverse(&self, y: f64) -> f64 {
        let (low, high) = self.domain();
        if y.is_nan() {
            y
        } else if y <= self.control[0].y {
            low
        } else if y > self.arc.y.maximum() {
            high
        } else {
            self.arc.inverse(y)
        }
    }
}
