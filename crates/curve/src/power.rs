use crate::curve::Curve;
use crate::error::CurveError;

/// A power between a floor and a ceiling: `((x − floor) / (ceiling − floor)) ^ exponent`, 0 below the
/// floor and 1 above the ceiling. Its domain is 0..1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Power {
    exponent: f64,
    floor: f64,
    ceiling: f64,
}

impl Power {
    /// # Errors
    /// [`CurveError::BadExponent`] and [`CurveError::BadRange`].
    pub fn new(exponent: f64, floor: f64, ceiling: f64) -> Result<Self, CurveError> {
        if !(exponent.is_finite() && exponent > 0.0) {
            return Err(CurveError::BadExponent { exponent });
        }
        if !(floor.is_finite() && ceiling.is_finite() && floor < ceiling) {
            return Err(CurveError::BadRange { floor, ceiling });
        }
        Ok(Self {
            exponent,
            floor,
            ceiling,
        })
    }

    fn part(&self, x: f64) -> f64 {
        ((x - self.floor) / (self.ceiling - self.floor)).clamp(0.0, 1.0)
    }
}

impl Curve for Power {
    fn domain(&self) -> (f64, f64) {
        (0.0, 1.0)
    }

    fn value(&self, x: f64) -> f64 {
        self.part(x.clamp(0.0, 1.0)).powf(self.exponent)
    }

    fn slope(&self, x: f64) -> f64 {
        if x.is_nan() {
            return x;
        }
        if !(0.0..=1.0).contains(&x) || x < self.floor || x >= self.ceiling {
            return 0.0;
        }
        self.exponent * self.part(x).powf(self.exponent - 1.0) / (self.ceiling - self.floor)
    }

    fn inverse(&self, y: f64) -> f64 {
        if y.is_nan() {
            return y;
        }
        if y <= self.value(0.0) {
            return 0.0;
        }
        let part = y.min(1.0).powf(1.0 / self.exponent);
        (self.floor + part * (self.ceiling - self.floor)).clamp(0.0, 1.0)
    }

    fn bends(&self) -> Vec<f64> {
        vec![self.floor, self.ceiling]
    }
}
