//! Points joined piece by piece: what every curve through points is.

use crate::curve::Curve;
use crate::point::Point;
use crate::sorted_points::SortedPoints;

/// What joins a point to the next. `ends` are those two points; x lies between theirs.
pub(crate) trait Piece {
    /// The ordinate at `x`.
    fn value(&self, ends: (Point, Point), x: f64) -> f64;

    /// The derivative at `x`.
    fn slope(&self, ends: (Point, Point), x: f64) -> f64;

    /// The least x with a value of at least `y`, which is above the start and not above the maximum.
    fn first_reaching(&self, ends: (Point, Point), y: f64) -> f64;

    /// The highest value.
    fn maximum(&self, ends: (Point, Point)) -> f64;
}

/// Sorted points and one piece for every step between neighbours.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Chain<P> {
    points: SortedPoints,
    pieces: Vec<P>,
    /// The highest value up to and with each step, so that the first step to reach a level is found
    /// by binary search whether or not the curve falls in between.
    running_max: Vec<f64>,
}

impl<P: Piece> Chain<P> {
    /// From as many pieces as there are steps.
    pub(crate) fn new(points: SortedPoints, pieces: Vec<P>) -> Self {
        let running_max = points
            .steps()
            .zip(&pieces)
            .scan(points.first().y, |so_far, (ends, piece)| {
                *so_far = so_far.max(piece.maximum(ends));
                Some(*so_far)
            })
            .collect();
        Self {
            points,
            pieces,
            running_max,
        }
    }

    pub(crate) fn points(&self) -> &SortedPoints {
        &self.points
    }

    pub(crate) fn pieces(&self) -> &[P] {
        &self.pieces
    }

    fn at(&self, x: f64) -> (&P, (Point, Point)) {
        let step = self.points.step_at(x);
        (&self.pieces[step], self.points.step(step))
    }
}

impl<P: Piece> Curve for Chain<P> {
    fn domain(&self) -> (f64, f64) {
        (self.points.first().x, self.points.last().x)
    }

    fn value(&self, x: f64) -> f64 {
        if x.is_nan() {
            return x;
        }
        let (low, high) = self.domain();
        let x = x.clamp(low, high);
        let (piece, ends) = self.at(x);
        piece.value(ends, x)
    }

    fn slope(&self, x: f64) -> f64 {
        if x.is_nan() {
            return x;
        }
        let (low, high) = self.domain();
        if x < low || x > high {
            return 0.0;
        }
        let (piece, ends) = self.at(x);
        piece.slope(ends, x)
    }

    fn inverse(&self, y: f64) -> f64 {
        if y.is_nan() {
            return y;
        }
        let (low, high) = self.domain();
        if y <= self.points.first().y {
            return low;
        }
        let step = self.running_max.partition_point(|&highest| highest < y);
        match self.pieces.get(step) {
            Some(piece) => piece.first_reaching(self.points.step(step), y),
            None => high,
        }
    }
}
