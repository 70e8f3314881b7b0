//! The least-squares engine against the NIST Statistical Reference Datasets for linear and nonlinear
//! regression (`reference/nist-strd`, seen): certified parameters, standard deviations and sums of
//! squares, from both starts of each nonlinear set.
//!
//! Tolerances are those of the reference's own README. Departures are tagged DEPARTURE.

use std::f64::consts::PI;

use evenhand_fitting::{LeastSquaresFit, SolveStatus, least_squares};
use evenhand_tests::reference_text;

use crate::dual::Dual;
use crate::formula::{Formula, assert_near};

/// A set as its file gives it.
pub(crate) struct Set {
    /// Each parameter: starts (for nonlinear sets), certified value, certified standard deviation.
    pub(crate) parameters: Vec<(Vec<f64>, f64, f64)>,
    pub(crate) residual_deviation: f64,
    pub(crate) data: Vec<(Vec<f64>, f64)>,
}

pub(crate) fn read(name: &str) -> Set {
    let text = reference_text(&format!("nist-strd/{name}.dat"));
    let numbers = |line: &str| -> Option<Vec<f64>> {
        line.split_whitespace().map(|w| w.parse().ok()).collect()
    };
    let mut set = Set {
        parameters: Vec::new(),
        residual_deviation: f64::NAN,
        data: Vec::new(),
    };
    let mut expects_deviation = false;
    let mut in_data = false;
    for line in text.lines().skip(25) {
        let line = line.trim();
        if in_data {
            if let Some(values) = numbers(line).filter(|v| v.len() > 1) {
                set.data.push((values[1..].to_vec(), values[0]));
            }
            continue;
        }
        in_data = line.starts_with("Data:") && line.contains('y');
        let word = line.split_whitespace().next().unwrap_or_default();
        let is_parameter = word.len() > 1
            && word.starts_with(['b', 'B'])
            && word[1..].chars().all(|c| c.is_ascii_digit());
        if is_parameter {
            let rest = line[word.len()..].trim_start_matches([' ', '=']);
            if let Some(values) = numbers(rest).filter(|v| v.len() >= 2) {
                let (starts, certified) = values.split_at(values.len() - 2);
                set.parameters
                    .push((starts.to_vec(), certified[0], certified[1]));
            }
        }
        // "Residual Standard Deviation: x", or the same over two lines.
        let value = line.split_whitespace().last().and_then(|w| w.parse().ok());
        let names_it = line.contains("Standard Deviation") || expects_deviation;
        if let (Some(value), true) = (value, names_it) {
            set.residual_deviation = value;
        }
        expects_deviation = line == "Residual";
    }
    assert!(!set.data.is_empty() && !set.parameters.is_empty(), "{name}");
    assert!(set.residual_deviation.is_finite(), "{name}");
    set
}

fn check(name: &str, set: &Set, found: &LeastSquaresFit, estimates: f64, deviations: f64) {
    let Some(errors) = found.standard_errors() else {
        panic!("{name}: no standard errors at {:?}", found.parameters)
    };
    for (index, (_, value, deviation)) in set.parameters.iter().enumerate() {
        let what = format!("{name}, parameter {}", index + 1);
        assert_near(&what, found.parameters[index], *value, estimates);
        if *deviation > 0.0 {
            let what = format!("{what}, standard deviation");
            assert_near(&what, errors[index], *deviation, deviations);
        } else {
            assert!(errors[index] < 1e-4 * value.abs(), "{what} is exact");
        }
    }
    if set.residual_deviation > 0.0 {
        assert_near(
            &format!("{name}, residual standard deviation"),
            found.residual_deviation(),
            set.residual_deviation,
            deviations,
        );
    } else {
        assert!(found.residual_deviation() < 1e-4, "{name} is exact");
    }
}

fn polynomial(x: &[f64], b: &[Dual]) -> Dual {
    b.iter()
        .rev()
        .fold(Dual::constant(0.0), |sum, b| sum * x[0] + *b)
}

#[test]
fn linear_sets() {
    // Ten times what Householder reflections reached in doubles, from the reference's README.
    let sets = [
        ("Norris", 6e-12),
        ("Pontius", 6e-12),
        ("Wampler1", 1e-8),
        ("Wampler2", 1e-8),
        ("Wampler3", 1e-8),
        ("Wampler4", 2e-7),
        ("Wampler5", 2e-5),
        ("Filip", 1e-7),
    ];
    for (name, allowed) in sets {
        let set = read(&format!("linear/{name}"));
        let parameters = set.parameters.len();
        let model = Formula {
            data: set.data.clone(),
            parameters,
            predict: polynomial,
        };
        let found = least_squares(&model, &vec![0.0; parameters]);
        check(name, &set, &found, allowed, 1e-4_f64.min(100.0 * allowed));
    }
}

#[test]
fn linear_sets_without_or_with_several_predictors() {
    for name in ["NoInt1", "NoInt2"] {
        let set = read(&format!("linear/{name}"));
        let model = Formula {
            data: set.data.clone(),
            parameters: 1,
            predict: |x: &[f64], b: &[Dual]| b[0] * x[0],
        };
        check(name, &set, &least_squares(&model, &[0.0]), 1e-12, 1e-12);
    }
    let set = read("linear/Longley");
    let model = Formula {
        data: set.data.clone(),
        parameters: 7,
        predict: |x: &[f64], b: &[Dual]| {
            x.iter()
                .zip(&b[1..])
                .fold(b[0], |sum, (x, b)| sum + *b * *x)
        },
    };
    let found = least_squares(&model, &[0.0; 7]);
    check("Longley", &set, &found, 1e-9, 1e-9);
}

/// The prediction of each nonlinear set, as its file states it.
pub(crate) fn prediction(name: &str) -> fn(&[f64], &[Dual]) -> Dual {
    match name {
        "Misra1a" | "BoxBOD" => |x, b| b[0] * (-(-(b[1] * x[0])).exp() + 1.0),
        "Misra1b" => |x, b| b[0] * (-(b[1] * (0.5 * x[0]) + 1.0).powf(-2.0) + 1.0),
        "Misra1c" => |x, b| b[0] * (-(b[1] * (2.0 * x[0]) + 1.0).powf(-0.5) + 1.0),
        "Misra1d" => |x, b| b[0] * b[1] * x[0] / (b[1] * x[0] + 1.0),
        "Chwirut1" | "Chwirut2" => |x, b| (-(b[0] * x[0])).exp() / (b[1] + b[2] * x[0]),
        "Lanczos1" | "Lanczos2" | "Lanczos3" => |x, b| {
            let term = |i: usize| b[i] * (-(b[i + 1] * x[0])).exp();
            term(0) + term(2) + term(4)
        },
        "Gauss1" | "Gauss2" | "Gauss3" => |x, b| {
            let x = Dual::constant(x[0]);
            let bell = |i: usize| {
                let u = (x - b[i + 1]) / b[i + 2];
                b[i] * (-(u * u)).exp()
            };
            b[0] * (-(b[1] * x)).exp() + bell(2) + bell(5)
        },
        "DanWood" => |x, b| b[0] * Dual::constant(x[0]).pow(b[1]),
        "Kirby2" => |x, b| polynomial(x, &b[..3]) / (polynomial(x, &b[3..]) * x[0] + 1.0),
        "Hahn1" | "Thurber" => {
            |x, b| polynomial(x, &b[..4]) / (polynomial(x, &b[4..]) * x[0] + 1.0)
        }
        "Nelson" => |x, b| b[0] - b[1] * x[0] * (-(b[2] * x[1])).exp(),
        "MGH17" => |x, b| b[0] + b[1] * (-(b[3] * x[0])).exp() + b[2] * (-(b[4] * x[0])).exp(),
        "Roszman1" => |x, b| {
            let x = Dual::constant(x[0]);
            b[0] - b[1] * x - (b[2] / (x - b[3])).atan() * (1.0 / PI)
        },
        "ENSO" => |x, b| {
            let angle = |period: Dual| Dual::constant(2.0 * PI * x[0]) / period;
            let wave = |cosine: Dual, sine: Dual, period: Dual| {
                cosine * angle(period).cos() + sine * angle(period).sin()
            };
            let year = wave(b[1], b[2], Dual::constant(12.0));
            b[0] + year + wave(b[4], b[5], b[3]) + wave(b[7], b[8], b[6])
        },
        "MGH09" => |x, b| {
            let square = Dual::constant(x[0] * x[0]);
            b[0] * (square + b[1] * x[0]) / (square + b[2] * x[0] + b[3])
        },
        "Rat42" => |x, b| b[0] / ((b[1] - b[2] * x[0]).exp() + 1.0),
        "Rat43" => |x, b| b[0] / ((b[1] - b[2] * x[0]).exp() + 1.0).pow(Dual::constant(1.0) / b[3]),
        "MGH10" => |x, b| b[0] * (b[1] / (b[2] + x[0])).exp(),
        "Eckerle4" => |x, b| {
            let u = (Dual::constant(x[0]) - b[2]) / b[1];
            b[0] / b[1] * (u * u * -0.5).exp()
        },
        "Bennett5" => |x, b| b[0] * (b[1] + x[0]).pow(-(Dual::constant(1.0) / b[2])),
        _ => panic!("no formula for {name}"),
    }
}

const NONLINEAR: [&str; 27] = [
    "Bennett5", "BoxBOD", "Chwirut1", "Chwirut2", "DanWood", "ENSO", "Eckerle4", "Gauss1",
    "Gauss2", "Gauss3", "Hahn1", "Kirby2", "Lanczos1", "Lanczos2", "Lanczos3", "MGH09", "MGH10",
    "MGH17", "Misra1a", "Misra1b", "Misra1c", "Misra1d", "Nelson", "Rat42", "Rat43", "Roszman1",
    "Thurber",
];

/// Relative tolerance of standard deviations.
fn deviations(name: &str) -> f64 {
    match name {
        // DEPARTURE: these data follow their model to the last of 14 digits, so the certified residual
        // deviation, 9e-14, is what rounding in doubles makes of it.
        "Lanczos1" => 2e-3,
        _ => 1e-4,
    }
}

fn solved(name: &str, start: usize) -> (Set, LeastSquaresFit) {
    let set = read(&format!("nonlinear/{name}"));
    let mut data = set.data.clone();
    if name == "Nelson" {
        // Its model is one of log y.
        for (_, observed) in &mut data {
            *observed = observed.ln();
        }
    }
    let model = Formula {
        data,
        parameters: set.parameters.len(),
        predict: prediction(name),
    };
    let start: Vec<f64> = set.parameters.iter().map(|p| p.0[start]).collect();
    let found = least_squares(&model, &start);
    (set, found)
}

#[test]
fn nonlinear_sets_from_the_nearer_start() {
    for name in NONLINEAR {
        let (set, found) = solved(name, 1);
        assert_ne!(found.status, SolveStatus::IterationLimit, "{name}");
        check(name, &set, &found, 1e-6, deviations(name));
    }
}

/// DEPARTURE: from these farther starts the search slides into a valley that leads away from the
/// certified minimum; it ends there, and says that it stalled.
const STALLS: [&str; 2] = ["MGH10", "MGH17"];

#[test]
fn nonlinear_sets_from_the_farther_start() {
    for name in NONLINEAR {
        let (set, found) = solved(name, 0);
        assert_ne!(found.status, SolveStatus::IterationLimit, "{name}");
        if STALLS.contains(&name) {
            assert_eq!(found.status, SolveStatus::Stalled, "{name}");
            assert!(found.residual_deviation() > set.residual_deviation);
        } else {
            check(name, &set, &found, 1e-6, deviations(name));
        }
    }
}
