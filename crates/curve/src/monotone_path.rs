use crate::curve::Curve;
use crate::error::CurveError;
use crate::line::{across, between};
use crate::point::Point;
use crate::simplify;
use crate::sorted_points;

/// Straight lines through points that never fall in x nor in y.
///
/// Repeated x is a vertical step, repeated y is level. So a relation between two quantities that
/// both rise with a third one (a reading and an output that both rise with force) is held whole,
/// even where neither is a function of the other.
///
/// At a vertical step [`value`](Curve::value) is its middle, [`slope`](Curve::slope) is infinite,
/// and [`inverse`](Curve::inverse) of every y on it is its x.
#[derive(Debug, Clone, PartialEq)]
pub struct MonotonePath {
    points: Vec<Point>,
    first: Point,
    last: Point,
}

impl MonotonePath {
    /// Through at least two finite points, non-decreasing in both coordinates.
    ///
    /// # Errors
    /// [`CurveError::TooFewPoints`], [`CurveError::NotFinite`], [`CurveError::XDecreases`],
    /// [`CurveError::YDecreases`], and [`CurveError::Overflow`] where a difference of neighbours
    /// is not finite.
    pub fn new(points: Vec<Point>) -> Result<Self, CurveError> {
        let (first, last) = sorted_points::ends(&points)?;
        for (index, pair) in points.windows(2).enumerate() {
            let (a, b) = (pair[0], pair[1]);
            if b.x < a.x {
                return Err(CurveError::XDecreases { index: index + 1 });
            }
            if b.y < a.y {
                return Err(CurveError::YDecreases { index: index + 1 });
            }
            if !(b.x - a.x).is_finite() || !(b.y - a.y).is_finite() {
                return Err(CurveError::Overflow { index });
            }
        }
        Ok(Self {
            points,
            first,
            last,
        })
    }

    /// The points, in order.
    #[must_use]
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// Least and greatest value the path takes at `x`: twice the same where it is a function, the
    /// foot and the top of a vertical step. Beyond the domain the value of the end, twice; NaN
    /// gives NaN.
    #[must_use]
    pub fn band(&self, x: f64) -> (f64, f64) {
        if x < self.first.x {
            return (self.first.y, self.first.y);
        }
        if x > self.last.x {
            return (self.last.y, self.last.y);
        }
        if x.is_nan() {
            return (x, x);
        }
        let foot = self.points.partition_point(|p| p.x < x);
        let beyond = self.points.partition_point(|p| p.x <= x);
        if foot < beyond {
            (self.points[foot].y, self.points[beyond - 1].y)
        } else {
            // Between two points: the ends of the domain were met above.
            let y = between(self.points[foot - 1], self.points[foot], x);
            (y, y)
        }
    }

    /// A path through some of the points that stays within `tolerance` (in y) of this one wherever
    /// it is a function, up to rounding. The ends and the foot and top of every vertical step
    /// are kept.
    ///
    /// One greedy pass, in time proportional to the number of points: not always the fewest
    /// points possible. A tolerance of 0, below 0 or NaN drops only points that lie exactly on the
    /// line between their neighbours.
    #[must_use]
    pub fn simplified(&self, tolerance: f64) -> Self {
        Self {
            points: simplify::simplified(&self.points, tolerance.max(0.0)),
            first: self.first,
            last: self.last,
        }
    }
}

impl Curve for MonotonePath {
    fn domain(&self) -> (f64, f64) {
        (self.first.x, self.last.x)
    }

    fn value(&self, x: f64) -> f64 {
        let (least, most) = self.band(x);
        0.5 * least + 0.5 * most
    }

    fn slope(&self, x: f64) -> f64 {
        if x.is_nan() {
            return x;
        }
        if x < self.first.x || x > self.last.x {
            return 0.0;
        }
        let foot = self.points.partition_point(|p| p.x < x);
        let beyond = self.points.partition_point(|p| p.x <= x);
        if beyond - foot > 1 && self.points[foot].y < self.points[beyond - 1].y {
            return f64::INFINITY;
        }
        // The piece to the right, or the one to the left at the upper end.
        let (a, b) = if beyond < self.points.len() {
            (self.points[beyond.max(1) - 1], self.points[beyond])
        } else {
            (self.points[foot.max(1) - 1], self.points[foot])
        };
        if b.x > a.x {
            (b.y - a.y) / (b.x - a.x)
        } else {
            0.0
        }
    }

    fn inverse(&self, y: f64) -> f64 {
        if y.is_nan() {
            return y;
        }
        let reaching = self.points.partition_point(|p| p.y < y);
        if reaching == 0 {
            self.first.x
        } else if reaching == self.points.len() {
            self.last.x
        } else {
            across(self.points[reaching - 1], self.points[reaching], y)
        }
    }
}
