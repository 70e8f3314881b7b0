//! Control points joined by a smooth curve, with a small worst error.
//!
//! The worst error is linear in the points to first order, so from any start the next points come from
//! a linear program over small moves (sequential linear programming with a region of trust: K. Madsen,
//! J. Inst. Maths Applics 16, 1975). It leads to the nearest valley only; starts of many kinds, and
//! shaken copies of the best found, look for deeper ones.

mod legal;
mod on_grid;
mod program;
mod relocate;
mod walk;

use evenhand_curve::{Curve, Interpolation, Knots, Point};

use rayon::prelude::*;

use super::bisection::{Measure, Vertices};
use super::cubic_pieces;
use super::ideal::{Ideal, Row};
use super::straight::{self, Rules, Solved};
use crate::compile_error::CompileError;
use crate::profile::Ends;

/// Least distance of neighbouring inputs where the receiver names none.
const LEAST_GAP: f64 = 1e-4;
/// Readings over which the ideal map is full from which on the curve is held there.
const LEAST_PLATEAU: f64 = 0.01;
/// Readings between neighbouring points at which errors are looked at.
const BETWEEN: u32 = 10;
/// Even readings that join them.
const EVEN: u32 = 64;
/// The search ends when the worst error is this near to what is proven, fraction of full scale.
const CLOSE: f64 = 5e-4;
/// Numbers of points, from the most allowed down, and valleys that are looked at further.
const COUNTS: usize = 2;
const VALLEYS: usize = 6;
/// Valleys that are looked at side by side before the search may end.
const TOGETHER: usize = 2;
/// Points that are moved: with more of them every curve is followed to far below what matters.
const MOST_POINTS: usize = 24;

/// One set of points and how it does.
#[derive(Clone, Debug)]
struct Candidate {
    points: Vertices,
    curve: Knots,
    error: f64,
}

/// Smooth curves through points against an ideal map.
struct Smooth<'a> {
    ideal: &'a Ideal,
    looked: Vec<Row>,
    interpolation: Interpolation,
    rules: Rules,
    gap: f64,
    /// Points that stay where they are, by index; empty where all may move.
    locked: Vec<Option<(f64, f64)>>,
    /// Whether the ideal map reaches full output well before the last reading.
    is_full_early: bool,
}

/// The best points found.
///
/// # Errors
/// Rules that no points keep.
pub(crate) fn solve(
    ideal: &Ideal,
    bends: &[f64],
    interpolation: Interpolation,
    rules: &Rules,
    measure: &Measure<'_>,
) -> Result<Solved, CompileError> {
    let search = Smooth::new(ideal, bends, interpolation, rules);
    let most = rules.max_points.min(MOST_POINTS.max(rules.min_points));
    let lower_bound = search.bound();
    let enough = lower_bound + CLOSE;
    let mut starts = Vec::new();
    for points in (rules.min_points..=most).rev().take(COUNTS) {
        starts.extend(search.starts(points, measure)?);
    }
    // Side by side, and taken in the order of the starts, so that threads change nothing.
    let mut valleys: Vec<Candidate> = starts
        .into_par_iter()
        .filter_map(|start| search.walked(search.legal(start), f64::INFINITY))
        .collect();
    valleys.sort_by(|a, b| a.error.total_cmp(&b.error));
    valleys.truncate(VALLEYS);
    let mut found: Vec<Candidate> = Vec::new();
    for together in valleys.chunks(TOGETHER) {
        found.par_extend(
            together
                .par_iter()
                .map(|valley| search.relocated_from(valley.clone(), most, enough)),
        );
        // On a grid the second best between its steps may be the best on them.
        if rules.grid.is_none() && found.iter().any(|held| held.error <= enough) {
            break;
        }
    }
    let vertices = match rules.grid {
        None => least(found.into_iter().map(|held| {
            let error = held.error;
            (search.earliest(held), error)
        })),
        Some(steps) => {
            let all = (rules.min_points..=most).map(|count| search.all_on_grid(count, steps));
            let near = found.iter().map(|held| search.on_grid(&held.points, steps));
            least(all.chain(near).flatten())
        }
    };
    Ok(Solved {
        vertices: vertices.ok_or(CompileError::NothingOnTheGrid { points: most })?,
        lower_bound,
        exact: false,
    })
}

/// The best points found of those that share their locked ones, beginning from the points given and from
/// `further` ones; `None`
/// where the search finds none that keep the rules.
pub(crate) fn solve_around(
    ideal: &Ideal,
    bends: &[f64],
    interpolation: Interpolation,
    rules: &Rules,
    points: &[(f64, f64)],
    locked: &[bool],
    further: Option<Vertices>,
) -> Option<Vertices> {
    let mut search = Smooth::new(ideal, bends, interpolation, rules);
    search.locked = points
        .iter()
        .enumerate()
        .map(|(index, point)| {
            locked
                .get(index)
                .copied()
                .unwrap_or(false)
                .then_some(*point)
        })
        .collect();
    let mut starts = vec![
        points.to_vec(),
        search.between_locked(points, false),
        search.between_locked(points, true),
    ];
    starts.extend(further);
    let found: Vec<Candidate> = starts
        .into_par_iter()
        .filter_map(|start| search.walked(search.spaced(start), f64::INFINITY))
        .collect();
    match rules.grid {
        None => least(found.into_iter().map(|held| (held.points, held.error))),
        Some(steps) => least(
            found
                .iter()
                .filter_map(|held| search.on_grid(&held.points, steps)),
        ),
    }
}

fn least(found: impl Iterator<Item = (Vertices, f64)>) -> Option<Vertices> {
    found
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(points, _)| points)
}

impl<'a> Smooth<'a> {
    fn new(ideal: &'a Ideal, bends: &[f64], interpolation: Interpolation, rules: &Rules) -> Self {
        let even = (0..=EVEN).map(|step| f64::from(step) / f64::from(EVEN));
        let steep = even.clone().map(|output| ideal.reaching(output));
        let looked = bends.iter().copied().chain(even).map(|x| ideal.row(x));
        Self {
            ideal,
            looked: looked.chain(steep).collect(),
            interpolation,
            rules: *rules,
            gap: rules.min_gap.max(LEAST_GAP),
            locked: Vec::new(),
            is_full_early: ideal
                .reaches_full_at()
                .is_some_and(|x| x < 1.0 - LEAST_PLATEAU),
        }
    }

    /// What no curve of this kind goes below. The pieces of a Catmull–Rom spline are no cubics of the
    /// reading, so only what no curve at all avoids is known of them.
    fn bound(&self) -> f64 {
        if self.interpolation == Interpolation::CatmullRom {
            let steps = self.looked.iter().map(|row| 0.5 * (row.most - row.least));
            return steps.fold(0.0, f64::max);
        }
        // Beyond ends that are free the curve holds its outer values: one more piece each.
        let held = if self.rules.ends == Ends::Free { 2 } else { 0 };
        let bends: Vec<f64> = self.looked.iter().map(|row| row.x).collect();
        cubic_pieces::lower_bound(self.ideal, &bends, self.rules.max_points - 1 + held)
    }

    /// Points from which the walk begins.
    fn starts(&self, count: usize, measure: &Measure<'_>) -> Result<Vec<Vertices>, CompileError> {
        let mut starts = Vec::new();
        for corners in (2..=count).rev().take(4) {
            let rules = Rules {
                min_points: 2,
                max_points: corners,
                min_gap: 0.0,
                grid: None,
                ..self.rules
            };
            let straight = straight::solve(self.ideal, &rules, measure)?;
            starts.push(straight::filled(straight.vertices, count));
        }
        let part = |index: usize| index as f64 / (count - 1) as f64;
        let middle = |row: Row| (row.x, 0.5 * (row.least + row.most));
        let even_outputs = (0..count).map(|i| middle(self.ideal.reaching(part(i))));
        let even_readings = (0..count).map(|i| middle(self.ideal.row(part(i))));
        starts.push(even_outputs.collect());
        starts.push(even_readings.collect());
        Ok(starts)
    }

    /// Points on the ideal map between those that are locked, even in their outputs or in their readings.
    fn between_locked(&self, points: &[(f64, f64)], even_outputs: bool) -> Vertices {
        let mut spread = points.to_vec();
        let last = points.len() - 1;
        let mut from = 0;
        for to in 1..=last {
            let is_held = to == last || self.locked.get(to).is_some_and(Option::is_some);
            if !is_held {
                continue;
            }
            let (a, b) = (points[from], points[to]);
            let count = (to - from) as f64;
            for (step, point) in spread[from + 1..to].iter_mut().enumerate() {
                let part = (step + 1) as f64 / count;
                let between = |a: f64, b: f64| a + part * (b - a);
                let row = if even_outputs {
                    self.ideal.reaching(between(a.1, b.1))
                } else {
                    self.ideal.row(between(a.0, b.0))
                };
                *point = (row.x, 0.5 * (row.least + row.most));
            }
            from = to;
        }
        spread
    }

    fn knots(&self, points: &[(f64, f64)]) -> Option<Knots> {
        let points = points.iter().map(|&(x, y)| Point::new(x, y)).collect();
        Knots::new(points, self.interpolation).ok()
    }

    /// The curve through points, where it rises.
    fn curve(&self, points: &[(f64, f64)]) -> Option<Knots> {
        self.knots(points).filter(Knots::is_non_decreasing)
    }

    fn judged(&self, points: Vertices) -> Option<Candidate> {
        let curve = self.curve(&points)?;
        let error = self
            .rows(&points)
            .iter()
            .map(|row| row.error(curve.value(row.x)))
            .fold(0.0, f64::max);
        Some(Candidate {
            points,
            curve,
            error,
        })
    }

    fn rows(&self, points: &[(f64, f64)]) -> Vec<Row> {
        let mut rows = self.looked.clone();
        for pair in points.windows(2) {
            for step in 0..BETWEEN {
                let part = f64::from(step) / f64::from(BETWEEN);
                rows.push(self.ideal.row(pair[0].0 + part * (pair[1].0 - pair[0].0)));
            }
        }
        rows
    }
}
