use crate::cubic_chain::CubicChain;
use crate::curve::Curve;
use crate::error::CurveError;
use crate::ordered::Ordered;
use crate::point::Point;

/// The cubic spline with continuous second derivative that is straight at both ends. It may
/// overshoot, even through points that rise.
#[derive(Debug, Clone, PartialEq)]
pub struct NaturalCubic {
    chain: CubicChain,
}

impl NaturalCubic {
    /// Through at least two points.
    ///
    /// # Errors
    /// [`CurveError::TooFewPoints`], [`CurveError::NotFinite`], [`CurveError::XNotIncreasing`],
    /// [`CurveError::Overflow`].
    pub fn new(points: Vec<Point>) -> Result<Self, CurveError> {
        let points = Ordered::new(points)?;
        let secants = points.secants()?;
        let widths: Vec<f64> = points.steps().map(|(a, b)| b.x - a.x).collect();
        let slopes = slopes(&widths, &secants);
        Ok(Self {
            chain: CubicChain::new(points, slopes)?,
        })
    }

    /// The points, in order.
    #[must_use]
    pub fn points(&self) -> &[Point] {
        self.chain.points()
    }

    /// Whether the curve never falls.
    #[must_use]
    pub fn is_non_decreasing(&self) -> bool {
        self.chain
            .cubics()
            .iter()
            .all(|cubic| cubic.is_non_decreasing())
    }
}

/// Slopes from the tridiagonal system of C. de Boor, "A Practical Guide to Splines", chapter IV
/// (equations for free ends), by elimination without pivoting: the system is diagonally dominant.
fn slopes(widths: &[f64], secants: &[f64]) -> Vec<f64> {
    let last = secants.len();
    // Row k: below·s[k−1] + diagonal·s[k] + above·s[k+1] = right.
    let row = |k: usize| {
        if k == 0 {
            (0.0, 2.0, 1.0, 3.0 * secants[0])
        } else if k == last {
            (1.0, 2.0, 0.0, 3.0 * secants[last - 1])
        } else {
            let (before, after) = (widths[k - 1], widths[k]);
            let right = 3.0 * (after * secants[k - 1] + before * secants[k]);
            (after, 2.0 * (before + after), before, right)
        }
    };
    let mut factors = Vec::with_capacity(last + 1);
    let mut rights = Vec::with_capacity(last + 1);
    let (mut factor, mut right) = (0.0, 0.0);
    for k in 0..=last {
        let (below, diagonal, above, wanted) = row(k);
        let pivot = diagonal - below * factor;
        right = (wanted - below * right) / pivot;
        factor = above / pivot;
        factors.push(factor);
        rights.push(right);
    }
    let mut slopes = rights;
    for k in (0..last).rev() {
        slopes[k] -= factors[k] * slopes[k + 1];
    }
    slopes
}

impl Curve for NaturalCubic {
    fn domain(&self) -> (f64, f64) {
        self.chain.domain()
    }

    fn value(&self, x: f64) -> f64 {
        self.chain.value(x)
    }

    fn slope(&self, x: f64) -> f64 {
        self.chain.slope(x)
    }

    fn inverse(&self, y: f64) -> f64 {
        self.chain.inverse(y)
    }
}
