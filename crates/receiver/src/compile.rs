//! From an ideal map to what a receiver is given.

use evenhand_curve::{Interpolation, MonotonePath};

use crate::check::{verify_legal, worst_error, worst_error_of_curve};
use crate::compile_error::CompileError;
use crate::control_point::ControlPoint;
use crate::interpolation::MapInterpolation;
use crate::map_curve::MapCurve;
use crate::profile::{CurveKind, Ends, Profile, Rounding};
use crate::solve::{
    Ideal, Rules, Solved, solve, solve_around, solve_bezier, solve_power, solve_smooth,
    solve_straight_around, solve_table,
};

/// How a compilation ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CompileStatus {
    /// No legal map is better, up to rounding.
    Optimal,
    /// A better legal map may exist between the bound and this one.
    WithinBound,
}

/// A compiled map.
#[derive(Clone, Debug, PartialEq)]
pub struct Compiled {
    /// The points, legal for the receiver.
    pub control_points: Vec<ControlPoint>,
    /// What the receiver does between them.
    pub interpolation: MapInterpolation,
    /// Of a power, whose two points are (floor, 0) and (ceiling, 1).
    pub exponent: Option<f64>,
    /// The map as a function of the reading.
    pub curve: MapCurve,
    /// Worst error against the ideal map over all readings, fraction of full scale; measured on the
    /// points themselves, not taken from the solver.
    pub max_error: f64,
    /// A worst error below which no legal map gets, proven.
    pub lower_bound: f64,
    /// How the compilation ended.
    pub status: CompileStatus,
}

/// Compiles to the least worst error the receiver allows.
///
/// Points joined by straight segments, on a grid or not, are solved exactly, and so are tables without
/// a grid. Where a least gap binds without a grid, the search runs on a fine inner grid and the bound is
/// that of the gap-free map; a table on a grid is the exact one rounded to its steps, half a step away
/// at most, with the exact one's bound. A Bézier or a power is searched until its worst error is within
/// 0.05 % of full scale of what no other can go below, or for a fixed number of steps; the bound holds
/// either way, for powers among exponents from 1/16 to 16. Of smooth points the best of many searches is
/// given, with what no curve of so many cubics goes below; for Catmull–Rom curves only vertical steps of
/// the ideal map bound it. Smooth points and Béziers on a grid have the bound of those without. Straight points on a
/// grid of more than a million points are searched about the best ones without a grid, whose error bounds them: within
/// a tenth of an output step as a rule, half of one from 1,024 steps on, and a few where an ideal map begins very steeply.
///
/// # Errors
/// Rules that no map keeps, an ideal map outside the unit square.
pub fn compile(profile: &Profile, ideal: &MonotonePath) -> Result<Compiled, CompileError> {
    let rows = Ideal::from_points(ideal.points().iter().map(|p| (p.x, p.y)))?;
    let mut exponent = None;
    let solved = match profile.curve() {
        CurveKind::Points {
            interpolation,
            min_points,
            max_points,
            ends,
            min_gap,
        } => {
            let grid = profile.grid();
            let rules = Rules {
                min_points,
                max_points,
                ends,
                min_gap,
                grid: grid.map(|grid| (grid.input_steps, grid.output_steps)),
            };
            let measure = |vertices: &[(f64, f64)]| worst_error(&as_points(vertices), ideal);
            match interpolation.of_points() {
                None | Some(Interpolation::Linear) => solve(&rows, &rules, &measure)?,
                Some(smooth) => solve_smooth(&rows, &bends(ideal), smooth, &rules, &measure)?,
            }
        }
        CurveKind::Table { entries, ends } => Solved {
            // The bound is that of outputs between steps.
            exact: profile.grid().is_none(),
            ..solve_table(&rows, entries, ends)?
        },
        CurveKind::Bezier { ends } => {
            let grid = profile.grid();
            let grid = grid.map(|grid| (grid.input_steps, grid.output_steps));
            solve_bezier(&rows, &bends(ideal), ends, grid)?
        }
        CurveKind::Power => {
            let found = solve_power(&rows, &bends(ideal));
            exponent = Some(found.exponent);
            Solved {
                vertices: vec![(found.floor, 0.0), (found.ceiling, 1.0)],
                lower_bound: found.lower_bound,
                exact: false,
            }
        }
    };
    let control_points = stored(as_points(&solved.vertices), profile);
    let exact = solved.exact;
    let bound = solved.lower_bound;
    let mut compiled = Compiled::of_points(profile, ideal, control_points, exponent, bound)?;
    if exact && compiled.max_error - compiled.lower_bound < 1e-9 {
        compiled.status = CompileStatus::Optimal;
    }
    Ok(compiled)
}

/// Solves the points anew around some that stay, beginning from those given; `None` where the receiver's
/// curve is none through points or where nothing better than the points given was found.
///
/// Straight segments between fixed ends without a grid or a gap that binds are solved exactly, stretch by
/// stretch. All else is a search from several starts: nothing is proven of it.
#[must_use]
pub fn compile_around(
    profile: &Profile,
    ideal: &MonotonePath,
    points: &[ControlPoint],
    locked: &[bool],
) -> Option<Vec<ControlPoint>> {
    let CurveKind::Points {
        interpolation,
        min_points,
        max_points,
        ends,
        min_gap,
    } = profile.curve()
    else {
        return None;
    };
    let rows = Ideal::from_points(ideal.points().iter().map(|p| (p.x, p.y))).ok()?;
    let rules = Rules {
        min_points,
        max_points,
        ends,
        min_gap,
        grid: profile
            .grid()
            .map(|grid| (grid.input_steps, grid.output_steps)),
    };
    let between = interpolation.of_points().unwrap_or(Interpolation::Linear);
    let vertices: Vec<(f64, f64)> = points.iter().map(|p| (p.input, p.output)).collect();
    let is_straight = between == Interpolation::Linear && ends == Ends::Fixed;
    let straight = is_straight
        .then(|| solve_straight_around(&rows, &vertices, locked))
        .flatten();
    let found = match straight {
        Some(exact) if rules.grid.is_none() && keeps_gaps(&exact, min_gap) => exact,
        start => solve_around(
            &rows,
            &bends(ideal),
            between,
            &rules,
            &vertices,
            locked,
            start,
        )?,
    };
    let found = stored(as_points(&found), profile);
    let error = |points: &[ControlPoint]| {
        let points = points.to_vec();
        Compiled::of_points(profile, ideal, points, None, 0.0).map(|compiled| compiled.max_error)
    };
    let (after, before) = (error(&found).ok()?, error(points).ok()?);
    (after < before).then_some(found)
}

fn keeps_gaps(vertices: &[(f64, f64)], min_gap: f64) -> bool {
    vertices
        .windows(2)
        .all(|pair| pair[1].0 - pair[0].0 >= min_gap && pair[1].0 > pair[0].0)
}

impl Compiled {
    /// Points that come from elsewhere, measured against the ideal map. `lower_bound` is what no legal map
    /// goes below, as a compilation found it.
    ///
    /// # Errors
    /// Points that break a rule of the receiver or make no curve.
    pub fn of_points(
        profile: &Profile,
        ideal: &MonotonePath,
        control_points: Vec<ControlPoint>,
        exponent: Option<f64>,
        lower_bound: f64,
    ) -> Result<Self, CompileError> {
        let interpolation = profile.interpolation();
        verify_legal(profile, &control_points)?;
        let curve = MapCurve::new(interpolation, &control_points, exponent)?;
        let max_error = if interpolation.is_straight() {
            worst_error(&control_points, ideal)
        } else {
            worst_error_of_curve(&curve, ideal)
        };
        Ok(Self {
            control_points,
            interpolation,
            exponent,
            curve,
            max_error,
            lower_bound: lower_bound.min(max_error),
            status: CompileStatus::WithinBound,
        })
    }
}

/// Readings at which the ideal map turns a corner.
fn bends(ideal: &MonotonePath) -> Vec<f64> {
    /// What is left out of the corners moves the map by less than this, fraction of full scale.
    const CORNER: f64 = 1e-3;
    let corners = ideal.simplified(CORNER);
    corners.points().iter().map(|p| p.x).collect()
}

/// Points as the receiver stores them.
fn stored(mut points: Vec<ControlPoint>, profile: &Profile) -> Vec<ControlPoint> {
    if let Some(grid) = profile.grid() {
        // The inputs of a table are not typed but counted.
        let inputs_typed = !matches!(profile.curve(), CurveKind::Table { .. });
        for point in &mut points {
            if inputs_typed {
                point.input = on_step(point.input, grid.input_steps, grid.rounding);
            }
            point.output = on_step(point.output, grid.output_steps, grid.rounding);
        }
    }
    points
}

fn as_points(vertices: &[(f64, f64)]) -> Vec<ControlPoint> {
    vertices
        .iter()
        .map(|&(x, y)| ControlPoint::new(x, y))
        .collect()
}

/// The coordinate that the receiver stores as the step nearest to `value`.
fn on_step(value: f64, steps: u32, rounding: Rounding) -> f64 {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "0..=steps"
    )]
    let step = (value * f64::from(steps)).round() as u32;
    rounding.coordinate_of(step, steps)
}
