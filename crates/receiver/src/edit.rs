//! Points moved by hand, kept legal by where they can go.

use crate::check::verify_legal;
use crate::control_point::ControlPoint;
use crate::map_curve::MapCurve;
use crate::profile::{CurveKind, Ends, Grid, Profile};

/// Least distance of neighbouring inputs of points that are moved by hand, where the receiver names none.
const LEAST_GAP: f64 = 1e-3;
/// Halvings of the way to where a point may not go.
const HALVINGS: usize = 24;

/// Which way a point may be moved at all.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Freedom {
    /// Its input may change.
    pub input: bool,
    /// Its output may change.
    pub output: bool,
}

/// What the receiver lets a point do.
#[must_use]
pub fn freedom(profile: &Profile, points: &[ControlPoint], index: usize) -> Freedom {
    let is_end = index == 0 || index + 1 == points.len();
    let of_ends = |ends: Ends| match ends {
        Ends::Fixed => Freedom {
            input: false,
            output: false,
        },
        Ends::FreeOutput => Freedom {
            input: false,
            output: true,
        },
        Ends::Free => Freedom {
            input: true,
            output: true,
        },
    };
    let all = of_ends(Ends::Free);
    match profile.curve() {
        CurveKind::Points { ends, .. } | CurveKind::Bezier { ends } if is_end => of_ends(ends),
        CurveKind::Points { .. } | CurveKind::Bezier { .. } => all,
        CurveKind::Power => Freedom {
            input: true,
            output: false,
        },
        CurveKind::Table { ends, .. } => Freedom {
            input: false,
            output: !is_end || ends != Ends::Fixed,
        },
    }
}

/// The points after one of them was dragged towards a place: as near to it as order, gaps, ends, grid and
/// the unit square allow, and where the curve would fall before that, as far as it does not. Points that
/// are legal stay legal.
#[must_use]
pub fn move_point(
    profile: &Profile,
    points: &[ControlPoint],
    index: usize,
    to: ControlPoint,
) -> Vec<ControlPoint> {
    let Some(from) = points.get(index).copied() else {
        return points.to_vec();
    };
    let free = freedom(profile, points, index);
    let wanted = ControlPoint::new(
        if free.input && to.input.is_finite() {
            to.input
        } else {
            from.input
        },
        if free.output && to.output.is_finite() {
            to.output
        } else {
            from.output
        },
    );
    let placed = |share: f64| {
        let between = |a: f64, b: f64| a + share * (b - a);
        let towards = ControlPoint::new(
            between(from.input, wanted.input),
            between(from.output, wanted.output),
        );
        let mut moved = points.to_vec();
        moved[index] = nearest(profile, points, index, towards);
        verify_legal(profile, &moved).is_ok().then_some(moved)
    };
    if let Some(moved) = placed(1.0) {
        return moved;
    }
    let (mut legal, mut best) = (0.0, points.to_vec());
    let mut broken = 1.0;
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(legal, broken);
        match placed(middle) {
            Some(moved) => (legal, best) = (middle, moved),
            None => broken = middle,
        }
    }
    best
}

/// One point more, on the curve at a reading, if the receiver takes so many and there is room.
#[must_use]
pub fn add_point(
    profile: &Profile,
    points: &[ControlPoint],
    curve: &MapCurve,
    input: f64,
) -> Option<(Vec<ControlPoint>, usize)> {
    use evenhand_curve::Curve as _;
    let CurveKind::Points { max_points, .. } = profile.curve() else {
        return None;
    };
    if points.len() >= max_points || !input.is_finite() {
        return None;
    }
    let index = points.partition_point(|point| point.input < input);
    let mut more = points.to_vec();
    more.insert(index, ControlPoint::new(input, curve.value(input)));
    more[index] = nearest(profile, &more, index, more[index]);
    verify_legal(profile, &more)
        .is_ok()
        .then_some((more, index))
}

/// One point less, if the receiver takes so few and the curve still rises.
#[must_use]
pub fn remove_point(
    profile: &Profile,
    points: &[ControlPoint],
    index: usize,
) -> Option<Vec<ControlPoint>> {
    if !matches!(profile.curve(), CurveKind::Points { .. })
        || index == 0
        || index + 1 >= points.len()
    {
        return None;
    }
    let mut fewer = points.to_vec();
    fewer.remove(index);
    verify_legal(profile, &fewer).is_ok().then_some(fewer)
}

/// The place nearest to `to` that order, gap, grid and the unit square leave a point.
fn nearest(
    profile: &Profile,
    points: &[ControlPoint],
    index: usize,
    to: ControlPoint,
) -> ControlPoint {
    let (inputs, outputs) = room(profile, points, index);
    let grid = profile.grid();
    let from = points[index];
    let free = freedom(profile, points, index);
    let input = if free.input {
        let snapping = grid.map(|grid| (grid, grid.input_steps));
        within(to.input, inputs, snapping).unwrap_or(from.input)
    } else {
        from.input
    };
    let output = if free.output {
        let snapping = grid.map(|grid| (grid, grid.output_steps));
        within(to.output, outputs, snapping).unwrap_or(from.output)
    } else {
        from.output
    };
    ControlPoint::new(input, output)
}

type Span = (f64, f64);

/// Inputs and outputs between which a point may lie.
fn room(profile: &Profile, points: &[ControlPoint], index: usize) -> (Span, Span) {
    let last = points.len() - 1;
    let before = (index > 0).then(|| points[index - 1]);
    let after = (index < last).then(|| points[index + 1]);
    match profile.curve() {
        CurveKind::Bezier { .. } => {
            if index == 0 || index == last {
                // The handles stay between the ends.
                let others = || points.iter().enumerate().filter(|(at, _)| *at != index);
                let inputs = others().map(|(_, p)| p.input);
                let outputs = others().map(|(_, p)| p.output);
                if index == 0 {
                    (
                        (0.0, inputs.fold(1.0, f64::min)),
                        (0.0, outputs.fold(1.0, f64::min)),
                    )
                } else {
                    (
                        (inputs.fold(0.0, f64::max), 1.0),
                        (outputs.fold(0.0, f64::max), 1.0),
                    )
                }
            } else {
                (
                    (points[0].input, points[last].input),
                    (points[0].output, points[last].output),
                )
            }
        }
        kind => {
            let named = match kind {
                CurveKind::Points { min_gap, .. } => min_gap,
                _ => 0.0,
            };
            // Points that were solved nearer to each other stay as near as they are.
            let here = points[index].input;
            let nearest = [
                before.map(|p| here - p.input),
                after.map(|p| p.input - here),
            ]
            .into_iter()
            .flatten()
            .fold(LEAST_GAP, f64::min);
            let gap = named.max(nearest);
            (
                (
                    before.map_or(0.0, |p| p.input + gap),
                    after.map_or(1.0, |p| p.input - gap),
                ),
                (
                    before.map_or(0.0, |p| p.output),
                    after.map_or(1.0, |p| p.output),
                ),
            )
        }
    }
}

/// The value in a span nearest to `value`, on the grid where there is one; `None` where nothing lies
/// there.
fn within(value: f64, (low, high): Span, grid: Option<(Grid, u32)>) -> Option<f64> {
    /// Ends of a span that are steps themselves belong to it.
    const ROUNDING: f64 = 1e-9;
    let Some((grid, steps)) = grid else {
        return (low <= high).then(|| value.clamp(low, high));
    };
    let count = f64::from(steps);
    let (first, last) = (
        (low * count - ROUNDING).ceil(),
        (high * count + ROUNDING).floor(),
    );
    if first > last {
        return None;
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "0..=steps"
    )]
    let step = (value * count).round().clamp(first, last).clamp(0.0, count) as u32;
    Some(grid.rounding.coordinate_of(step, steps))
}
