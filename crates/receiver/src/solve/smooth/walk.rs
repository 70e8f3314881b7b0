//! The walk downhill from some points.

use evenhand_curve::Curve;

use super::program::Program;
use super::{Candidate, Smooth};
use crate::solve::bisection::Vertices;
use crate::solve::ideal::Row;
use crate::solve::stepped::Coordinate;

/// Rounds of the walk from one start.
const MOST_STEPS: usize = 60;
/// Rounds after which a walk far above the best one ends.
const FIRST_STEPS: usize = 12;
/// The region of trust at the start, and where the walk ends.
const WIDEST: f64 = 0.06;
const NARROWEST: f64 = 1e-6;

impl Smooth<'_> {
    /// Walks downhill from some points, but gives up on a valley that looks far above `rival`.
    pub(super) fn walked(&self, start: Vertices, rival: f64) -> Option<Candidate> {
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
    pub(super) fn step(
        &self,
        here: &Candidate,
        free: &[Coordinate],
        trust: f64,
    ) -> Option<Vec<f64>> {
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
            let curve = self.knots(&moved)?;
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
    pub(super) fn peaks(&self, here: &Candidate) -> Vec<Row> {
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
}
