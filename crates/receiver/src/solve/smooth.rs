//! Control points joined by a smooth curve, with a small worst error.
//!
//! The worst error is linear in the points to first order, so from any start the next points come from
//! a linear program over small moves (sequential linear programming with a region of trust: K. Madsen,
//! J. Inst. Maths Applics 16, 1975). It leads to the nearest valley only; starts of many kinds, and
//! shaken copies of the best found, look for deeper ones.

use clarabel::algebra::CscMatrix;
use clarabel::solver::{
    DefaultSettingsBuilder, DefaultSolver, IPSolver, SolverStatus, SupportedConeT,
};
use evenhand_curve::{Curve, Interpolation, Knots, Point};

use super::bisection::{Measure, Vertices};
use super::cubic_pieces;
use super::ideal::{Ideal, Row};
use super::stepped::{Coordinate, descended, exhausted};
use super::straight::{self, Rules, Solved};
use crate::compile_error::CompileError;
use crate::profile::{Ends, gap_in_steps};

/// Least distance of neighbouring inputs where the receiver names none.
const LEAST_GAP: f64 = 1e-4;
/// Readings over which the ideal map is full from which on the curve is held there.
const LEAST_PLATEAU: f64 = 0.01;
/// With this many points or fewer each is needed on the climb.
const LEAST_HELD: usize = 4;
/// What the worst error may grow by for full output that comes earlier.
const EARLIER: f64 = 5e-5;
/// Readings between neighbouring points at which errors are looked at.
const BETWEEN: u32 = 10;
/// Even readings that join them.
const EVEN: u32 = 64;
/// Rounds of the walk from one start.
const MOST_STEPS: usize = 60;
/// Rounds after which a walk far above the best one ends.
const FIRST_STEPS: usize = 12;
/// The region of trust at the start, and where the walk ends.
const WIDEST: f64 = 0.06;
const NARROWEST: f64 = 1e-6;
/// The search ends when the worst error is this near to what is proven, fraction of full scale.
const CLOSE: f64 = 5e-4;
/// Numbers of points, from the most allowed down, and valleys that are looked at further.
const COUNTS: usize = 2;
const VALLEYS: usize = 6;
/// Times that points are moved to where errors are large, and places tried each time.
const MOST_ROUNDS: usize = 8;
const PLACES: usize = 4;
/// Of these, the most promising are walked from.
const TRIES: usize = 12;

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
    /// Where the ideal map reaches full output, if it does before the last reading.
    full_from: Option<f64>,
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
    let even = (0..=EVEN).map(|step| f64::from(step) / f64::from(EVEN));
    let steep = even.clone().map(|output| ideal.reaching(output));
    let looked = bends.iter().copied().chain(even).map(|x| ideal.row(x));
    let search = Smooth {
        ideal,
        looked: looked.chain(steep).collect(),
        interpolation,
        rules: *rules,
        gap: rules.min_gap.max(LEAST_GAP),
        full_from: ideal.reaches_full_at().filter(|x| *x < 1.0 - LEAST_PLATEAU),
    };
    let most = rules.max_points.min(MOST_POINTS.max(rules.min_points));
    let lower_bound = search.bound();
    let enough = lower_bound + CLOSE;
    let mut valleys = Vec::new();
    for points in (rules.min_points..=most).rev().take(COUNTS) {
        for start in search.starts(points, measure)? {
            valleys.extend(search.walked(search.legal(start), f64::INFINITY));
        }
    }
    valleys.sort_by(|a, b| a.error.total_cmp(&b.error));
    let mut found: Vec<Candidate> = Vec::new();
    for valley in valleys.into_iter().take(VALLEYS) {
        found.push(search.relocated_from(valley, most, enough));
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

fn least(found: impl Iterator<Item = (Vertices, f64)>) -> Option<Vertices> {
    found
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(points, _)| points)
}

fn straight_line(count: usize) -> Vertices {
    let last = (count - 1) as f64;
    (0..count)
        .map(|index| index as f64 / last)
        .map(|v| (v, v))
        .collect()
}

impl Smooth<'_> {
    /// What no curve of this kind goes below. The pieces of a Catmull–Rom spline are no cubics of the
    /// reading, so only what no curve at all avoids is known of them.
    fn bound(&self) -> f64 {
        let steps = self.looked.iter().map(|row| 0.5 * (row.most - row.least));
        let steps = steps.fold(0.0, f64::max);
        if self.interpolation == Interpolation::CatmullRom {
            return steps;
        }
        // Beyond ends that are free the curve holds its outer values: one more piece each.
        let held = if self.rules.ends == Ends::Free { 2 } else { 0 };
        let bends: Vec<f64> = self.looked.iter().map(|row| row.x).collect();
        cubic_pieces::lower_bound(self.ideal, &bends, self.rules.max_points - 1 + held)
    }

    /// The error of points on a grid; nothing where they break a rule.
    fn judged_on_grid(&self, points: &[(f64, f64)], steps: (u32, u32)) -> Option<f64> {
        let gap = f64::from(gap_in_steps(self.rules.min_gap, steps.0)) / f64::from(steps.0);
        let apart = |pair: &[(f64, f64)]| pair[1].0 - pair[0].0 >= gap - 1e-9;
        let kept = points
            .windows(2)
            .all(|pair| apart(pair) && pair[0].1 <= pair[1].1);
        kept.then(|| self.judged(points.to_vec()))
            .flatten()
            .map(|candidate| candidate.error)
    }

    /// The best of all sets of so many points on a grid, where there are few.
    fn all_on_grid(&self, count: usize, steps: (u32, u32)) -> Option<(Vertices, f64)> {
        let line = straight_line(count);
        let judge = |points: &[(f64, f64)]| self.judged_on_grid(points, steps);
        exhausted(&line, steps, &self.unfixed(count), judge)
    }

    /// The best points on a grid that are found from good ones between its steps.
    fn on_grid(&self, points: &[(f64, f64)], steps: (u32, u32)) -> Option<(Vertices, f64)> {
        let free = self.unfixed(points.len());
        let judge = |points: &[(f64, f64)]| self.judged_on_grid(points, steps);
        // Where points stand too close for the grid, they are drawn apart.
        let line = straight_line(points.len());
        let starts = [0.0, 0.25, 0.5, 0.75, 1.0].into_iter().filter_map(|share| {
            let mixed: Vertices = points
                .iter()
                .zip(&line)
                .map(|(a, b)| (a.0 + share * (b.0 - a.0), a.1 + share * (b.1 - a.1)))
                .collect();
            descended(&mixed, steps, &free, judge)
        });
        starts.min_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// Points from which the walk begins.
    fn starts(&self, count: usize, measure: &Measure<'_>) -> Result<Vec<Vertices>, CompileError> {
        let mut starts = Vec::new();
        for corners in (2..=count).rev().take(4) {
            let rules = Rules {
                min_points: count,
                max_points: count,
                ends: self.rules.ends,
                min_gap: 0.0,
                grid: None,
            };
            let rules = Rules {
                max_points: corners,
                min_points: 2,
                ..rules
            };
            let straight = straight::solve(self.ideal, &rules, measure)?;
            starts.push(straight::filled(straight.vertices, count));
        }
        let part = |index: usize| index as f64 / (count - 1) as f64;
        starts.push(
            (0..count)
                .map(|i| self.ideal.reaching(part(i)))
                .map(|row| (row.x, 0.5 * (row.least + row.most)))
                .collect(),
        );
        starts.push(
            (0..count)
                .map(|i| self.ideal.row(part(i)))
                .map(|row| (row.x, 0.5 * (row.least + row.most)))
                .collect(),
        );
        Ok(starts)
    }

    fn curve(&self, points: &[(f64, f64)]) -> Option<Knots> {
        let points = points.iter().map(|&(x, y)| Point::new(x, y)).collect();
        Knots::new(points, self.interpolation)
            .ok()
            .filter(Knots::is_non_decreasing)
    }

    /// Moves points to where errors are large for as long as that helps and is needed.
    fn relocated_from(&self, mut held: Candidate, most: usize, enough: f64) -> Candidate {
        for _ in 0..MOST_ROUNDS {
            let before = held.error;
            let mut tries: Vec<Candidate> = self
                .relocations(&held, most)
                .into_iter()
                .filter_map(|points| self.judged(self.legal(points)))
                .collect();
            tries.sort_by(|a, b| a.error.total_cmp(&b.error));
            for tried in tries.into_iter().take(TRIES) {
                if held.error <= enough {
                    return held;
                }
                if let Some(found) = self.walked(tried.points, held.error)
                    && found.error < held.error
                {
                    held = found;
                }
            }
            if held.error > 0.99 * before {
                break;
            }
        }
        held
    }

    /// Points that make a curve which rises: as given, or as near to the straight line as needed.
    fn legal(&self, points: Vertices) -> Vertices {
        let last = (points.len() - 1) as f64;
        let points = self.spaced(points);
        for share in [0.0, 0.2, 0.4, 0.6, 0.8] {
            let mixed = points
                .iter()
                .enumerate()
                .map(|(index, at)| {
                    let even = index as f64 / last;
                    (at.0 + share * (even - at.0), at.1 + share * (even - at.1))
                })
                .collect();
            let mixed = self.spaced(mixed);
            if self.curve(&mixed).is_some() {
                return mixed;
            }
        }
        self.spaced(
            (0..points.len())
                .map(|i| i as f64 / last)
                .map(|v| (v, v))
                .collect(),
        )
    }

    /// The same points with one of them moved to where the error is large, or with one more there.
    fn relocations(&self, held: &Candidate, most: usize) -> Vec<Vertices> {
        let mut peaks: Vec<(Row, f64)> = self
            .peaks(held)
            .into_iter()
            .map(|row| (row, row.error(held.curve.value(row.x))))
            .collect();
        peaks.sort_by(|a, b| b.1.total_cmp(&a.1));
        let mut places: Vec<Row> = Vec::new();
        for (row, _) in peaks {
            let apart = |x: f64| (x - row.x).abs() > 0.02;
            if places.iter().all(|place| apart(place.x)) && places.len() < PLACES {
                places.push(row);
            }
        }
        let last = held.points.len() - 1;
        let mut tried = Vec::new();
        for place in places {
            let at = (place.x, 0.5 * (place.least + place.most));
            if held.points.len() < most {
                tried.push([held.points.clone(), vec![at]].concat());
            }
            for removed in 1..last {
                let mut points = held.points.clone();
                points[removed] = at;
                tried.push(points);
            }
        }
        tried
    }

    /// Whether the last point but one is held at full output as well, so that all of the plateau is full:
    /// a curve that comes near it within the worst error would let the hand wait.
    fn is_held(&self, count: usize) -> bool {
        count > LEAST_HELD
            && self.full_from.is_some()
            && self.interpolation == Interpolation::MonotoneCubic
            && self.rules.ends == Ends::Fixed
    }

    /// The same points, full as early as the worst error allows.
    fn earliest(&self, found: Candidate) -> Vertices {
        let mut points = found.points;
        if !self.is_held(points.len()) {
            return points;
        }
        let enough = found.error + EARLIER;
        let index = points.len() - 2;
        let mut late = points[index].0;
        let mut early = points[index - 1].0 + self.gap;
        for _ in 0..30 {
            let middle = 0.5 * (early + late);
            points[index].0 = middle;
            if self
                .judged(points.clone())
                .is_some_and(|held| held.error <= enough)
            {
                late = middle;
            } else {
                early = middle;
            }
        }
        points[index].0 = late;
        points
    }

    /// Points moved as little as needed to keep order, gaps, ends and the unit square.
    fn spaced(&self, mut points: Vertices) -> Vertices {
        let last = points.len() - 1;
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        match self.rules.ends {
            Ends::Fixed => {
                points[0] = (0.0, 0.0);
                points[last] = (1.0, 1.0);
            }
            Ends::FreeOutput => {
                points[0].0 = 0.0;
                points[last].0 = 1.0;
            }
            Ends::Free => {}
        }
        let mut floor = (0.0, 0.0);
        for point in &mut points {
            point.0 = point.0.max(floor.0);
            point.1 = point.1.clamp(floor.1, 1.0);
            floor = (point.0 + self.gap, point.1);
        }
        if self.is_held(points.len()) {
            points[last - 1].1 = 1.0;
        }
        let mut ceiling = 1.0_f64;
        for point in points.iter_mut().rev() {
            point.0 = point.0.min(ceiling);
            ceiling = point.0 - self.gap;
        }
        points
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

    /// Indices of the coordinates that may move: (point, whether it is its output).
    fn unfixed(&self, count: usize) -> Vec<Coordinate> {
        (0..count)
            .flat_map(|index| [(index, false), (index, true)])
            .filter(|&(index, output)| {
                let end = index == 0 || index == count - 1;
                !end || match self.rules.ends {
                    Ends::Fixed => false,
                    Ends::FreeOutput => output,
                    Ends::Free => true,
                }
            })
            .collect()
    }

    /// Of these, the ones that the walk moves.
    fn free(&self, count: usize) -> Vec<Coordinate> {
        let held = |at: &Coordinate| *at == (count - 2, true) && self.is_held(count);
        let unfixed = self.unfixed(count);
        unfixed.into_iter().filter(|at| !held(at)).collect()
    }

    /// Walks downhill from some points, but gives up on a valley that looks far above `rival`.
    fn walked(&self, start: Vertices, rival: f64) -> Option<Candidate> {
        let mut here = self.judged(start)?;
        let free = self.free(here.points.len());
        if free.is_empty() {
            return Some(here);
        }
        let mut trust = WIDEST;
        for step in 0..MOST_STEPS {
            if trust < NARROWEST || (step == FIRST_STEPS && here.error > 2.0 * rival) {
                break;
            }
            let Some(moves) = self.step(&here, &free, trust) else {
                trust *= 0.25;
                continue;
            };
            let mut points = here.points.clone();
            for (&(index, output), by) in free.iter().zip(&moves) {
                let at = &mut points[index];
                *(if output { &mut at.1 } else { &mut at.0 }) += by;
            }
            match self.judged(self.spaced(points)) {
                Some(next) if next.error < here.error => {
                    let gain = here.error - next.error;
                    here = next;
                    if gain > 0.1 * here.error {
                        trust = (2.0 * trust).min(WIDEST);
                    } else if gain < 1e-6 {
                        trust *= 0.5;
                    }
                }
                _ => trust *= 0.35,
            }
        }
        Some(here)
    }

    /// The move of the free coordinates, each at most `trust`, that lowers the worst error most, to
    /// first order.
    fn step(&self, here: &Candidate, free: &[Coordinate], trust: f64) -> Option<Vec<f64>> {
        const DIFFERENCE: f64 = 1e-6;
        let rows = self.peaks(here);
        let base: Vec<f64> = rows.iter().map(|row| here.curve.value(row.x)).collect();
        let columns = free.len();
        let mut program = Program::new(columns + 1);
        let mut slopes = vec![vec![0.0; columns]; rows.len()];
        let shape_here = self.shape(&here.points);
        let mut shape_slopes = vec![vec![0.0; columns]; shape_here.len()];
        for (column, &(index, output)) in free.iter().enumerate() {
            let mut moved = here.points.clone();
            let at = &mut moved[index];
            let at = if output { &mut at.1 } else { &mut at.0 };
            // Inwards, so that the points stay in the square and in order where they can.
            let by = if *at > 0.5 { -DIFFERENCE } else { DIFFERENCE };
            *at += by;
            let shape = self.shape(&moved);
            for (row, (after, before)) in shape.iter().zip(&shape_here).enumerate() {
                shape_slopes[row][column] = (after - before) / by;
            }
            let points = moved.iter().map(|&(x, y)| Point::new(x, y)).collect();
            let curve = Knots::new(points, self.interpolation).ok()?;
            for (row, value) in rows.iter().zip(&base).enumerate() {
                slopes[row][column] = (curve.value(value.0.x) - value.1) / by;
            }
        }
        for ((row, value), slope) in rows.iter().zip(&base).zip(&slopes) {
            // value + slope·d − least ≤ t and most − value − slope·d ≤ t.
            let mut above: Vec<f64> = slope.clone();
            above.push(-1.0);
            program.at_most(&above, row.least - value);
            let mut below: Vec<f64> = slope.iter().map(|s| -s).collect();
            below.push(-1.0);
            program.at_most(&below, value - row.most);
        }
        for (value, slope) in shape_here.iter().zip(&shape_slopes) {
            // What must not be negative: value + slope·d ≥ 0.
            let mut row: Vec<f64> = slope.iter().map(|s| -s).collect();
            row.push(0.0);
            program.at_most(&row, *value);
        }
        for (column, &(index, output)) in free.iter().enumerate() {
            let at = here.points[index];
            let at = if output { at.1 } else { at.0 };
            let mut row = vec![0.0; columns + 1];
            row[column] = 1.0;
            program.at_most(&row, trust.min(1.0 - at));
            row[column] = -1.0;
            program.at_most(&row, trust.min(at));
        }
        program.least(columns)
    }

    /// The readings where the error is largest, each with its neighbours.
    fn peaks(&self, here: &Candidate) -> Vec<Row> {
        let mut rows = self.rows(&here.points);
        rows.sort_by(|a, b| a.x.total_cmp(&b.x));
        rows.dedup_by(|a, b| a.x <= b.x);
        let errors: Vec<f64> = rows
            .iter()
            .map(|row| row.error(here.curve.value(row.x)))
            .collect();
        let at = |index: usize| errors.get(index).copied().unwrap_or(0.0);
        let peak = |index: usize| {
            at(index) > 0.2 * here.error
                && at(index) >= at(index + 1)
                && (index == 0 || at(index) >= at(index - 1))
        };
        (0..rows.len())
            .filter(|&index| peak(index) || peak(index + 1) || (index > 0 && peak(index - 1)))
            .map(|index| rows[index])
            .collect()
    }

    /// What must not be negative for the curve to keep the rules: gaps, rises, and for curves that may
    /// overshoot the room below the slopes with which a cubic still rises (F. N. Fritsch and R. E.
    /// Carlson, 1980: both at most three times the secant).
    fn shape(&self, points: &[(f64, f64)]) -> Vec<f64> {
        let mut kept = Vec::new();
        for pair in points.windows(2) {
            kept.push(pair[1].0 - pair[0].0 - self.gap);
            kept.push(pair[1].1 - pair[0].1);
        }
        let last = points.len() - 1;
        match self.interpolation {
            Interpolation::Linear | Interpolation::MonotoneCubic => {}
            Interpolation::CatmullRom => {
                for (index, pair) in points.windows(2).enumerate() {
                    for at in [index, index + 1] {
                        let (before, after) =
                            (points[at.saturating_sub(1)], points[(at + 1).min(last)]);
                        kept.push(3.0 * (pair[1].0 - pair[0].0) - 0.5 * (after.0 - before.0));
                        kept.push(3.0 * (pair[1].1 - pair[0].1) - 0.5 * (after.1 - before.1));
                    }
                }
            }
            Interpolation::NaturalCubic => {
                let Some(curve) = self.knots(points) else {
                    return kept;
                };
                for pair in points.windows(2) {
                    let width = pair[1].0 - pair[0].0;
                    for at in pair {
                        let slope = curve.slope(at.0) * width;
                        kept.push(slope);
                        kept.push(3.0 * (pair[1].1 - pair[0].1) - slope);
                    }
                }
            }
        }
        kept
    }

    fn knots(&self, points: &[(f64, f64)]) -> Option<Knots> {
        let points = points.iter().map(|&(x, y)| Point::new(x, y)).collect();
        Knots::new(points, self.interpolation).ok()
    }
}

/// Least last variable under linear conditions.
struct Program {
    columns: usize,
    entries: Vec<(usize, usize, f64)>,
    most: Vec<f64>,
}

impl Program {
    fn new(columns: usize) -> Self {
        Self {
            columns,
            entries: Vec::new(),
            most: Vec::new(),
        }
    }

    fn at_most(&mut self, row: &[f64], most: f64) {
        for (column, value) in row.iter().enumerate() {
            if *value != 0.0 {
                self.entries.push((self.most.len(), column, *value));
            }
        }
        self.most.push(most);
    }

    fn least(&self, wanted: usize) -> Option<Vec<f64>> {
        let rows = self.most.len();
        let (i, rest): (Vec<usize>, Vec<(usize, f64)>) =
            self.entries.iter().map(|(i, j, v)| (*i, (*j, *v))).unzip();
        let (j, v): (Vec<usize>, Vec<f64>) = rest.into_iter().unzip();
        let a = CscMatrix::new_from_triplets(rows, self.columns, i, j, v);
        let p = CscMatrix::zeros((self.columns, self.columns));
        let mut q = vec![0.0; self.columns];
        q[self.columns - 1] = 1.0;
        // Any move that is nearly the best will do.
        let settings = DefaultSettingsBuilder::default()
            .verbose(false)
            .max_threads(1)
            .presolve_enable(false)
            .equilibrate_enable(false)
            .iterative_refinement_enable(false)
            .tol_gap_abs(1e-6)
            .tol_gap_rel(1e-3)
            .tol_feas(1e-7)
            .build()
            .ok()?;
        let cones = [SupportedConeT::NonnegativeConeT(rows)];
        let mut solver = DefaultSolver::new(&p, &q, &a, &self.most, &cones, settings).ok()?;
        solver.solve();
        matches!(
            solver.solution.status,
            SolverStatus::Solved | SolverStatus::AlmostSolved | SolverStatus::InsufficientProgress
        )
        .then(|| solver.solution.x[..wanted].to_vec())
        .filter(|moves| moves.iter().all(|m| m.is_finite()))
    }
}
