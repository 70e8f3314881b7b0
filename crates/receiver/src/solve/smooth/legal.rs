//! Points that keep the receiver's rules.

use evenhand_curve::{Curve, Interpolation};

use super::Smooth;
use crate::profile::Ends;
use crate::solve::bisection::Vertices;
use crate::solve::stepped::{Coordinate, free_coordinates};

/// With this many points or fewer each is needed on the climb.
const LEAST_HELD: usize = 4;

/// Even points from end to end.
pub(super) fn straight_line(count: usize) -> Vertices {
    let last = (count - 1) as f64;
    (0..count)
        .map(|index| index as f64 / last)
        .map(|v| (v, v))
        .collect()
}

/// Points drawn a part of the way to the straight line.
pub(super) fn straightened(points: &[(f64, f64)], share: f64) -> Vertices {
    let line = straight_line(points.len());
    let drawn = points.iter().zip(line);
    drawn
        .map(|(a, b)| (a.0 + share * (b.0 - a.0), a.1 + share * (b.1 - a.1)))
        .collect()
}

impl Smooth<'_> {
    /// Points that make a curve which rises: as given, or as near to the straight line as needed.
    pub(super) fn legal(&self, points: Vertices) -> Vertices {
        let points = self.spaced(points);
        for share in [0.0, 0.2, 0.4, 0.6, 0.8] {
            let mixed = self.spaced(straightened(&points, share));
            if self.curve(&mixed).is_some() {
                return mixed;
            }
        }
        self.spaced(straight_line(points.len()))
    }

    /// Points moved as little as needed to keep order, gaps, ends and the unit square.
    pub(super) fn spaced(&self, points: Vertices) -> Vertices {
        if self.locked.iter().any(Option::is_some) {
            self.spaced_around(points)
        } else {
            self.spaced_freely(points)
        }
    }

    /// The same around points that stay.
    fn spaced_around(&self, mut points: Vertices) -> Vertices {
        let last = points.len() - 1;
        let held = |index: usize| -> Option<(f64, f64)> {
            let at = match self.rules.ends {
                Ends::Fixed if index == 0 => Some((0.0, 0.0)),
                Ends::Fixed if index == last => Some((1.0, 1.0)),
                _ => None,
            };
            self.locked.get(index).copied().flatten().or(at)
        };
        if self.rules.ends == Ends::FreeOutput {
            points[0].0 = 0.0;
            points[last].0 = 1.0;
        }
        // What those behind leave to each.
        let mut ceilings = vec![(1.0, 1.0); points.len()];
        let mut ceiling = (1.0, 1.0);
        for index in (0..=last).rev() {
            if let Some(at) = held(index) {
                ceiling = at;
            }
            ceilings[index] = ceiling;
            ceiling.0 -= self.gap;
        }
        let mut floor = (0.0, 0.0);
        for (index, point) in points.iter_mut().enumerate() {
            let most = ceilings[index];
            *point = held(index).unwrap_or((
                point.0.max(floor.0).min(most.0),
                point.1.max(floor.1).min(most.1),
            ));
            floor = (point.0 + self.gap, point.1);
        }
        points
    }

    fn spaced_freely(&self, mut points: Vertices) -> Vertices {
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

    /// Whether the last point but one is held at full output as well, so that all of the plateau is full:
    /// a curve that comes near it within the worst error would let the hand wait.
    pub(super) fn is_held(&self, count: usize) -> bool {
        count > LEAST_HELD
            && self.locked.is_empty()
            && self.is_full_early
            && self.interpolation == Interpolation::MonotoneCubic
            && self.rules.ends == Ends::Fixed
    }

    /// The coordinates that the walk moves.
    pub(super) fn free(&self, count: usize) -> Vec<Coordinate> {
        let held = |at: &Coordinate| *at == (count - 2, true) && self.is_held(count);
        let free = free_coordinates(count, self.rules.ends);
        let locked = |at: &Coordinate| self.locked.get(at.0).is_some_and(Option::is_some);
        free.into_iter()
            .filter(|at| !held(at) && !locked(at))
            .collect()
    }

    /// What must not be negative for the curve to keep the rules: gaps, rises, and for curves that may
    /// overshoot the room below the slopes with which a cubic still rises (F. N. Fritsch and R. E.
    /// Carlson, 1980: both at most three times the secant).
    pub(super) fn shape(&self, points: &[(f64, f64)]) -> Vec<f64> {
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
}
