//! Curves through points against other libraries' values (`reference/interpolation`: recomputed with
//! scipy 1.17.1 and R 4.2.2, which agree among themselves to 3e-14; tolerance 1e-12 of the
//! data's range, 1e-13 for the Catmull–Rom segment) and CSS Easing's cubic-bezier
//! (`reference/units-devices`: 30-digit bisection; 1e-12). The data: Fritsch and Carlson's RPN 15A,
//! Akima's examples (both seen in secondary sources), de Boor's titanium heat data, edge cases.

use std::collections::BTreeMap;

use evenhand_curve::{CubicBezier, Curve, Interpolation, Knots, Point};
use evenhand_tests::{Row, number, reference_rows};

use crate::formula::assert_within;

fn sets() -> BTreeMap<String, Vec<Point>> {
    let mut sets: BTreeMap<String, Vec<Point>> = BTreeMap::new();
    for row in reference_rows("interpolation/data.csv") {
        let point = Point::new(number(&row, "x"), number(&row, "y"));
        sets.entry(row["set"].clone()).or_default().push(point);
    }
    sets
}

fn range(points: &[Point]) -> f64 {
    let outputs = || points.iter().map(|p| p.y);
    outputs().fold(f64::NEG_INFINITY, f64::max) - outputs().fold(f64::INFINITY, f64::min)
}

/// Compares a column with what curves give, as far as the column goes. Returns how many cells it had.
fn compare(rows: &[Row], column: &str, interpolation: Interpolation) -> usize {
    let sets = sets();
    let mut compared = 0;
    for row in rows.iter().filter(|row| !row[column].is_empty()) {
        let points = &sets[&row["set"]];
        let x = number(row, "x");
        let curve = through(points, interpolation);
        let (expected, got) = (number(row, column), curve.value(x));
        let what = format!("{column} of {} at {x}", row["set"]);
        assert_within(&what, got, expected, 1e-12 * range(points));
        compared += 1;
    }
    compared
}

fn through(points: &[Point], interpolation: Interpolation) -> Knots {
    Knots::new(points.to_vec(), interpolation).unwrap()
}

/// The steepest secant: slopes are compared on its scale.
fn steepest(points: &[Point]) -> f64 {
    points
        .windows(2)
        .map(|w| ((w[1].y - w[0].y) / (w[1].x - w[0].x)).abs())
        .fold(0.0, f64::max)
}

#[test]
fn values_of_scipy() {
    let rows = reference_rows("interpolation/interpolant-grid.csv");
    assert!(compare(&rows, "pchip", Interpolation::MonotoneCubic) > 400);
    assert!(compare(&rows, "natural", Interpolation::NaturalCubic) > 400);
}

#[test]
fn slopes_of_scipy_at_the_points() {
    let rows = reference_rows("interpolation/pchip-slopes.csv");
    let sets = sets();
    for row in &rows {
        let points = &sets[&row["set"]];
        let curve = through(points, Interpolation::MonotoneCubic);
        let index: usize = row["i"].parse().unwrap();
        let (expected, got) = (number(row, "pchip"), curve.slope(points[index].x));
        let what = format!("{} {index}", row["set"]);
        assert_within(&what, got, expected, 1e-12 * steepest(points));
    }
}

#[test]
fn values_of_r() {
    let rows = reference_rows("interpolation/r-grid.csv");
    assert!(compare(&rows, "natural", Interpolation::NaturalCubic) > 400);
}

#[test]
fn titanium_heat_data() {
    let subset: Vec<Point> = reference_rows("interpolation/titanium.csv")
        .iter()
        .filter(|row| row["subset12"] == "1")
        .map(|row| Point::new(number(row, "x"), number(row, "y")))
        .collect();
    assert_eq!(subset.len(), 12);
    let natural = through(&subset, Interpolation::NaturalCubic);
    let pchip = through(&subset, Interpolation::MonotoneCubic);
    for row in &reference_rows("interpolation/titanium-splines.csv") {
        let x = number(row, "x");
        for (column, curve) in [("natural", &natural), ("pchip", &pchip)] {
            let (expected, got) = (number(row, column), curve.value(x));
            let what = format!("{column} at {x}");
            assert_within(&what, got, expected, 1e-12 * range(&subset));
        }
    }
}

#[test]
fn catmull_rom_segment() {
    let points = [(0.0, 0.0), (1.0, 2.0), (4.0, 3.0), (5.0, 0.0)].map(Point::from);
    let curve = through(&points, Interpolation::CatmullRom);
    for row in &reference_rows("interpolation/catmull-rom.csv") {
        let (x, expected) = (number(row, "uniform_x"), number(row, "uniform_y"));
        assert_within(&format!("at {x}"), curve.value(x), expected, 1e-13 * 3.0);
    }
}

#[test]
fn css_cubic_bezier() {
    let mut compared = 0;
    for row in &reference_rows("units-devices/css-cubic-bezier.csv") {
        let [x1, y1, x2, y2, x, y] = ["x1", "y1", "x2", "y2", "x", "y"].map(|c| number(row, c));
        // Outside 0..1 CSS goes straight on; a curve here holds its ends.
        if !(0.0..=1.0).contains(&x) {
            continue;
        }
        let control = [(0.0, 0.0), (x1, y1), (x2, y2), (1.0, 1.0)].map(Point::from);
        let got = CubicBezier::new(control).unwrap().value(x);
        assert_within(&format!("{} at {x}", row["name"]), got, y, 1e-12);
        compared += 1;
    }
    assert!(compared > 100, "{compared}");
}
