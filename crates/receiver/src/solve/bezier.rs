//! One cubic Bézier segment from (0, 0) to (1, 1) with free handles.

use super::branch::{Best, Box, Family, OWN_POINTS, best};
use super::ideal::Ideal;

/// The handles with the least worst error.
pub(crate) struct BezierFound {
    pub(crate) handles: [(f64, f64); 2],
    pub(crate) lower_bound: f64,
}

pub(crate) fn solve(ideal: &Ideal, bends: &[f64]) -> BezierFound {
    let Best {
        at, lower_bound, ..
    } = best(&Beziers, ideal, bends);
    BezierFound {
        handles: [(at[0], at[1]), (at[2], at[3])],
        lower_bound,
    }
}

/// Parameters: input and output of the first handle, then of the second.
///
/// With all four in 0..1 neither coordinate ever falls along the segment: its derivative is
/// `a(1−t)² + 2(1−a−b)·t(1−t)·(−1) + b·t²` with a and b in 0..1, whose least value is not below 0 because
/// `a + b − 1 ≤ ab ≤ √(ab)`.
struct Beziers;

/// A coordinate of the segment at a parameter.
fn along(first: f64, second: f64, t: f64) -> f64 {
    let u = 1.0 - t;
    t * (3.0 * u * (first * u + second * t) + t * t)
}

/// The parameter at which an input is reached; a few safe Newton steps and halvings in between.
fn reaching(first: f64, second: f64, x: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    let mut t = x;
    for _ in 0..60 {
        let off = along(first, second, t) - x;
        if off.abs() < 1e-13 {
            return t;
        }
        if off < 0.0 {
            low = t;
        } else {
            high = t;
        }
        let u = 1.0 - t;
        let slope = 3.0 * (first * u * u + 2.0 * (second - first) * u * t + (1.0 - second) * t * t);
        let next = t - off / slope;
        t = if next > low && next < high {
            next
        } else {
            0.5 * (low + high)
        };
    }
    t
}

impl Family<4> for Beziers {
    fn all(&self) -> Box<4> {
        Box {
            low: [0.0; 4],
            high: [1.0; 4],
        }
    }

    fn value(&self, at: &[f64; 4], x: f64) -> f64 {
        along(at[1], at[3], reaching(at[0], at[2], x))
    }

    fn points(&self, at: &[f64; 4]) -> impl Iterator<Item = (f64, f64)> {
        (0..=OWN_POINTS).map(|step| {
            let t = f64::from(step) / f64::from(OWN_POINTS);
            (along(at[0], at[2], t), along(at[1], at[3], t))
        })
    }

    /// An output falls as a handle moves right (the reading is reached earlier on the segment) and grows
    /// as one moves up.
    fn range(&self, of: &Box<4>, x: f64) -> (f64, f64) {
        let earliest = reaching(of.high[0], of.high[2], x);
        let latest = reaching(of.low[0], of.low[2], x);
        (
            along(of.low[1], of.low[3], earliest),
            along(of.high[1], of.high[3], latest),
        )
    }
}
