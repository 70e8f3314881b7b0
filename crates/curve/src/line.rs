//! A straight line from one point to the next.

use crate::chain::Piece;
use crate::point::Point;

/// A straight piece: its ends say all of it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Line;

impl Piece for Line {
    fn value(&self, (a, b): (Point, Point), x: f64) -> f64 {
        between(a, b, x)
    }

    fn slope(&self, (a, b): (Point, Point), _: f64) -> f64 {
        (b.y - a.y) / (b.x - a.x)
    }

    fn first_reaching(&self, (a, b): (Point, Point), y: f64) -> f64 {
        across(a, b, y)
    }

    fn maximum(&self, (a, b): (Point, Point)) -> f64 {
        a.y.max(b.y)
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
