use crate::chain::Chain;
use crate::curve::Curve;
use crate::error::CurveError;
use crate::line::Line;
use crate::point::Point;
use crate::sorted_points::SortedPoints;

/// Straight lines through points of strictly increasing x.
///
/// Value and inverse take a binary search. Where the points rise, the value is non-decreasing to
/// the last bit. The slope is infinite where a step of ordinary height is narrower than numbers can
/// divide.
#[derive(Debug, Clone, PartialEq)]
pub struct Polyline {
    chain: Chain<Line>,
}

impl Polyline {
    /// Through at least two finite points.
    ///
    /// # Errors
    /// [`CurveError::TooFewPoints`], [`CurveError::NotFinite`], [`CurveError::XNotIncreasing`], and
    /// [`CurveError::Overflow`] where a difference of neighbours is not finite.
    pub fn new(points: Vec<Point>) -> Result<Self, CurveError> {
        SortedPoints::new(points).map(Self::through)
    }

    /// The curve on 0..1 that gives back what it is given.
    #[must_use]
    pub fn identity() -> Self {
        Self::through(SortedPoints::unit_diagonal())
    }

    fn through(points: SortedPoints) -> Self {
        let lines = vec![Line; points.points().len() - 1];
        Self {
            chain: Chain::new(points, lines),
        }
    }

    /// The points, in order.
    #[must_use]
    pub fn points(&self) -> &[Point] {
        self.chain.points().points()
    }

    /// Whether no point lies below the one before it.
    #[must_use]
    pub fn is_non_decreasing(&self) -> bool {
        self.chain.points().is_non_decreasing()
    }
}

impl Curve for Polyline {
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

    fn bends(&self) -> Vec<f64> {
        self.points().iter().map(|point| point.x).collect()
    }
}
