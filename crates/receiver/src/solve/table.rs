//! Outputs at evenly spaced readings, with the least worst error.
//!
//! With the readings given, "is there a table within E of the ideal map?" is a chain of small linear
//! programs: the outputs that entry i + 1 may have are those for which entry i has one of its own, and
//! both keep every corner of the tube between them. That set is an interval, found by clipping a
//! polygon, so going from the first entry to the last answers the question exactly.

use super::bisection::Vertices;
use super::ideal::Ideal;
use super::straight::Solved;
use crate::compile_error::CompileError;
use crate::profile::Ends;

/// The search ends when proof and answer are this near.
const CLOSE: f64 = 1e-11;
/// What floating point may add to a side that is kept exactly.
const ROUNDING: f64 = 1e-13;

/// A condition on neighbouring entries: `least ≤ (1 − part)·left + part·right ≤ most`, apart from the
/// allowed error.
#[derive(Clone, Copy)]
struct Corner {
    part: f64,
    least: f64,
    most: f64,
}

struct Entries {
    /// Corners of the ideal map between entry i and the next, both entries' own readings included.
    corners: Vec<Vec<Corner>>,
    ends: Ends,
}

pub(crate) fn solve(ideal: &Ideal, entries: usize, ends: Ends) -> Result<Solved, CompileError> {
    let last = (entries - 1) as f64;
    let reading = |index: usize| index as f64 / last;
    let mut spaced = ideal.clone();
    for index in 0..entries {
        spaced.insert(reading(index));
    }
    let rows = spaced.rows();
    let corners = (0..entries - 1)
        .map(|index| {
            let (from, to) = (reading(index), reading(index + 1));
            let begin = rows.partition_point(|row| row.x < from);
            let within = rows[begin..].iter().take_while(|row| row.x <= to);
            within
                .map(|row| Corner {
                    part: ((row.x - from) / (to - from)).clamp(0.0, 1.0),
                    // The error counts against the whole of a vertical step.
                    least: row.most,
                    most: row.least,
                })
                .collect()
        })
        .collect();
    let table = Entries { corners, ends };
    let (mut low, mut high) = (0.0, 1.0);
    if table.reach(0.0).is_some() {
        high = 0.0;
    }
    while high - low > CLOSE {
        let middle = 0.5 * (low + high);
        if table.reach(middle).is_some() {
            high = middle;
        } else {
            low = middle;
        }
    }
    let outputs = table
        .choose(high, |index| {
            let (least, most) = ideal.band(reading(index));
            0.5 * (least + most)
        })
        .ok_or(CompileError::NoPoints)?;
    let vertices: Vertices = outputs
        .into_iter()
        .enumerate()
        .map(|(index, output)| (reading(index), output))
        .collect();
    Ok(Solved {
        vertices,
        lower_bound: low,
        exact: true,
    })
}

type Interval = (f64, f64);

impl Entries {
    fn first(&self) -> Interval {
        match self.ends {
            Ends::Fixed => (0.0, 0.0),
            Ends::FreeOutput | Ends::Free => (0.0, 1.0),
        }
    }

    /// What each entry may be if all before it keep within `error`; none where an entry cannot.
    fn reach(&self, error: f64) -> Option<Vec<Interval>> {
        let mut reached = vec![self.first()];
        for corners in &self.corners {
            let polygon = clipped(*reached.last()?, (0.0, 1.0), corners, error);
            reached.push(extent(&polygon, |p| p.1)?);
        }
        let last = reached.last_mut()?;
        if self.ends == Ends::Fixed {
            if last.1 < 1.0 - ROUNDING {
                return None;
            }
            *last = (1.0, 1.0);
        }
        Some(reached)
    }

    /// Outputs within `error`, from the last back to the first, each as near to what is wanted as the
    /// ones after it allow.
    fn choose(&self, error: f64, wanted: impl Fn(usize) -> f64) -> Option<Vec<f64>> {
        let reached = self.reach(error)?;
        let end = reached.len() - 1;
        let mut after = wanted(end).clamp(reached[end].0, reached[end].1);
        let mut outputs = vec![after];
        for index in (0..end).rev() {
            let polygon = clipped(reached[index], (after, after), &self.corners[index], error);
            let (least, most) = extent(&polygon, |p| p.0)?;
            // Rounding may not let an entry rise above the next.
            let most = most.min(after);
            after = wanted(index).clamp(least.min(most), most);
            outputs.push(after);
        }
        outputs.reverse();
        Some(outputs)
    }
}

/// The pairs (left, right) within two intervals, not falling, that keep every corner.
fn clipped(left: Interval, right: Interval, corners: &[Corner], error: f64) -> Vec<(f64, f64)> {
    let mut polygon = vec![
        (left.0, right.0),
        (left.1, right.0),
        (left.1, right.1),
        (left.0, right.1),
    ];
    // left ≤ right
    cut(&mut polygon, |(a, b)| b - a);
    for corner in corners {
        let value = |(a, b): (f64, f64)| (1.0 - corner.part) * a + corner.part * b;
        cut(&mut polygon, |p| value(p) - (corner.least - error));
        cut(&mut polygon, |p| (corner.most + error) - value(p));
    }
    polygon
}

/// Keeps the part of a convex polygon on which a linear function is not negative (I. E. Sutherland and
/// G. W. Hodgman, Commun. ACM 17, 1974).
fn cut(polygon: &mut Vec<(f64, f64)>, side: impl Fn((f64, f64)) -> f64) {
    let mut kept = Vec::with_capacity(polygon.len() + 1);
    for (index, &here) in polygon.iter().enumerate() {
        let next = polygon[(index + 1) % polygon.len()];
        let (a, b) = (side(here), side(next));
        if a >= -ROUNDING {
            kept.push(here);
        }
        if (a < -ROUNDING) != (b < -ROUNDING) {
            let part = (a / (a - b)).clamp(0.0, 1.0);
            kept.push((
                here.0 + part * (next.0 - here.0),
                here.1 + part * (next.1 - here.1),
            ));
        }
    }
    *polygon = kept;
}

fn extent(polygon: &[(f64, f64)], of: impl Fn(&(f64, f64)) -> f64) -> Option<Interval> {
    let low = polygon.iter().map(&of).fold(f64::INFINITY, f64::min);
    let high = polygon.iter().map(&of).fold(f64::NEG_INFINITY, f64::max);
    (low <= high).then_some((low.max(0.0), high.min(1.0)))
}
