//! The thermometer calibration of JCGM 100:2008 (GUM), annex H.3: a line with covariance and a
//! prediction. Data and printed results seen, 40-digit recomputation beside them
//! (`reference/metrology/gum-h3-data.csv`, `gum-h3-results.csv`).

use evenhand_fitting::least_squares;
use evenhand_tests::{Row, number, reference_rows};

use crate::dual::Dual;
use crate::formula::{Formula, assert_near};

#[test]
fn line_covariance_and_prediction() {
    let results = reference_rows("metrology/gum-h3-results.csv");
    let row =
        |quantity: &str| -> &Row { results.iter().find(|r| r["quantity"] == quantity).unwrap() };
    let t0 = number(row("t0"), "recomputed");
    let data = reference_rows("metrology/gum-h3-data.csv");
    let model = Formula {
        data: data
            .iter()
            .map(|row| (vec![number(row, "t_k") - t0], number(row, "b_k")))
            .collect(),
        parameters: 2,
        predict: |x: &[f64], b: &[Dual]| b[0] + b[1] * x[0],
    };
    let found = least_squares(&model, &[0.0, 0.0]);
    let errors = found.standard_errors().unwrap();
    let covariance = found.covariance.as_ref().unwrap();
    let s = found.residual_deviation();
    let at_30 = [1.0, 30.0 - t0];
    let predicted = found.parameters[0] + at_30[1] * found.parameters[1];
    let u = found.uncertainty_of(&at_30).unwrap();
    let without = errors[0].hypot(at_30[1] * errors[1]);
    for (quantity, value) in [
        ("y1", found.parameters[0]),
        ("u_y1", errors[0]),
        ("y2", found.parameters[1]),
        ("u_y2", errors[1]),
        ("r_y1y2", covariance[0][1] / (errors[0] * errors[1])),
        ("s", s),
        ("rss", found.squares),
        ("b_30", predicted),
        ("u_b_30", u),
        ("u_b_30_without_covariance", without),
        ("u_b_30_new_reading", u.hypot(s)),
    ] {
        let row = row(quantity);
        assert_near(quantity, value, number(row, "recomputed"), 1e-12);
        let published = &row["published"];
        if !published.is_empty() {
            let digits = published.split_once('.').map_or(0, |(_, d)| d.len());
            let half = 0.5 * 10_f64.powi(-i32::try_from(digits).unwrap());
            let difference = (value - number(row, "published")).abs();
            assert!(difference <= half, "{quantity}: {value} for {published}");
        }
    }
}
