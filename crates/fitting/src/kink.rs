//! A corner in a shape: from one reading on it rises by a factor more, or less, than it would.
//!
//! A smooth shape S is followed by two straight lines through 0, a corner and 1: `T(s) = (s + (r − 1)(s − a)₊) / D` with
//! `D = 1 + (r − 1)(1 − a)`. The corner lies where S reaches `a`; before it slopes are divided by D, after it multiplied
//! by `r / D`, so that the logarithm of the factor r is a jump of the log-slope.

use crate::coefficients::{KINK, ShapeAt};

/// Logarithms of factors beyond this are held: `exp` must stay finite whatever a solver tries.
const LIMIT: f64 = 12.0;

/// A corner ready to be applied.
#[derive(Clone, Copy)]
pub(crate) struct Kink {
    /// Where the smooth shape is at the corner.
    at: f64,
    /// Slope after the corner over slope before it.
    factor: f64,
    whole: f64,
}

impl Kink {
    pub(crate) fn new(at: f64, log_factor: f64) -> Self {
        let factor = log_factor.clamp(-LIMIT, LIMIT).exp();
        Self {
            at,
            factor,
            whole: 1.0 + (factor - 1.0) * (1.0 - at),
        }
    }

    pub(crate) fn value(&self, smooth: f64) -> f64 {
        (smooth + (self.factor - 1.0) * (smooth - self.at).max(0.0)) / self.whole
    }

    /// The shape with the corner, from the smooth one.
    pub(crate) fn applied(&self, smooth: &ShapeAt) -> ShapeAt {
        let past = (smooth.value - self.at).max(0.0);
        let value = self.value(smooth.value);
        let slope = if past > 0.0 { self.factor } else { 1.0 } / self.whole;
        let mut gradient = smooth.gradient.map(|g| slope * g);
        gradient[KINK] = self.factor * (past - value * (1.0 - self.at)) / self.whole;
        ShapeAt {
            value,
            slope: slope * smooth.slope,
            gradient,
        }
    }
}
