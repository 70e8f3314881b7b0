//! Points moved to where they are needed.

use evenhand_curve::Curve;

use super::{Candidate, Smooth};
use crate::solve::bisection::Vertices;
use crate::solve::ideal::Row;

/// What the worst error may grow by for full output that comes earlier.
const EARLIER: f64 = 5e-5;
/// Times that points are moved to where errors are large, and places tried each time.
const MOST_ROUNDS: usize = 8;
const PLACES: usize = 4;
/// Of these, the most promising are walked from.
const TRIES: usize = 12;

impl Smooth<'_> {
    /// Moves points to where errors are large for as long as that helps and is needed.
    pub(super) fn relocated_from(
        &self,
        mut held: Candidate,
        most: usize,
        enough: f64,
    ) -> Candidate {
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

    /// The same points with one of them moved to where the error is large, or with one more there.
    pub(super) fn relocations(&self, held: &Candidate, most: usize) -> Vec<Vertices> {
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

    /// The same points, full as early as the worst error allows.
    pub(super) fn earliest(&self, found: Candidate) -> Vertices {
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
}
