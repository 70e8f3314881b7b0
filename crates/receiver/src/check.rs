//! Independent checks of a compiled map; they share nothing with the solver.

use evenhand_curve::{Curve, Knots, MonotonePath, Point};
use thiserror::Error;

use crate::control_point::ControlPoint;
use crate::profile::{CurveKind, Ends, Profile};

/// Gaps are kept to this much: decimals of a gap are rarely doubles.
const GAP_ROUNDING: f64 = 1e-12;
/// Floor and ceiling of a power, and free ends of a Bézier, are at least this far apart.
pub(crate) const LEAST_WIDTH: f64 = 1e-4;

/// A rule of the receiver that control points break. Points are counted from 1.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum RuleBroken {
    /// Too few or too many points.
    #[error("{found} points, where {least} to {most} are allowed")]
    Count {
        /// How many there are.
        found: usize,
        /// Fewest allowed.
        least: usize,
        /// Most allowed.
        most: usize,
    },
    /// A coordinate outside 0..1, or none.
    #[error("point {point} lies outside the unit square")]
    Outside {
        /// The point.
        point: usize,
    },
    /// An input too near to the one before.
    #[error("the input of point {point} is not at least {min_gap} above the one before")]
    Gap {
        /// The point.
        point: usize,
        /// Least distance.
        min_gap: f64,
    },
    /// An output below the one before.
    #[error("the output of point {point} lies below the one before")]
    Falling {
        /// The point.
        point: usize,
    },
    /// An end that is not where it must be.
    #[error("point {point} is not at the end it must be at")]
    End {
        /// The point.
        point: usize,
    },
    /// A handle that does not lie between the ends, so that the segment may turn back.
    #[error("point {point} does not lie between the ends")]
    Handle {
        /// The point.
        point: usize,
    },
    /// A curve that falls or runs backwards between points that rise.
    #[error("the curve through the points falls or runs backwards between them")]
    Overshoots,
    /// An entry of a table that is not at its reading.
    #[error("entry {point} is not at its reading")]
    Misplaced {
        /// The entry.
        point: usize,
    },
    /// A coordinate that the receiver would move.
    #[error("point {point} is not on the grid")]
    OffGrid {
        /// The point.
        point: usize,
    },
}

/// Whether the receiver takes these points as they are.
///
/// # Errors
/// The first rule broken. The points of a Bézier are its ends and handles, those of a power (floor, 0)
/// and (ceiling, 1).
pub fn verify_legal(profile: &Profile, points: &[ControlPoint]) -> Result<(), RuleBroken> {
    let (min_points, max_points, ends, min_gap) = match profile.curve() {
        CurveKind::Points {
            min_points,
            max_points,
            ends,
            min_gap,
            ..
        } => (min_points, max_points, ends, min_gap),
        // The inputs of a table are where they are counted to be.
        CurveKind::Table { entries, ends } => (
            entries,
            entries,
            match ends {
                Ends::Free => Ends::FreeOutput,
                fixed => fixed,
            },
            0.0,
        ),
        CurveKind::Bezier { ends } => (4, 4, ends, f64::NEG_INFINITY),
        // Floor and ceiling.
        CurveKind::Power => (2, 2, Ends::Free, LEAST_WIDTH),
    };
    let is_table = matches!(profile.curve(), CurveKind::Table { .. });
    let found = points.len();
    if !(min_points..=max_points).contains(&found) {
        return Err(RuleBroken::Count {
            found,
            least: min_points,
            most: max_points,
        });
    }
    for (index, point) in points.iter().enumerate() {
        let unit = 0.0..=1.0;
        if !unit.contains(&point.input) || !unit.contains(&point.output) {
            return Err(RuleBroken::Outside { point: index + 1 });
        }
        if let Some(grid) = profile.grid() {
            let typed = [
                (point.output, grid.output_steps),
                (point.input, grid.input_steps),
            ];
            // The inputs of a table are not typed.
            for (value, steps) in typed.into_iter().take(if is_table { 1 } else { 2 }) {
                let stored = grid.rounding.step_of(value, steps) / f64::from(steps);
                if (stored - value).abs() > 1e-12 {
                    return Err(RuleBroken::OffGrid { point: index + 1 });
                }
            }
        }
    }
    if is_table {
        let last = (found - 1).max(1) as f64;
        let misplaced = |(index, point): (usize, &ControlPoint)| {
            (point.input - index as f64 / last).abs() > GAP_ROUNDING
        };
        if let Some(index) = points.iter().enumerate().position(misplaced) {
            return Err(RuleBroken::Misplaced { point: index + 1 });
        }
    }
    // Handles of a Bézier may cross: the segment rises all the same.
    let handles = matches!(profile.curve(), CurveKind::Bezier { .. });
    for (index, pair) in points.windows(2).enumerate().filter(|_| !handles) {
        let gap = pair[1].input - pair[0].input;
        if gap <= 0.0 || gap < min_gap - GAP_ROUNDING {
            return Err(RuleBroken::Gap {
                point: index + 2,
                min_gap,
            });
        }
        if pair[1].output < pair[0].output {
            return Err(RuleBroken::Falling { point: index + 2 });
        }
    }
    let (first, last) = (points[0], points[found - 1]);
    if handles {
        let between = |at: &ControlPoint| {
            (first.input..=last.input).contains(&at.input)
                && (first.output..=last.output).contains(&at.output)
        };
        if let Some(index) = points.iter().position(|point| !between(point)) {
            return Err(RuleBroken::Handle { point: index + 1 });
        }
        if last.input - first.input < LEAST_WIDTH - GAP_ROUNDING {
            return Err(RuleBroken::Gap {
                point: 4,
                min_gap: 0.0,
            });
        }
    }
    if let CurveKind::Points { interpolation, .. } = profile.curve()
        && let Some(between) = interpolation.of_points()
    {
        let corners = points.iter().map(|p| Point::new(p.input, p.output));
        let rises =
            Knots::new(corners.collect(), between).is_ok_and(|knots| knots.is_non_decreasing());
        if !rises {
            return Err(RuleBroken::Overshoots);
        }
    }
    if profile.curve() == CurveKind::Power && (first.output, last.output) != (0.0, 1.0) {
        return Err(RuleBroken::End { point: 1 });
    }
    let placed = |point: ControlPoint, at: f64| match ends {
        Ends::Fixed => point.input == at && point.output == at,
        Ends::FreeOutput => point.input == at,
        Ends::Free => true,
    };
    if !placed(first, 0.0) {
        return Err(RuleBroken::End { point: 1 });
    }
    if !placed(last, 1.0) {
        return Err(RuleBroken::End { point: found });
    }
    Ok(())
}

/// Largest distance between straight segments through the points (held beyond both ends) and the
/// path: at a vertical step of the path the larger distance to its foot and top.
///
/// Both are straight between their corners, so the corners of either are enough.
#[must_use]
pub fn worst_error(points: &[ControlPoint], path: &MonotonePath) -> f64 {
    let corners = path.points().iter().map(|p| p.x);
    let knots = points.iter().map(|p| p.input);
    largest_distance(path, corners.chain(knots), |x| straight(points, x))
}

/// Largest distance between a curve and the path, looked at on a dense grid: every corner of the path,
/// even readings, and even outputs, so that steep and flat places are both seen.
#[must_use]
pub(crate) fn worst_error_of_curve(curve: &dyn Curve, path: &MonotonePath) -> f64 {
    const DENSE: u32 = 4096;
    let even = (0..=DENSE).map(|i| f64::from(i) / f64::from(DENSE));
    let corners = path.points().iter().map(|p| p.x);
    let outputs = even.clone().map(|y| path.inverse(y));
    let curves = even.clone().map(|y| curve.inverse(y));
    let readings = even.chain(corners).chain(outputs).chain(curves);
    largest_distance(path, readings, |x| curve.value(x))
}

fn largest_distance(
    path: &MonotonePath,
    readings: impl Iterator<Item = f64>,
    output: impl Fn(f64) -> f64,
) -> f64 {
    readings
        .map(|x| {
            let (least, most) = path.band(x);
            let output = output(x);
            (output - least).abs().max((output - most).abs())
        })
        .fold(0.0, f64::max)
}

fn straight(points: &[ControlPoint], x: f64) -> f64 {
    let after = points.partition_point(|p| p.input < x);
    match (after.checked_sub(1).map(|i| points[i]), points.get(after)) {
        (Some(a), Some(b)) => {
            let part = (x - a.input) / (b.input - a.input);
            a.output * (1.0 - part) + b.output * part
        }
        (None, Some(b)) => b.output,
        (Some(a), None) => a.output,
        (None, None) => 0.0,
    }
}
