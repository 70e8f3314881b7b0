//! One cubic Bézier segment with free handles, between ends that are fixed or free.

use super::bisection::Vertices;
use super::branch::{BoundedOptimum, Box, Family, OWN_POINTS, best};
use super::ideal::Ideal;
use super::stepped::{descended, exhausted, free_coordinates};
use super::straight::Solved;
use crate::check::LEAST_WIDTH;
use crate::compile_error::CompileError;
use crate::profile::Ends;

/// The control points with the least worst error, with handles between the ends.
///
/// # Errors
/// A grid on which no handles keep the rules.
pub(crate) fn solve(
    ideal: &Ideal,
    bends: &[f64],
    ends: Ends,
    grid: Option<(u32, u32)>,
) -> Result<Solved, CompileError> {
    let BoundedOptimum {
        at, lower_bound, ..
    } = best(&Beziers { ends }, ideal, bends);
    let control = control(&at);
    let vertices = match grid {
        None => control.to_vec(),
        Some(steps) => {
            let free = free_coordinates(4, ends);
            let judge = |points: &[(f64, f64)]| judged(ideal, bends, points);
            let (vertices, _): (Vertices, f64) = exhausted(&control, steps, &free, judge)
                .or_else(|| descended(&control, steps, &free, judge))
                .ok_or(CompileError::NothingOnTheGrid { points: 4 })?;
            vertices
        }
    };
    Ok(Solved {
        vertices,
        lower_bound,
        exact: false,
    })
}

/// The error of a segment; nothing where a handle does not lie between the ends.
fn judged(ideal: &Ideal, bends: &[f64], points: &[(f64, f64)]) -> Option<f64> {
    const DENSE: u32 = 400;
    let control: [(f64, f64); 4] = points.try_into().ok()?;
    let (inputs, outputs) = (control.map(|p| p.0), control.map(|p| p.1));
    let between = |of: [f64; 4]| of[1..3].iter().all(|v| (of[0]..=of[3]).contains(v));
    if !between(inputs) || !between(outputs) || inputs[3] - inputs[0] < LEAST_WIDTH {
        return None;
    }
    let steps = (0..=DENSE).map(|step| f64::from(step) / f64::from(DENSE));
    let along = steps.map(|t| along_both(inputs, outputs, t));
    // Outside of free ends their outputs hold.
    let outer = [(0.0, outputs[0]), (1.0, outputs[3])];
    let corners = bends.iter().map(|x| (*x, value(inputs, outputs, *x)));
    let errors = along.chain(outer).chain(corners);
    Some(
        errors
            .map(|(x, y)| ideal.row(x).error(y))
            .fold(0.0, f64::max),
    )
}

fn along_both(inputs: [f64; 4], outputs: [f64; 4], t: f64) -> (f64, f64) {
    (along(inputs, t), along(outputs, t))
}

/// Inputs and outputs of the four control points; see [`Beziers`].
fn control(at: &[f64; 8]) -> [(f64, f64); 4] {
    let [first_x, last_x, a, b, first_y, last_y, c, d] = *at;
    let least = (first_x + LEAST_WIDTH).min(1.0);
    let (x0, x3) = (first_x, least + last_x * (1.0 - least));
    let (y0, y3) = (first_y, first_y + last_y * (1.0 - first_y));
    let between = |from: f64, to: f64, part: f64| from + part * (to - from);
    [
        (x0, y0),
        (between(x0, x3, a), between(y0, y3, c)),
        (between(x0, x3, b), between(y0, y3, d)),
        (x3, y3),
    ]
}

/// Parameters, all in 0..1: first input, the part of the way to 1 of the last input, then both handles'
/// inputs as parts of the way between these; the same for outputs.
///
/// With handles between the ends neither coordinate ever falls along the segment: on 0..1 its derivative
/// is `a(1−t)² + 2(1−a−b)·t(1−t)·(−1) + b·t²` with a and b in 0..1, whose least value is not below 0
/// because `a + b − 1 ≤ ab ≤ √(ab)`.
struct Beziers {
    ends: Ends,
}

/// A coordinate of the segment at a parameter.
fn along([start, first, second, end]: [f64; 4], t: f64) -> f64 {
    let u = 1.0 - t;
    u * u * (u * start + 3.0 * t * first) + t * t * (3.0 * u * second + t * end)
}

/// The parameter at which an input is reached, by safe Newton steps with halvings in between; the ends'
/// outside of them.
fn reaching(inputs: [f64; 4], x: f64) -> f64 {
    let [start, first, second, end] = inputs;
    if x <= start {
        return 0.0;
    }
    if x >= end {
        return 1.0;
    }
    let (mut low, mut high) = (0.0, 1.0);
    let mut t = (x - start) / (end - start);
    // Where both handles meet the slope in x may vanish, and there the step decides, not the miss.
    for _ in 0..100 {
        let off = along(inputs, t) - x;
        if off < 0.0 {
            low = t;
        } else {
            high = t;
        }
        let u = 1.0 - t;
        let slope = 3.0
            * ((first - start) * u * u + 2.0 * (second - first) * u * t + (end - second) * t * t);
        // Where the slope is no small one, a small miss is a small step.
        if off.abs() < 1e-13 && slope > 0.01 {
            break;
        }
        let next = t - off / slope;
        let next = if next > low && next < high {
            next
        } else {
            0.5 * (low + high)
        };
        let step = (next - t).abs();
        t = next;
        if step <= 1e-13 {
            break;
        }
    }
    t
}

fn value(inputs: [f64; 4], outputs: [f64; 4], x: f64) -> f64 {
    along(outputs, reaching(inputs, x))
}

impl Family<8> for Beziers {
    fn all(&self) -> Box<8> {
        let (mut low, mut high) = ([0.0; 8], [1.0; 8]);
        // An end that is fixed is a parameter that cannot move.
        if self.ends != Ends::Free {
            (high[0], low[1]) = (0.0, 1.0);
        }
        if self.ends == Ends::Fixed {
            (high[4], low[5]) = (0.0, 1.0);
        }
        if self.ends == Ends::Free {
            high[0] = 1.0 - LEAST_WIDTH;
        }
        Box { low, high }
    }

    fn curve(&self, at: &[f64; 8]) -> impl Fn(f64) -> f64 {
        let control = control(at);
        let (inputs, outputs) = (control.map(|p| p.0), control.map(|p| p.1));
        move |x| value(inputs, outputs, x)
    }

    fn points(&self, at: &[f64; 8]) -> impl Iterator<Item = (f64, f64)> {
        let control = control(at);
        let (inputs, outputs) = (control.map(|p| p.0), control.map(|p| p.1));
        (0..=OWN_POINTS).map(move |step| {
            let t = f64::from(step) / f64::from(OWN_POINTS);
            along_both(inputs, outputs, t)
        })
    }

    /// An output falls as a control point moves right (the reading is reached earlier on the segment)
    /// and grows as one moves up, and every control point moves right or up with its parameters.
    fn range(&self, of: &Box<8>) -> impl Fn(f64) -> (f64, f64) {
        let (low, high) = (control(&of.low), control(&of.high));
        let (left, right) = (low.map(|p| p.0), high.map(|p| p.0));
        let (below, above) = (low.map(|p| p.1), high.map(|p| p.1));
        move |x| (value(right, below, x), value(left, above, x))
    }
}
