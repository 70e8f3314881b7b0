//! A real force sensor through the whole chain: the load-cell calibration of P. Pontius, NIST
//! Statistical Reference Datasets (`reference/nist-strd/linear/Pontius.dat`, seen), with the NIST/SEMATECH
//! e-Handbook's inverse prediction (`reference/metrology/load-cell-pontius.csv`, published values
//! from memory, recomputation agrees).

use evenhand_curve::{Curve, Point, Polyline};
use evenhand_fitting::{Fit, Saturation, Settings, fit};
use evenhand_inversion::{Target, TargetShape, achieved, ideal_map};
use evenhand_measurement::{Force, ReadOptions, parse_measurement};
use evenhand_receiver::{compile, profile};
use evenhand_tests::{number, reference_rows, reference_text};

use crate::formula::assert_within;

/// Deflection that counts as full scale: a little above the largest, so that nothing is censored.
const FULL_SCALE: f64 = 2.2;

/// Certified coefficients of deflection = b0 + b1·load + b2·load².
struct Quadratic([f64; 3]);

impl Quadratic {
    fn deflection(&self, load: f64) -> f64 {
        let [b0, b1, b2] = self.0;
        b0 + load * (b1 + load * b2)
    }

    /// The load at which the quadratic, concave here, first reaches a deflection.
    fn load(&self, deflection: f64) -> f64 {
        let [b0, b1, b2] = self.0;
        2.0 * (deflection - b0) / (b1 + (b1 * b1 - 4.0 * b2 * (b0 - deflection)).sqrt())
    }
}

fn certified(text: &str) -> Quadratic {
    let value = |name: &str| {
        let line = text
            .lines()
            .find(|line| line.trim_start().starts_with(&format!("{name}  ")))
            .unwrap();
        line.split_whitespace().nth(1).unwrap().parse().unwrap()
    };
    Quadratic(["B0", "B1", "B2"].map(value))
}

/// The data as a measurement file: load units as gf, deflection as a fraction of full scale.
fn as_csv(text: &str) -> String {
    let mut csv = String::from("# model = load cell\nforce_gf,reported\n");
    let data = text
        .lines()
        .skip_while(|line| !line.starts_with("Data:       y"))
        .skip(1);
    for line in data {
        let mut cells = line
            .split_whitespace()
            .map(|cell| cell.parse::<f64>().unwrap());
        let (Some(deflection), Some(load)) = (cells.next(), cells.next()) else {
            continue;
        };
        csv += &format!("{load},{:.9}\n", deflection / FULL_SCALE);
    }
    csv
}

fn fitted() -> (Fit, Quadratic) {
    let text = reference_text("nist-strd/linear/Pontius.dat");
    let csv = as_csv(&text);
    let (measurement, _) =
        parse_measurement("pontius.csv", csv.as_bytes(), &ReadOptions::default()).unwrap();
    assert_eq!(measurement.samples.len(), 40);
    let fit = fit(&measurement, &Settings::default()).unwrap();
    (fit, certified(&text))
}

/// A recomputed value of the handbook's inverse prediction.
fn value(name: &str) -> f64 {
    let rows = reference_rows("metrology/load-cell-pontius.csv");
    let row = rows.iter().find(|row| row["quantity"] == name).unwrap();
    number(row, "recomputed")
}

#[test]
fn inverse_loads_follow_the_certified_quadratic() {
    let (fit, quadratic) = fitted();
    // Bound: one residual standard deviation of the certified fit, brought to load units by the
    // certified slope.
    let bound = 0.205177424076185e-3 / quadratic.0[1];
    for step in 1..=58 {
        let load = 150_000.0 + 50_000.0 * f64::from(step - 1);
        let reading = quadratic.deflection(load) / FULL_SCALE;
        let expected = quadratic.load(reading * FULL_SCALE);
        assert_within("the closed form itself", expected, load, 1e-4);
        let Some(found) = fit.force_at(reading) else {
            panic!("no force at {load}")
        };
        let (estimate, low, high) = (found.estimate.gf(), found.low.gf(), found.high.gf());
        assert!((estimate - load).abs() < bound, "{load}: got {estimate}");
        let is_held = low < high && low - bound < load && load < high + bound;
        assert!(is_held, "{load}: {low}..{high}");
    }
}

#[test]
fn the_handbook_interval_holds_the_inverse_prediction() {
    let (fit, _) = fitted();
    let found = fit.force_at(1.239722 / FULL_SCALE).unwrap();
    let (low, high) = (value("load_lower_95"), value("load_upper_95"));
    let estimate = found.estimate.gf();
    let is_inside = low < estimate && estimate < high;
    assert!(is_inside, "{estimate} lies outside {low}..{high}");
    // Our own interval (of the curve alone, and with the bench's common gain) must hold the
    // published load.
    let published = value("load_at_1.239722");
    let is_held = found.low.gf() < published && published < found.high.gf();
    assert!(is_held, "{found:?}");
}

#[test]
fn the_residual_scatter_is_that_of_the_certified_fit() {
    let (fit, _) = fitted();
    let certified = value("resid_sd_degree_2");
    // Root mean square against standard deviation: 40 samples, 3 parameters. A curve of more freedom
    // may come nearer to the data, a too stiff one stays away: within 25 % either way.
    let expected = certified * (37.0_f64 / 40.0).sqrt() / FULL_SCALE;
    let ratio = fit.residual_rms / expected;
    assert!((0.75..1.25).contains(&ratio), "{ratio} of {expected}");
}

#[test]
fn full_scale_was_not_reached_and_is_not_invented() {
    let (fit, _) = fitted();
    let above = Force::from_gf(3_000_000.0);
    assert_eq!(fit.saturation, Saturation::NotReached { above });
}

#[test]
fn a_map_makes_the_load_cell_linear() {
    let (fit, quadratic) = fitted();
    let (light, full) = (150_000.0, 2_700_000.0);
    let [light_at, full_at] = [light, full].map(Force::from_gf);
    let target = Target::new(light_at, full_at, TargetShape::Linear).unwrap();
    let path = ideal_map(fit.response.curve(), &target).unwrap();
    let compiled = compile(profile("segments-8").unwrap(), &path).unwrap();
    let points = compiled.control_points.iter();
    let points = points.map(|p| Point::new(p.input, p.output)).collect();
    let map = Polyline::new(points).unwrap();
    let figures = achieved(fit.response.curve(), &map, &target);
    assert!(figures.max_error <= compiled.max_error + 1e-6);
    // Through the certified quadratic instead of our fit the promise must hold up to what the fit is
    // off by.
    for step in 0..=200 {
        let load = light + (full - light) * f64::from(step) / 200.0;
        let output = map.value(quadratic.deflection(load) / FULL_SCALE);
        let error = (output - target.output(Force::from_gf(load))).abs();
        assert!(error < figures.max_error + 1e-3, "{error} at {load}");
    }
}
