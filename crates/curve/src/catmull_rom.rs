use crate::curve::Curve;
use crate::error::CurveError;
use crate::ordered::Ordered;
use crate::planar::Planar;
use crate::point::Point;
use crate::reach::Reach;
use crate::unit_cubic::UnitCubic;

/// The uniform Catmull–Rom spline in the plane, read as a function of x.
///
/// Both coordinates are cubics of one parameter whose slope at a point is half the difference of its
/// neighbours (E. Catmull and R. Rom, 1974); at both ends the missing neighbour is the end mirrored
/// in itself, so the slope there is half the outer step. It may overshoot.
///
/// The `splines` crate interpolates y alone over keys in x, which is a different curve where points
/// are unevenly spaced; a receiver that draws through points in the plane does it as here.
#[derive(Debug, Clone, PartialEq)]
pub struct CatmullRom {
    points: Ordered,
    arcs: Vec<Planar>,
    reach: Reach,
}

impl CatmullRom {
    /// Through at least two points.
    ///
    /// # Errors
    /// [`CurveError::TooFewPoints`], [`CurveError::NotFinite`], [`CurveError::XNotIncreasing`],
    /// [`CurveError::Overflow`], and [`CurveError::FoldsBack`] where the spacing is so uneven that
    /// the curve runs backwards in x.
    pub fn new(points: Vec<Point>) -> Result<Self, CurveError> {
        let points = Ordered::new(points)?;
        let all = points.points();
        let tangent = |index: usize| {
            let before = all[index.saturating_sub(1)];
            let after = all[(index + 1).min(all.len() - 1)];
            Point::new(0.5 * (after.x - before.x), 0.5 * (after.y - before.y))
        };
        let mut arcs = Vec::with_capacity(all.len() - 1);
        for (index, (a, b)) in points.steps().enumerate() {
            let (from, to) = (tangent(index), tangent(index + 1));
            let x = UnitCubic {
                start: a.x,
                end: b.x,
                start_slope: from.x,
                end_slope: to.x,
            };
            let y = UnitCubic {
                start: a.y,
                end: b.y,
                start_slope: from.y,
                end_slope: to.y,
            };
            if !x.is_non_decreasing() {
                return Err(CurveError::FoldsBack { index });
            }
            arcs.push(Planar { x, y });
        }
        let reach = Reach::new(points.step(0).0.y, arcs.iter().map(|arc| arc.y.maximum()));
        Ok(Self {
            points,
            arcs,
            reach,
        })
    }

    /// The points, in order.
    #[must_use]
    pub fn points(&self) -> &[Point] {
        self.points.points()
    }

    /// Whether the curve never falls.
    #[must_use]
    pub fn is_non_decreasing(&self) -> bool {
        self.arcs.iter().all(|arc| arc.y.is_non_decreasing())
    }
}

impl Curve for CatmullRom {
    fn domain(&self) -> (f64, f64) {
        self.points.domain()
    }

    fn value(&self, x: f64) -> f64 {
        let x = self.points.held(x);
        self.arcs[self.points.step_at(x)].value(x)
    }

    fn slope(&self, x: f64) -> f64 {
        if x.is_nan() {
            return x;
        }
        if !self.points.covers(x) {
            return 0.0;
        }
        self.arcs[self.points.step_at(x)].slope(x)
    }

    fn inverse(&self, y: f64) -> f64 {
        self.reach
            .inverse(y, self.domain(), |step| self.arcs[step].inverse(y))
    }
}
