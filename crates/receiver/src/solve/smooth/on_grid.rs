//! Smooth points on a grid.

use super::Smooth;
use super::legal::{straight_line, straightened};
use crate::profile::gap_in_steps;
use crate::solve::bisection::Vertices;
use crate::solve::stepped::{Coordinate, descended, exhausted, free_coordinates};

impl Smooth<'_> {
    /// The error of points on a grid; nothing where they break a rule.
    pub(super) fn judged_on_grid(&self, points: &[(f64, f64)], steps: (u32, u32)) -> Option<f64> {
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
    pub(super) fn all_on_grid(&self, count: usize, steps: (u32, u32)) -> Option<(Vertices, f64)> {
        let line = straight_line(count);
        let judge = |points: &[(f64, f64)]| self.judged_on_grid(points, steps);
        exhausted(
            &line,
            steps,
            &free_coordinates(count, self.rules.ends),
            judge,
        )
    }

    /// The best points on a grid that are found from good ones between its steps.
    pub(super) fn on_grid(
        &self,
        points: &[(f64, f64)],
        steps: (u32, u32),
    ) -> Option<(Vertices, f64)> {
        let free = self.free_on_grid(points.len());
        let judge = |points: &[(f64, f64)]| {
            self.keeps_locked(points)
                .then(|| self.judged_on_grid(points, steps))
                .flatten()
        };
        // Where points stand too close for the grid, they are drawn apart.
        let starts = [0.0, 0.25, 0.5, 0.75, 1.0]
            .into_iter()
            .filter_map(|share| descended(&straightened(points, share), steps, &free, judge));
        starts.min_by(|a, b| a.1.total_cmp(&b.1))
    }

    fn free_on_grid(&self, count: usize) -> Vec<Coordinate> {
        free_coordinates(count, self.rules.ends)
            .into_iter()
            .filter(|at| self.locked.get(at.0).is_none_or(Option::is_none))
            .collect()
    }

    fn keeps_locked(&self, points: &[(f64, f64)]) -> bool {
        let mut pairs = points.iter().zip(&self.locked);
        pairs.all(|(point, locked)| locked.is_none_or(|at| at == *point))
    }
}
