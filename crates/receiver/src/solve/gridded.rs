//! Straight links between points of a grid, by a search over what each point sees.
//!
//! From a point, the slopes of the lines that stay in the tube form an interval that only shrinks to
//! the right; a later grid point is reached by one link if the slope to it lies in the interval.
//! Layer by layer this finds every point reachable with one, two, … links, so the answer is exact.

use super::bisection::Vertices;
use super::tube::TubeRow;
use crate::profile::Ends;

/// Rounding that a comparison may be off by.
const ROUNDING: f64 = 1e-12;

/// The grid and what links on it must keep.
#[derive(Clone, Copy, Debug)]
pub(crate) struct GridRules {
    pub(crate) input_steps: u32,
    pub(crate) output_steps: u32,
    /// Least number of input steps from point to point.
    pub(crate) gap_steps: u32,
    pub(crate) ends: Ends,
    pub(crate) least_links: usize,
    pub(crate) most_links: usize,
}

/// A grid point reached, and the one before it in the layer before.
#[derive(Clone, Copy)]
struct State {
    column: u32,
    level: u32,
    parent: usize,
}

/// Fewest links (but not fewer than asked for) through the tube; the tube has a row at every column.
pub(crate) fn fewest_links(tube: &[TubeRow], rules: &GridRules) -> Option<Vertices> {
    let columns = columns(tube, rules.input_steps)?;
    let width = rules.output_steps as usize + 1;
    let mut layers: Vec<Vec<State>> = vec![starts(tube, &columns, rules)];
    let mut reached = Reached::new(rules.input_steps as usize + 1, width);
    for layer in 0..=rules.most_links {
        if layer >= rules.least_links
            && let Some(end) = layers[layer]
                .iter()
                .position(|s| finishes(tube, &columns, s, rules))
        {
            return Some(trace(&layers, layer, end, rules));
        }
        if layer == rules.most_links {
            break;
        }
        // Up to the least number of links every layer counts by itself; from there on a point that
        // was reached earlier needs no second visit.
        if layer < rules.least_links {
            reached.forget();
        }
        let mut next = Vec::new();
        for (index, state) in layers[layer].iter().enumerate() {
            visible_levels(tube, &columns, state, rules, |column, levels| {
                reached.take(column, levels, |level| {
                    next.push(State {
                        column,
                        level,
                        parent: index,
                    });
                });
            });
        }
        if next.is_empty() {
            return None;
        }
        layers.push(next);
    }
    None
}

/// Which grid points were reached, by column, with the next one that was not: a range of levels is
/// walked through once, however many points see it.
struct Reached {
    width: usize,
    next_free: Vec<u32>,
}

impl Reached {
    fn new(columns: usize, width: usize) -> Self {
        let mut reached = Self {
            width,
            next_free: vec![0; columns * (width + 1)],
        };
        reached.forget();
        reached
    }

    fn forget(&mut self) {
        for column in self.next_free.chunks_mut(self.width + 1) {
            for (slot, level) in column.iter_mut().zip(0..) {
                *slot = level;
            }
        }
    }

    /// Hands out every level of the range that was not reached before.
    fn take(
        &mut self,
        column: u32,
        levels: std::ops::RangeInclusive<u32>,
        mut hand: impl FnMut(u32),
    ) {
        let from = column as usize * (self.width + 1);
        let column = &mut self.next_free[from..=from + self.width];
        let mut level = free(column, *levels.start());
        while level <= *levels.end() {
            hand(level);
            column[level as usize] = level + 1;
            level = free(column, level);
        }
    }
}

/// The first free level from one on; paths are halved on the way (union–find).
fn free(column: &mut [u32], mut level: u32) -> u32 {
    while column[level as usize] != level {
        let next = column[level as usize];
        column[level as usize] = column[next as usize];
        level = column[level as usize];
    }
    level
}

/// Index of the tube's row at every column.
fn columns(tube: &[TubeRow], steps: u32) -> Option<Vec<usize>> {
    (0..=steps)
        .map(|column| {
            let x = f64::from(column) / f64::from(steps);
            let at = tube.partition_point(|row| row.x < x - ROUNDING);
            tube.get(at)
                .filter(|row| (row.x - x).abs() <= ROUNDING)
                .map(|_| at)
        })
        .collect()
}

/// Grid levels between two outputs.
fn levels(low: f64, high: f64, steps: u32) -> std::ops::RangeInclusive<u32> {
    let scale = f64::from(steps);
    let first = ((low - ROUNDING) * scale).ceil().clamp(0.0, scale);
    let last = ((high + ROUNDING) * scale).floor().min(scale);
    if last < first || !last.is_finite() {
        #[expect(clippy::reversed_empty_ranges, reason = "an empty range is meant")]
        return 1..=0;
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "0..=steps"
    )]
    let range = first as u32..=last as u32;
    range
}

/// Points at which the first vertex may be.
fn starts(tube: &[TubeRow], columns: &[usize], rules: &GridRules) -> Vec<State> {
    let mut found = Vec::new();
    let Some(first) = tube.first() else {
        return found;
    };
    for (column, at) in (0..).zip(columns) {
        if column > 0 && rules.ends != Ends::Free {
            break;
        }
        let row = &tube[*at];
        // Before the first vertex the map is level: below the first upper limit, above this lower one.
        for level in levels(row.lo_right, first.hi_left, rules.output_steps) {
            found.push(State {
                column,
                level,
                parent: usize::MAX,
            });
        }
    }
    found
}

fn finishes(tube: &[TubeRow], columns: &[usize], state: &State, rules: &GridRules) -> bool {
    if rules.ends != Ends::Free {
        return state.column == rules.input_steps;
    }
    let output = f64::from(state.level) / f64::from(rules.output_steps);
    let here = &tube[columns[state.column as usize]];
    let last = tube.last().map_or(1.0, |row| row.lo_right);
    output >= last - ROUNDING && output <= here.hi_left + ROUNDING
}

/// Tells, column by column, which grid levels one link reaches from a point.
fn visible_levels(
    tube: &[TubeRow],
    columns: &[usize],
    from: &State,
    rules: &GridRules,
    mut tell: impl FnMut(u32, std::ops::RangeInclusive<u32>),
) {
    let x = f64::from(from.column) / f64::from(rules.input_steps);
    let y = f64::from(from.level) / f64::from(rules.output_steps);
    let (mut flattest, mut steepest) = (0.0_f64, f64::INFINITY);
    let mut row = columns[from.column as usize] + 1;
    for column in from.column + 1..=rules.input_steps {
        let at = columns[column as usize];
        while row <= at {
            let limits = &tube[row];
            let run = limits.x - x;
            if run > 0.0 {
                flattest = flattest.max((limits.lo_right - ROUNDING - y) / run);
                steepest = steepest.min((limits.hi_left + ROUNDING - y) / run);
            }
            row += 1;
        }
        if flattest > steepest {
            return;
        }
        if column - from.column >= rules.gap_steps.max(1) {
            let run = tube[at].x - x;
            let (low, high) = (y + flattest * run, y + steepest * run);
            let seen = levels(low.max(y), high, rules.output_steps);
            if !seen.is_empty() {
                tell(column, seen);
            }
        }
    }
}

fn trace(layers: &[Vec<State>], layer: usize, end: usize, rules: &GridRules) -> Vertices {
    let mut vertices = Vec::with_capacity(layer + 1);
    let mut index = end;
    for states in layers[..=layer].iter().rev() {
        let state = &states[index];
        vertices.push((
            f64::from(state.column) / f64::from(rules.input_steps),
            f64::from(state.level) / f64::from(rules.output_steps),
        ));
        index = state.parent;
    }
    vertices.reverse();
    vertices
}
