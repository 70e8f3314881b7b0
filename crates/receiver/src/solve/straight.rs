//! Control points joined by straight segments, with the least worst error.

use super::bisection::{BisectionResult, Measure, Vertices, closed_in, hold_ends, least_error};
use super::chain::{self, Tip};
use super::fine_grid;
use super::gridded::{self, GridRules};
use super::ideal::Ideal;
use super::stab::Stab;
use super::tube::{Pins, Plateaus, TubeMaker};
use crate::compile_error::CompileError;
use crate::profile::{Ends, gap_in_steps};

/// How far beside an error that cannot be avoided (a vertical step, a pinned end) the rest of the map
/// may be off as well: one step of eight bits.
const REACH: f64 = 1.0 / 256.0;
/// What floating point may take off a proof of impossibility.
const PROOF_MARGIN: f64 = 1e-12;
/// Halvings of the place from which, or up to which, the map is held; on a grid a few reach its step.
const FREE_HALVINGS: usize = 30;
const GRID_HALVINGS: usize = 10;
/// Even steps of the inner grid for gaps without a grid: at least this many inputs and outputs.
const INNER_INPUTS: f64 = 160.0;
const INNER_OUTPUTS: u32 = 250;

/// Grids with more points are searched about the best vertices without a grid.
const MOST_LOOKED_AT: u64 = 1 << 20;
/// A worst error this near to what nothing can beat, in output steps, is good enough; where steps are so small that
/// nobody sees one, half a step is …
const NEAR_STEPS: f64 = 0.1;
const SMALL_STEPS: u32 = 1024;
const NEAR_SMALL_STEPS: f64 = 0.5;
/// … and where it is not, every point of the tube is looked at, if links and points of the grid, which are remembered in
/// four bytes each, are no more than these.
const MOST_LINKS_SEEN: f64 = 2e7;
const MOST_POINTS_SEEN: f64 = 3e7;

/// What the points must keep.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Rules {
    pub(crate) min_points: usize,
    pub(crate) max_points: usize,
    pub(crate) ends: Ends,
    pub(crate) min_gap: f64,
    /// Input and output steps of the grid.
    pub(crate) grid: Option<(u32, u32)>,
}

/// Vertices, and an error below which there are none.
pub(crate) struct Solved {
    pub(crate) vertices: Vertices,
    pub(crate) lower_bound: f64,
    /// Whether the bound belongs to these very rules, not to looser ones.
    pub(crate) exact: bool,
}

/// Solves for the least worst error. `measure` tells the worst error of vertices independently.
pub(crate) fn solve(
    ideal: &Ideal,
    rules: &Rules,
    measure: &Measure<'_>,
) -> Result<Solved, CompileError> {
    let gaps = (rules.min_points - 1) as f64;
    if gaps * rules.min_gap > 1.0 + PROOF_MARGIN {
        let (points, min_gap) = (rules.min_points, rules.min_gap);
        return Err(CompileError::GapsDoNotFit { points, min_gap });
    }
    if let Some((input_steps, output_steps)) = rules.grid {
        let points = (u64::from(input_steps) + 1) * (u64::from(output_steps) + 1);
        return if points > MOST_LOOKED_AT {
            on_fine_grid(ideal, rules, (input_steps, output_steps), measure)
        } else {
            on_grid(ideal, rules, input_steps, output_steps, measure)
        };
    }
    let free = without_grid(ideal, rules, measure)?;
    if keeps_gap(&free.vertices, rules) {
        return Ok(free);
    }
    // The gap binds: search on an inner grid whose step divides it; the gap-free answer stays the
    // proof of what cannot be beaten.
    let parts = (rules.min_gap * INNER_INPUTS).ceil().max(1.0);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a few hundred"
    )]
    let inputs = (parts / rules.min_gap).floor() as u32;
    let gridded = on_grid(ideal, rules, inputs, INNER_OUTPUTS, measure)?;
    Ok(Solved {
        lower_bound: free.lower_bound,
        exact: false,
        ..gridded
    })
}

fn keeps_gap(vertices: &[(f64, f64)], rules: &Rules) -> bool {
    let mut pairs = vertices.windows(2);
    pairs.all(|pair| pair[1].0 - pair[0].0 >= rules.min_gap)
}

fn pins(ends: Ends) -> Pins {
    let pinned = ends == Ends::Fixed;
    Pins {
        start: pinned,
        end: pinned,
    }
}

fn without_grid(
    ideal: &Ideal,
    rules: &Rules,
    measure: &Measure<'_>,
) -> Result<Solved, CompileError> {
    let maker = TubeMaker::new(ideal, pins(rules.ends), REACH);
    let tip = if rules.ends == Ends::Free {
        Tip::Anywhere
    } else {
        Tip::AtEdge
    };
    let links = rules.max_points - 1;
    let mut stab = Stab::default();
    let mut attempt = |error: f64, plateaus: Plateaus| {
        chain::fewest_links(&maker.tube(error, plateaus), tip, tip, links, &mut stab)
    };
    let found = least(ideal, &maker, false, &mut attempt, measure).ok_or(
        CompileError::NothingOnTheGrid {
            points: rules.max_points,
        },
    )?;
    let lower_bound = bound(&found, &maker);
    Ok(Solved {
        vertices: filled(found.vertices, rules.min_points),
        lower_bound,
        exact: true,
    })
}

/// The ideal map with a row at every column of a grid.
fn with_columns(ideal: &Ideal, input_steps: u32) -> Ideal {
    let columns = (0..=input_steps).map(|column| f64::from(column) / f64::from(input_steps));
    ideal.with_rows_at(columns)
}

impl GridRules {
    fn new(rules: &Rules, input_steps: u32, output_steps: u32) -> Self {
        Self {
            input_steps,
            output_steps,
            gap_steps: gap_in_steps(rules.min_gap, input_steps),
            ends: rules.ends,
            least_links: rules.min_points - 1,
            most_links: rules.max_points - 1,
        }
    }
}

fn on_grid(
    ideal: &Ideal,
    rules: &Rules,
    input_steps: u32,
    output_steps: u32,
    measure: &Measure<'_>,
) -> Result<Solved, CompileError> {
    let ideal = with_columns(ideal, input_steps);
    let maker = TubeMaker::new(&ideal, pins(rules.ends), REACH);
    let grid = GridRules::new(rules, input_steps, output_steps);
    let mut attempt =
        |error: f64, plateaus: Plateaus| gridded::fewest_links(&maker.tube(error, plateaus), &grid);
    let found = least(&ideal, &maker, true, &mut attempt, measure).ok_or(
        CompileError::NothingOnTheGrid {
            points: rules.max_points,
        },
    )?;
    let lower_bound = bound(&found, &maker);
    Ok(Solved {
        vertices: found.vertices,
        lower_bound,
        exact: true,
    })
}

/// On a grid that has too many points to look at: about the best vertices without a grid, whose error nothing beats.
fn on_fine_grid(
    ideal: &Ideal,
    rules: &Rules,
    (input_steps, output_steps): (u32, u32),
    measure: &Measure<'_>,
) -> Result<Solved, CompileError> {
    let without = Rules {
        grid: None,
        ..*rules
    };
    let free = solve(ideal, &without, measure)?;
    let maker = TubeMaker::new(ideal, pins(rules.ends), REACH);
    let grid = GridRules::new(rules, input_steps, output_steps);
    // The free solution may have fewer points than there may be; on a grid each helps.
    let more = filled(free.vertices.clone(), rules.max_points);
    let vertices = if keeps_gap(&more, rules) {
        more
    } else {
        free.vertices
    };
    let found = fine_grid::refined(ideal, &maker, &grid, &vertices).ok_or(
        CompileError::NothingOnTheGrid {
            points: rules.max_points,
        },
    )?;
    let solved = Solved {
        vertices: found.vertices,
        lower_bound: free.lower_bound,
        exact: false,
    };
    let step = f64::from(output_steps).recip();
    let near = if output_steps < SMALL_STEPS {
        NEAR_STEPS
    } else {
        NEAR_SMALL_STEPS
    };
    // Every point of the tube sees what its links can reach.
    let states = f64::from(input_steps) * (2.0 * found.error / step + 1.0);
    let seen = states * f64::from(input_steps) / grid.most_links as f64;
    let points = f64::from(input_steps) * f64::from(output_steps);
    let is_too_large = seen > MOST_LINKS_SEEN || points > MOST_POINTS_SEEN;
    if found.error - free.lower_bound <= near * step || is_too_large {
        return Ok(solved);
    }
    let ideal = with_columns(ideal, input_steps);
    let maker = TubeMaker::new(&ideal, pins(rules.ends), REACH);
    let mut attempt =
        |error: f64, plateaus: Plateaus| gridded::fewest_links(&maker.tube(error, plateaus), &grid);
    let bracket = (free.lower_bound, found.error, 0.5 * near * step);
    let found = closed_in(
        false,
        bracket,
        solved.vertices,
        &mut attempt,
        &avoidable(&maker, measure),
    );
    Ok(Solved {
        lower_bound: bound(&found, &maker),
        vertices: found.vertices,
        exact: true,
    })
}

fn least(
    ideal: &Ideal,
    maker: &TubeMaker,
    stepped: bool,
    attempt: &mut dyn FnMut(f64, Plateaus) -> Option<Vertices>,
    measure: &Measure<'_>,
) -> Option<BisectionResult> {
    let found = least_error(stepped, attempt, &avoidable(maker, measure))?;
    Some(held(found, ideal, stepped, attempt, measure))
}

/// Below the largest error that cannot be avoided a measured error tells nothing of the rest.
fn avoidable<'a>(
    maker: &TubeMaker,
    measure: &'a Measure<'_>,
) -> impl Fn(&[(f64, f64)]) -> f64 + use<'a> {
    let base = maker.largest_base();
    move |vertices| {
        let measured = measure(vertices);
        if measured > base + PROOF_MARGIN {
            measured
        } else {
            f64::INFINITY
        }
    }
}

/// Of maps as good the one that is longest at no and at full output.
fn held(
    found: BisectionResult,
    ideal: &Ideal,
    stepped: bool,
    attempt: &mut dyn FnMut(f64, Plateaus) -> Option<Vertices>,
    measure: &Measure<'_>,
) -> BisectionResult {
    hold_ends(
        found,
        ideal.reaches_full_at(),
        ideal.leaves_zero_at(),
        if stepped {
            GRID_HALVINGS
        } else {
            FREE_HALVINGS
        },
        attempt,
        measure,
    )
}

/// What no map with these rules can beat.
fn bound(found: &BisectionResult, maker: &TubeMaker) -> f64 {
    // Below the largest base the tube was widened, so only the base itself is proven there.
    (found.infeasible.max(maker.largest_base()) - PROOF_MARGIN).max(0.0)
}

/// Splits the longest link until there are enough points.
pub(super) fn filled(mut vertices: Vertices, count: usize) -> Vertices {
    while vertices.len() < count {
        let longest = (1..vertices.len())
            .max_by(|a, b| {
                let length = |i: usize| vertices[i].0 - vertices[i - 1].0;
                length(*a).total_cmp(&length(*b))
            })
            .unwrap_or(1);
        let (a, b) = (vertices[longest - 1], vertices[longest]);
        vertices.insert(longest, (0.5 * (a.0 + b.0), 0.5 * (a.1 + b.1)));
    }
    vertices
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The search about the vertices without a grid, against a look at every point of the grid.
    #[test]
    fn a_grid_taken_for_a_fine_one_gives_almost_the_same() -> Result<(), CompileError> {
        for (power, ends, points) in [
            (0.7, Ends::Fixed, 6),
            (1.7, Ends::Free, 5),
            (2.5, Ends::Fixed, 9),
        ] {
            let bends = (0..=200).map(|step| {
                let x = f64::from(step) / 200.0;
                (x, (x / 0.8).min(1.0).powf(power))
            });
            let ideal = Ideal::from_points(bends)?;
            let rules = Rules {
                min_points: 2,
                max_points: points,
                ends,
                min_gap: 0.0,
                grid: None,
            };
            let measure = |vertices: &[(f64, f64)]| {
                let maker = TubeMaker::new(&ideal, pins(Ends::Free), REACH);
                let links = vertices.windows(2);
                let last = vertices.last().copied().unwrap_or((1.0, 1.0));
                let first = vertices.first().copied().unwrap_or((0.0, 0.0));
                links
                    .map(|pair| maker.needed(pair[0], pair[1], f64::INFINITY))
                    .chain([
                        maker.needed((0.0, first.1), first, f64::INFINITY),
                        maker.needed(last, (1.0, last.1), f64::INFINITY),
                    ])
                    .fold(0.0, f64::max)
            };
            let exact = on_grid(&ideal, &rules, 300, 500, &measure)?;
            let fine = on_fine_grid(&ideal, &rules, (300, 500), &measure)?;
            let (exact, found) = (measure(&exact.vertices), measure(&fine.vertices));
            assert!(fine.lower_bound <= exact + 1e-9);
            assert!(
                (-1e-9..=0.1 / 500.0).contains(&(found - exact)),
                "{found} instead of {exact}"
            );
        }
        Ok(())
    }
}
