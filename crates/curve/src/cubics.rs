//! The cubic curves through points: which cubics join them.

use crate::chain::{Chain, Piece};
use crate::error::CurveError;
use crate::planar::Planar;
use crate::point::Point;
use crate::sorted_points::SortedPoints;
use crate::unit_cubic::{Place, UnitCubic};

/// A cubic over every step that turns only where the points do: slopes by Fritsch and Butland.
pub(crate) fn monotone(points: SortedPoints) -> Result<Chain<UnitCubic>, CurveError> {
    with_slopes(points, fritsch_butland)
}

/// The cubic spline with continuous second derivative that is straight at both ends. It may overshoot,
/// even through points that rise.
pub(crate) fn natural(points: SortedPoints) -> Result<Chain<UnitCubic>, CurveError> {
    with_slopes(points, free_ends)
}

/// The uniform Catmull–Rom spline in the plane, read as a function of x.
///
/// Both coordinates are cubics of one parameter whose slope at a point is half the difference of its
/// neighbours (E. Catmull and R. Rom, 1974); at both ends the missing neighbour is the end mirrored
/// in itself, so the slope there is half the outer step. It may overshoot; where the spacing is so
/// uneven that it runs backwards in x it is [`CurveError::FoldsBack`].
///
/// The `splines` crate interpolates y alone over keys in x, which is a different curve where points
/// are unevenly spaced; a receiver that draws through points in the plane does it as here.
pub(crate) fn catmull_rom(points: SortedPoints) -> Result<Chain<Planar>, CurveError> {
    let all = points.points();
    let tangent = |index: usize| {
        let before = all[index.saturating_sub(1)];
        let after = all[(index + 1).min(all.len() - 1)];
        Point::new(0.5 * (after.x - before.x), 0.5 * (after.y - before.y))
    };
    let arc = |(index, (a, b)): (usize, (Point, Point))| {
        let (from, to) = (tangent(index), tangent(index + 1));
        let cubic = |coordinate: fn(Point) -> f64| UnitCubic {
            start: coordinate(a),
            end: coordinate(b),
            start_slope: coordinate(from),
            end_slope: coordinate(to),
        };
        let (x, y) = (cubic(|p| p.x), cubic(|p| p.y));
        if x.is_non_decreasing() {
            Ok(Planar { x, y })
        } else {
            Err(CurveError::FoldsBack { index })
        }
    };
    let arcs = points
        .steps()
        .enumerate()
        .map(arc)
        .collect::<Result<_, _>>()?;
    Ok(Chain::new(points, arcs))
}

/// Cubics with the slopes that a rule gives to the widths and secant slopes of all steps, one slope for
/// each point.
fn with_slopes(
    points: SortedPoints,
    rule: impl Fn(&[f64], &[f64]) -> Vec<f64>,
) -> Result<Chain<UnitCubic>, CurveError> {
    let widths: Vec<f64> = points.steps().map(|(a, b)| b.x - a.x).collect();
    let secants: Vec<f64> = points
        .steps()
        .zip(&widths)
        .map(|((a, b), width)| (b.y - a.y) / width)
        .collect();
    if let Some(index) = secants.iter().position(|secant| !secant.is_finite()) {
        return Err(CurveError::Overflow { index });
    }
    let slopes = rule(&widths, &secants);
    if let Some(index) = slopes.iter().position(|slope| !slope.is_finite()) {
        return Err(CurveError::SlopeNotFinite { index });
    }
    let cubics = points
        .steps()
        .zip(slopes.windows(2))
        .map(|((a, b), pair)| UnitCubic {
            start: a.y,
            end: b.y,
            start_slope: pair[0] * (b.x - a.x),
            end_slope: pair[1] * (b.x - a.x),
        })
        .collect();
    Ok(Chain::new(points, cubics))
}

/// Weighted harmonic mean of the neighbouring secants (F. N. Fritsch and J. Butland, SIAM J. Sci. Stat.
/// Comput. 5, 1984), with the one-sided three-point rule limited in shape at the ends; what is widely
/// called PCHIP.
fn fritsch_butland(widths: &[f64], secants: &[f64]) -> Vec<f64> {
    let last = secants.len() - 1;
    if last == 0 {
        return vec![secants[0]; 2];
    }
    let inner = |k: usize| {
        // Inner point k + 1 lies between steps k and k + 1.
        let (before, after) = (secants[k], secants[k + 1]);
        if before * after <= 0.0 {
            return 0.0;
        }
        let (w1, w2) = (
            2.0 * widths[k + 1] + widths[k],
            widths[k + 1] + 2.0 * widths[k],
        );
        (w1 + w2) / (w1 / before + w2 / after)
    };
    let end = |outer: usize, next: usize| {
        three_point_end(widths[outer], widths[next], secants[outer], secants[next])
    };
    std::iter::once(end(0, 1))
        .chain((0..last).map(inner))
        .chain([end(last, last - 1)])
        .collect()
}

/// The end slope of the parabola through three points, kept to the sign of the outer secant and, where
/// the secants turn, to three times its size.
fn three_point_end(near: f64, far: f64, secant: f64, next: f64) -> f64 {
    let slope = ((2.0 * near + far) * secant - near * next) / (near + far);
    if slope * secant <= 0.0 {
        0.0
    } else if secant * next <= 0.0 && slope.abs() > 3.0 * secant.abs() {
        3.0 * secant
    } else {
        slope
    }
}

/// Slopes of the natural spline from the tridiagonal system of C. de Boor, "A Practical Guide to
/// Splines", chapter IV (equations for free ends), by elimination without pivoting: the system is
/// diagonally dominant.
fn free_ends(widths: &[f64], secants: &[f64]) -> Vec<f64> {
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
    let mut slopes = Vec::with_capacity(last + 1);
    let (mut factor, mut right) = (0.0, 0.0);
    for k in 0..=last {
        let (below, diagonal, above, wanted) = row(k);
        let pivot = diagonal - below * factor;
        right = (wanted - below * right) / pivot;
        factor = above / pivot;
        factors.push(factor);
        slopes.push(right);
    }
    for k in (0..last).rev() {
        slopes[k] -= factors[k] * slopes[k + 1];
    }
    slopes
}

impl Piece for UnitCubic {
    fn value(&self, (a, b): (Point, Point), x: f64) -> f64 {
        let value = UnitCubic::value(*self, Place::between(x, a.x, b.x));
        // Rounding may not carry a rising cubic past its knots.
        if self.is_non_decreasing() {
            value.clamp(a.y, b.y)
        } else {
            value
        }
    }

    fn slope(&self, (a, b): (Point, Point), x: f64) -> f64 {
        UnitCubic::slope(*self, Place::between(x, a.x, b.x)) / (b.x - a.x)
    }

    fn first_reaching(&self, (a, b): (Point, Point), y: f64) -> f64 {
        UnitCubic::first_reaching(*self, y).across(a.x, b.x)
    }

    fn maximum(&self, _: (Point, Point)) -> f64 {
        UnitCubic::maximum(*self)
    }
}

impl Piece for Planar {
    fn value(&self, _: (Point, Point), x: f64) -> f64 {
        Planar::value(*self, x)
    }

    fn slope(&self, _: (Point, Point), x: f64) -> f64 {
        Planar::slope(*self, x)
    }

    fn first_reaching(&self, _: (Point, Point), y: f64) -> f64 {
        self.inverse(y)
    }

    fn maximum(&self, _: (Point, Point)) -> f64 {
        self.y.maximum()
    }
}
