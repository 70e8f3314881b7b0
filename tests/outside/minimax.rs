//! Compiling to straight segments against best polylines of known functions
//! (`reference/approximation`: recomputed at 30 digits, closed forms derived, checked by linear
//! programming; tolerance 1e-9 on errors, 1e-6 on knots).

use evenhand_curve::{MonotonePath, Point};
use evenhand_receiver::{CompileStatus, Compiled, Ends, Profile, compile};
use evenhand_tests::{number, reference_rows};

use crate::formula::assert_within;

/// Points of the path that stands for a function. Chords of this many points deviate by less than
/// 2e-10 for the functions here.
const POINTS: u32 = 60_000;

/// The functions of the tables; each is brought to the unit interval before compiling.
fn function(name: &str) -> fn(f64) -> f64 {
    match name {
        "x^2" => |x| x * x,
        "x^3" => |x| x * x * x,
        "x^1.8" => |x| x.powf(1.8),
        "x^2.2" => |x| x.powf(2.2),
        "x^0.5" => f64::sqrt,
        "x^(1/2.2)" => |x| x.powf(1.0 / 2.2),
        "exp(x)" => f64::exp,
        "1-exp(-3x)" => |x| 1.0 - (-3.0 * x).exp(),
        "1/(1+x)" => |x| 1.0 / (1.0 + x),
        "smoothstep 3x^2-2x^3" => |x| x * x * (3.0 - 2.0 * x),
        "logistic k=10 rescaled" => |x| 1.0 / (1.0 + (10.0 * (0.5 - x)).exp()),
        "ramp-gamma clip((x-0.05)/0.6)^1.8" => |x| ((x - 0.05) / 0.6).clamp(0.0, 1.0).powf(1.8),
        _ => panic!("no function {name}"),
    }
}

/// The function as a rising path between two outputs, and the factor from its outputs to the path's.
fn path(name: &str, low: f64, high: f64, steps: u32, power: i32) -> (MonotonePath, f64) {
    let f = function(name);
    let (from, to) = (f(0.0), f(1.0));
    let factor = (high - low) / (to - from);
    let points = (0..=steps)
        // Powers of even steps: roots bend without limit at 0.
        .map(|i| (f64::from(i) / f64::from(steps)).powi(power))
        .map(|x| Point::new(x, low + (f(x) - from) * factor))
        .collect();
    (MonotonePath::new(points).unwrap(), factor.abs())
}

fn spacing(name: &str) -> i32 {
    if name.starts_with("x^") { 4 } else { 1 }
}

fn segments(count: usize, ends: Ends) -> Profile {
    let text = format!(
        "name = \"test\"\ntitle = \"Test\"\n[curve]\nkind = \"points\"\ninterpolation = \"linear\"\npoints = {{ min = 2, max = {} }}\nends = \"{}\"\n",
        count + 1,
        ends.as_str()
    );
    Profile::parse(&text, "test").unwrap()
}

fn proven(compiled: &Compiled, case: &str) {
    assert_eq!(compiled.status, CompileStatus::Optimal, "{case}");
    let gap = compiled.max_error - compiled.lower_bound;
    assert!((0.0..1e-9).contains(&gap), "{case}: {compiled:?}");
}

#[test]
fn pinned_ends() {
    let rows = reference_rows("approximation/minimax-polyline-pinned.csv");
    assert_eq!(rows.len(), 54);
    for row in &rows {
        let (name, n) = (row["function"].as_str(), row["n"].parse::<usize>().unwrap());
        let (path, factor) = path(name, 0.0, 1.0, POINTS, spacing(name));
        let compiled = compile(&segments(n, Ends::Fixed), &path).unwrap();
        let case = format!("{name}, {n} segments");
        proven(&compiled, &case);
        let expected = number(row, "E_pinned") * factor;
        assert_within(&case, compiled.max_error, expected, 1e-9);
        let knots: Vec<f64> = row["knots"]
            .split_whitespace()
            .map(|k| k.parse().unwrap())
            .collect();
        assert_eq!(compiled.control_points.len(), knots.len(), "{case}");
        for (point, knot) in compiled.control_points.iter().zip(&knots) {
            assert_within(&case, point.input, *knot, 1e-6);
        }
    }
}

#[test]
fn free_outputs_at_the_ends() {
    let rows = reference_rows("approximation/minimax-polyline.csv");
    for row in &rows {
        let (name, n) = (row["function"].as_str(), row["n"].parse::<usize>().unwrap());
        // In the middle of the outputs, so that the best ends stay in the unit square.
        let (path, factor) = path(name, 0.25, 0.75, POINTS, spacing(name));
        let compiled = compile(&segments(n, Ends::FreeOutput), &path).unwrap();
        let case = format!("{name}, {n} segments");
        proven(&compiled, &case);
        let expected = number(row, "E_free") * factor;
        assert_within(&case, compiled.max_error, expected, 1e-9);
    }
}

/// Closed form for x² with pinned ends: 1 / (4 (1 + √2 (n − 1))²).
#[test]
fn the_closed_form_of_the_square() {
    let (path, _) = path("x^2", 0.0, 1.0, POINTS, 1);
    for n in 1..=15_u32 {
        let compiled = compile(&segments(n as usize, Ends::Fixed), &path).unwrap();
        let expected = 0.25 / (1.0 + 2.0_f64.sqrt() * (f64::from(n) - 1.0)).powi(2);
        assert_within(&n.to_string(), compiled.max_error, expected, 1e-9);
    }
}

/// With vertices bound to the curve the error is larger: an upper bound for ours, on the same path.
#[test]
fn never_worse_than_vertices_on_the_curve() {
    for row in &reference_rows("approximation/discrete-interpolating-dp.csv") {
        let (name, n) = (row["function"].as_str(), row["n"].parse::<usize>().unwrap());
        let (path, _) = path(name, 0.0, 1.0, 200, 1);
        let compiled = compile(&segments(n, Ends::Fixed), &path).unwrap();
        let case = format!("{name}, {n} segments");
        proven(&compiled, &case);
        let bound = number(row, "E");
        let error = compiled.max_error;
        assert!(error <= bound + 1e-12, "{case}: {error} above {bound}");
    }
}
