//! Fits in closed form (`reference/curve-fits`, made with scipy 1.17.1, MINPACK from
//! many starts; gamma, Weibull and logistic confirmed there by R's nls): onset and saturation as a
//! ramp, gamma, Weibull and logistic rises, and two hinges through certified growth data.
//!
//! Tolerances of the reference: 1e-6 on estimates of smooth models, 1e-5 on those of hinges, 1e-8 on sums of
//! squares.

use std::collections::BTreeMap;

use evenhand_tests::{number, reference_rows};

use crate::dual::Dual;
use crate::formula::{Formula, assert_near};
use crate::least_squares::{LeastSquaresFit, least_squares};
use crate::strd::read;

/// Expected values of a fit.
fn expected(fit: &str) -> BTreeMap<String, f64> {
    reference_rows("curve-fits/results.csv")
        .iter()
        .filter(|row| row["fit"] == fit)
        .map(|row| (row["parameter"].clone(), number(row, "estimate")))
        .collect()
}

fn data(column: &str) -> Vec<(Vec<f64>, f64)> {
    reference_rows("curve-fits/data.csv")
        .iter()
        .map(|row| (vec![number(row, "force_gf")], number(row, column)))
        .collect()
}

/// The model that fits best out of several starts; a hinge makes many shallow minima.
fn best(model: &Formula<impl Fn(&[f64], &[Dual]) -> Dual>, starts: &[Vec<f64>]) -> LeastSquaresFit {
    let fits = starts.iter().map(|start| least_squares(model, start));
    fits.min_by(|a, b| a.squares.total_cmp(&b.squares)).unwrap()
}

/// Compares a fit with the table; `names` are those of the parameters, in order.
fn compare(fit: &str, names: &[&str], found: &LeastSquaresFit, estimates: f64, squares: f64) {
    let expected = expected(fit);
    for (name, parameter) in names.iter().zip(&found.parameters) {
        let what = format!("{fit}, {name}");
        assert_near(&what, *parameter, expected[*name], estimates);
    }
    let what = format!("{fit}, rss");
    assert_near(&what, found.squares, expected["rss"], squares);
}

/// From 0 at the onset to 1 at saturation, flat beyond.
fn ramp(x: &[f64], onset: Dual, saturation: Dual) -> Dual {
    ((Dual::constant(x[0]) - onset) / (saturation - onset)).clamped()
}

fn grid(first: &[f64], second: &[f64], rest: &[f64]) -> Vec<Vec<f64>> {
    let mut starts = Vec::new();
    for a in first {
        for b in second {
            starts.push([&[*a, *b], rest].concat());
        }
    }
    starts
}

#[test]
fn onset_and_saturation_of_a_ramp() {
    let onsets = [5.0, 9.0, 11.0, 13.0, 15.5, 17.0];
    let saturations = [330.0, 342.0, 345.0, 350.0];
    let starts = |rest: &[f64]| grid(&onsets, &saturations, rest);
    let model = Formula {
        data: data("ramp"),
        parameters: 2,
        predict: |x: &[f64], b: &[Dual]| ramp(x, b[0], b[1]) * 100.0,
    };
    let found = best(&model, &starts(&[]));
    let name = "ramp: lo=0 hi=100 fixed";
    compare(name, &["onset", "saturation"], &found, 1e-5, 1e-8);

    let model = Formula {
        data: data("ramp"),
        parameters: 4,
        predict: |x: &[f64], b: &[Dual]| b[2] + (b[3] - b[2]) * ramp(x, b[0], b[1]),
    };
    let found = best(&model, &starts(&[0.0, 100.0]));
    let names = ["onset", "saturation", "lo", "hi"];
    compare("ramp: lo hi free", &names, &found, 1e-5, 1e-8);
}

#[test]
fn gamma_weibull_and_logistic_rises() {
    let model = Formula {
        data: data("gamma"),
        parameters: 3,
        predict: |x: &[f64], b: &[Dual]| {
            let part = ramp(x, b[0], b[1]);
            // A power of nothing is nothing, whatever the exponent.
            if part.value > 0.0 {
                part.pow(b[2]) * 100.0
            } else {
                Dual::constant(0.0)
            }
        },
    };
    let found = best(&model, &grid(&[5.0, 7.0], &[350.0, 365.0], &[0.7]));
    let names = ["onset", "saturation", "exponent"];
    compare("gamma: lo=0 hi=100 fixed", &names, &found, 1e-6, 1e-8);

    let model = Formula {
        data: data("weibull"),
        parameters: 3,
        predict: |x: &[f64], b: &[Dual]| {
            let part = (Dual::constant(x[0]) - b[0]) / b[1];
            if part.value > 0.0 {
                (-(-part.pow(b[2])).exp() + 1.0) * 100.0
            } else {
                Dual::constant(0.0)
            }
        },
    };
    let found = best(&model, &grid(&[4.0, 5.0], &[100.0, 130.0], &[1.0]));
    let names = ["onset", "scale", "shape"];
    compare("weibull: hi=100 fixed", &names, &found, 1e-6, 1e-8);

    let model = Formula {
        data: data("logistic4"),
        parameters: 4,
        predict: |x: &[f64], b: &[Dual]| {
            let power = (Dual::constant(x[0]) / b[2]).pow(-b[3]);
            b[0] + (b[1] - b[0]) / (power + 1.0)
        },
    };
    let found = least_squares(&model, &[0.0, 100.0, 80.0, 1.0]);
    let names = ["lo", "hi", "mid", "slope"];
    compare("logistic4", &names, &found, 1e-6, 1e-8);
}

#[test]
fn two_hinges_through_certified_growth_data() {
    for name in ["Thurber", "Rat43", "Rat42"] {
        let data = read(&format!("nonlinear/{name}")).data;
        let ends = |of: fn(&(Vec<f64>, f64)) -> f64| {
            let low = data.iter().map(of).fold(f64::INFINITY, f64::min);
            [low, data.iter().map(of).fold(f64::NEG_INFINITY, f64::max)]
        };
        let ([low, high], ends) = (ends(|row| row.0[0]), ends(|row| row.1));
        // The same grid of starts as the reference's global search, coarser.
        let places: Vec<f64> = (0..10)
            .map(|i| low + (high - low) * f64::from(i) / 9.0)
            .collect();
        let starts: Vec<Vec<f64>> = grid(&places, &places, &ends)
            .into_iter()
            .filter(|start| start[1] > start[0])
            .collect();
        let model = Formula {
            data: data.clone(),
            parameters: 4,
            predict: |x: &[f64], b: &[Dual]| b[2] + (b[3] - b[2]) * ramp(x, b[0], b[1]),
        };
        let found = best(&model, &starts);
        let fit = format!("two-hinge ramp on {name}");
        compare(&fit, &["x_lo", "x_hi", "y_lo", "y_hi"], &found, 1e-5, 1e-8);
    }
}
