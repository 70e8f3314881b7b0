//! Points in strictly increasing order of x: what every interpolating curve starts from.

use crate::error::CurveError;
use crate::point::Point;

/// At least two finite points, x strictly increasing, all steps finite.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct SortedPoints {
    points: Vec<Point>,
    first: Point,
    last: Point,
}

impl SortedPoints {
    pub(crate) fn new(points: Vec<Point>) -> Result<Self, CurveError> {
        let (first, last) = ends(&points)?;
        for (index, pair) in points.windows(2).enumerate() {
            let (a, b) = (pair[0], pair[1]);
            if b.x <= a.x {
                return Err(CurveError::XNotIncreasing { index: index + 1 });
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

    /// From (0, 0) to (1, 1).
    pub(crate) fn unit_diagonal() -> Self {
        let (first, last) = (Point::new(0.0, 0.0), Point::new(1.0, 1.0));
        Self {
            points: vec![first, last],
            first,
            last,
        }
    }

    pub(crate) fn points(&self) -> &[Point] {
        &self.points
    }

    pub(crate) fn first(&self) -> Point {
        self.first
    }

    pub(crate) fn last(&self) -> Point {
        self.last
    }

    /// The step that holds `x`, by its lower point; a knot belongs to the step on its right.
    pub(crate) fn step_at(&self, x: f64) -> usize {
        self.points
            .partition_point(|p| p.x <= x)
            .saturating_sub(1)
            .min(self.points.len() - 2)
    }

    /// Both ends of a step.
    pub(crate) fn step(&self, index: usize) -> (Point, Point) {
        (self.points[index], self.points[index + 1])
    }

    pub(crate) fn steps(&self) -> impl Iterator<Item = (Point, Point)> {
        self.points.windows(2).map(|pair| (pair[0], pair[1]))
    }

    pub(crate) fn is_non_decreasing(&self) -> bool {
        self.steps().all(|(a, b)| a.y <= b.y)
    }
}

/// First and last point of at least two finite ones.
pub(crate) fn ends(points: &[Point]) -> Result<(Point, Point), CurveError> {
    if let Some(index) = points.iter().position(|p| !p.is_finite()) {
        return Err(CurveError::NotFinite { index });
    }
    match points {
        [first, .., last] => Ok((*first, *last)),
        _ => Err(CurveError::TooFewPoints {
            found: points.len(),
            needed: 2,
        }),
    }
}
