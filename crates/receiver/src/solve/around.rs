//! Straight segments around points that stay, each stretch between two of them with its least worst error.

use super::bisection::Vertices;
use super::chain::{self, Tip};
use super::ideal::Ideal;
use super::stab::Stab;
use super::straight::filled;
use super::tube::{TubeRow, push_with_breakpoints};

/// Halvings of the worst error, which starts at most at 1.
const HALVINGS: usize = 44;

/// Points with the least worst error among those that share the held ones; the ends are held. `None` where
/// no points pass between.
pub(crate) fn solve(ideal: &Ideal, points: &[(f64, f64)], held: &[bool]) -> Option<Vertices> {
    let last = points.len() - 1;
    let mut solved = vec![points[0]];
    let mut from = 0;
    for to in 1..=last {
        if to != last && !held.get(to).copied().unwrap_or(false) {
            continue;
        }
        let stretch = stretch(ideal, points[from], points[to], to - from)?;
        solved.extend(stretch.into_iter().skip(1));
        from = to;
    }
    Some(solved)
}

/// The links from one held point to the next.
fn stretch(ideal: &Ideal, a: (f64, f64), b: (f64, f64), links: usize) -> Option<Vertices> {
    if links == 1 {
        return Some(vec![a, b]);
    }
    let mut stab = Stab::default();
    let mut attempt = |error: f64| {
        let tube = tube(ideal, a, b, error);
        chain::fewest_links(&tube, Tip::AtEdge, Tip::AtEdge, links, &mut stab)
    };
    let off = |(x, y): (f64, f64)| ideal.row(x).error(y);
    // What a held point is off by cannot be mended; below that nothing is gained.
    let mut infeasible = off(a).max(off(b));
    if let Some(found) = attempt(infeasible + 1e-12) {
        return Some(ended(found, a, b, links));
    }
    let (mut possible, mut best) = (1.0, attempt(1.0)?);
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(infeasible, possible);
        match attempt(middle) {
            Some(found) => (possible, best) = (middle, found),
            None => infeasible = middle,
        }
    }
    Some(ended(best, a, b, links))
}

fn ended(vertices: Vertices, a: (f64, f64), b: (f64, f64), links: usize) -> Vertices {
    let mut vertices = filled(vertices, links + 1);
    let last = vertices.len() - 1;
    vertices[0] = a;
    vertices[last] = b;
    vertices
}

/// The tube between two held points: within `error` of the ideal map and between their outputs.
fn tube(ideal: &Ideal, a: (f64, f64), b: (f64, f64), error: f64) -> Vec<TubeRow> {
    let inside = ideal
        .rows()
        .iter()
        .copied()
        .filter(|row| row.x > a.0 && row.x < b.0);
    let rows = [ideal.row(a.0)]
        .into_iter()
        .chain(inside)
        .chain([ideal.row(b.0)]);
    let mut tube: Vec<TubeRow> = Vec::new();
    for row in rows {
        let next = TubeRow {
            x: row.x,
            lo_left: row.least - error,
            lo_right: row.most - error,
            hi_left: row.least + error,
            hi_right: row.most + error,
        };
        // The boundaries bend where they meet the outputs of the held points.
        push_with_breakpoints(&mut tube, next, &[a.1, b.1], &[a.1, b.1]);
    }
    for row in &mut tube {
        for side in [
            &mut row.lo_left,
            &mut row.lo_right,
            &mut row.hi_left,
            &mut row.hi_right,
        ] {
            *side = side.clamp(a.1, b.1);
        }
    }
    if let Some(first) = tube.first_mut() {
        first.lo_right = a.1;
        first.hi_left = a.1;
    }
    if let Some(last) = tube.last_mut() {
        last.lo_right = b.1;
        last.hi_left = b.1;
    }
    tube
}
