use crate::curve::Curve;
use crate::error::CurveError;
use crate::ordered::Ordered;
use crate::point::Point;
use crate::reach::Reach;

/// Straight lines through points of strictly increasing x.
///
/// Value and inverse take a binary search. Where the points rise, the value is non-decreasing to
/// the last bit.
#[derive(Debug, Clone, PartialEq)]
pub struct Polyline {
    points: Ordered,
    reach: Reach,
}

impl Polyline {
    /// Through at least two finite points.
    ///
    /// # Errors
    /// [`CurveError::TooFewPoints`], [`CurveError::NotFinite`], [`CurveError::XNotIncreasing`], and
    /// [`CurveError::Overflow`] where a difference of neighbours is not finite.
    pub fn new(points: Vec<Point>) -> Result<Self, CurveError> {
        let points = Ordered::new(points)?;
        let reach = Reach::new(
            points.step(0).0.y,
            points.steps().map(|(a, b)| a.y.max(b.y)),
        );
        Ok(Self { points, reach })
    }

    /// The curve on 0..1 that gives back what it is given.
    #[must_use]
    pub fn identity() -> Self {
        let points = Ordered::unit_diagonal();
        Self {
            points,
            reach: Reach::new(0.0, [1.0].into_iter()),
        }
    }

    /// The points, in order.
    #[must_use]
    pub fn points(&self) -> &[Point] {
        self.points.points()
    }

    /// Whether no point lies below the one before it.
    #[must_use]
    pub fn is_non_decreasing(&self) -> bool {
        self.points.is_non_decreasing()
    }
}

impl Curve for Polyline {
    fn domain(&self) -> (f64, f64) {
        self.points.domain()
    }

    fn value(&self, x: f64) -> f64 {
        let x = self.points.held(x);
        let (a, b) = self.points.step(self.points.step_at(x));
        between(a, b, x)
    }

    /// Infinite where a step of ordinary height is narrower than numbers can divide.
    fn slope(&self, x: f64) -> f64 {
        if x.is_nan() {
            return x;
        }
        if !self.points.covers(x) {
            return 0.0;
        }
        let (a, b) = self.points.step(self.points.step_at(x));
        (b.y - a.y) / (b.x - a.x)
    }

    fn inverse(&self, y: f64) -> f64 {
        self.reach.inverse(y, self.domain(), |step| {
            let (a, b) = self.points.step(step);
            across(a, b, y)
        })
    }
}

/// The ordinate at `x` on the line from `a` to `b`, exact at both ends and never beyond them.
pub(crate) fn between(a: Point, b: Point, x: f64) -> f64 {
    if x == b.x {
        return b.y;
    }
    let share = (x - a.x) / (b.x - a.x);
    (a.y + share * (b.y - a.y)).clamp(a.y.min(b.y), a.y.max(b.y))
}

/// The abscissa at `y` on the line from `a` up to `b`, exact at both ends and never beyond them.
pub(crate) fn across(a: Point, b: Point, y: f64) -> f64 {
    if y >= b.y {
        return b.x;
    }
    let share = (y - a.y) / (b.y - a.y);
    (a.x + share * (b.x - a.x)).clamp(a.x, b.x)
}
