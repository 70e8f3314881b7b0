//! Control points on a grid, from good ones between its steps: all neighbours on the grid are tried
//! until none is better.

use super::bisection::Vertices;
use crate::profile::Ends;

/// Sets of points up to which all are looked at.
const MOST_SETS: f64 = 2e4;
/// Sweeps over all neighbours.
const MOST_SWEEPS: usize = 200;

/// A coordinate that may move: the point, and whether it is its output.
pub(crate) type Coordinate = (usize, bool);

/// The coordinates of so many points that the rule for ends leaves free.
pub(crate) fn free_coordinates(count: usize, ends: Ends) -> Vec<Coordinate> {
    (0..count)
        .flat_map(|index| [(index, false), (index, true)])
        .filter(|&(index, output)| {
            let end = index == 0 || index == count - 1;
            !end || match ends {
                Ends::Fixed => false,
                Ends::FreeOutput => output,
                Ends::Free => true,
            }
        })
        .collect()
}

/// Points on a grid near to some others, and their error; none where no neighbour is legal.
///
/// `judge` gives the error of points, or nothing where they break a rule.
pub(crate) fn descended(
    from: &[(f64, f64)],
    (input_steps, output_steps): (u32, u32),
    free: &[Coordinate],
    judge: impl Fn(&[(f64, f64)]) -> Option<f64>,
) -> Option<(Vertices, f64)> {
    let steps = |output: bool| f64::from(if output { output_steps } else { input_steps });
    let on_grid = |value: f64, output: bool, round: fn(f64) -> f64| {
        round(value * steps(output)).clamp(0.0, steps(output)) / steps(output)
    };
    // The nearest steps may break a rule, such as a gap, that those below or above keep.
    let rounds: [fn(f64) -> f64; 3] = [f64::round, f64::floor, f64::ceil];
    let mut best: Option<(Vertices, f64)> = None;
    for (round_input, round_output) in rounds
        .iter()
        .flat_map(|a| rounds.iter().map(move |b| (a, b)))
    {
        let points: Vertices = from
            .iter()
            .map(|&(x, y)| {
                (
                    on_grid(x, false, *round_input),
                    on_grid(y, true, *round_output),
                )
            })
            .collect();
        if let Some(error) = judge(&points)
            && best.as_ref().is_none_or(|(_, held)| error < *held)
        {
            best = Some((points, error));
        }
    }
    let (mut points, mut error) = best?;
    let moved = |points: &mut [(f64, f64)], (index, output): Coordinate, by: f64| {
        let at = &mut points[index];
        let at = if output { &mut at.1 } else { &mut at.0 };
        *at = on_grid(*at + by / steps(output), output, f64::round);
    };
    let moves = neighbours(free);
    for _ in 0..MOST_SWEEPS {
        let before = error;
        for step in &moves {
            let mut tried = points.clone();
            for &(coordinate, by) in step {
                moved(&mut tried, coordinate, by);
            }
            if let Some(found) = judge(&tried).filter(|found| *found < error) {
                (points, error) = (tried, found);
            }
        }
        if error >= before {
            break;
        }
    }
    Some((points, error))
}

/// One point anywhere up to two steps away, or two points by a step at most in each coordinate.
fn neighbours(free: &[Coordinate]) -> Vec<Vec<(Coordinate, f64)>> {
    let mut indices: Vec<usize> = free.iter().map(|(index, _)| *index).collect();
    indices.dedup();
    let of = |index: usize, reach: i32| -> Vec<Vec<(Coordinate, f64)>> {
        let mut all = vec![Vec::new()];
        for &coordinate in free.iter().filter(|(other, _)| *other == index) {
            all = all
                .into_iter()
                .flat_map(|step: Vec<(Coordinate, f64)>| {
                    (-reach..=reach)
                        .map(move |by| [step.clone(), vec![(coordinate, f64::from(by))]].concat())
                })
                .collect();
        }
        all
    };
    let mut moves = Vec::new();
    for (number, &first) in indices.iter().enumerate() {
        moves.extend(of(first, 2));
        for &second in &indices[number + 1..] {
            let seconds = of(second, 1);
            for step in of(first, 1) {
                moves.extend(
                    seconds
                        .iter()
                        .map(|other| [step.clone(), other.clone()].concat()),
                );
            }
        }
    }
    moves
}

/// The best of all points on a grid, where there are few enough to look at each.
pub(crate) fn exhausted(
    from: &[(f64, f64)],
    (input_steps, output_steps): (u32, u32),
    free: &[Coordinate],
    judge: impl Fn(&[(f64, f64)]) -> Option<f64>,
) -> Option<(Vertices, f64)> {
    let steps = |output: bool| if output { output_steps } else { input_steps };
    let all: f64 = free
        .iter()
        .map(|(_, output)| f64::from(steps(*output)) + 1.0)
        .product();
    if all > MOST_SETS {
        return None;
    }
    let mut counts = vec![0_u32; free.len()];
    let mut best: Option<(Vertices, f64)> = None;
    loop {
        let mut points = from.to_vec();
        for (&(index, output), count) in free.iter().zip(&counts) {
            let at = f64::from(*count) / f64::from(steps(output));
            *(if output {
                &mut points[index].1
            } else {
                &mut points[index].0
            }) = at;
        }
        if let Some(error) = judge(&points)
            && best.as_ref().is_none_or(|(_, held)| error < *held)
        {
            best = Some((points, error));
        }
        // Counts up as an odometer does.
        let Some(digit) = (0..free.len()).find(|k| counts[*k] < steps(free[*k].1)) else {
            return best;
        };
        counts[..digit].fill(0);
        counts[digit] += 1;
    }
}
