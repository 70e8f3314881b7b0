//! Certified saturating curves through the whole fit: Rat42, Rat43 and Thurber of the NIST Statistical
//! Reference Datasets (`reference/nist-strd/nonlinear`, seen), rescaled to forces and readings.
//!
//! Their certified formulas stand for the truth; the fit must keep within one certified residual
//! standard deviation of them, root mean square over the data, without knowing the formulas.

use evenhand_fitting::{Saturation, Settings, fit};
use evenhand_measurement::{Force, Measurement, Sample, Seating};

use crate::dual::Dual;
use crate::strd::{prediction, read};

#[test]
fn the_fit_follows_certified_curves() {
    for name in ["Rat42", "Rat43", "Thurber"] {
        let set = read(&format!("nonlinear/{name}"));
        let certified: Vec<f64> = set.parameters.iter().map(|p| p.1).collect();
        let certified = Dual::parameters(&certified);
        let truth = |x: f64| prediction(name)(&[x], &certified).value;
        let forces = set.data.iter().map(|row| row.0[0]);
        let low = forces.fold(f64::INFINITY, f64::min);
        let high = set.data.iter().map(|row| row.1).fold(0.0, f64::max);
        // The largest value lies below full scale, so that nothing is censored.
        let full = 1.05 * high;
        let force = |x: f64| Force::from_gf(20.0 + 10.0 * (x - low));
        let samples = (1..).zip(&set.data).map(|(line, (x, y))| Sample {
            force: force(x[0]),
            reading: y / full,
            seating: 0,
            direction: None,
            line,
        });
        let measurement = Measurement {
            seatings: vec![Seating {
                index: 1,
                direction: None,
            }],
            samples: samples.collect(),
            ..Measurement::default()
        };
        let found = fit(&measurement, &Settings::default()).unwrap();
        assert!(matches!(found.saturation, Saturation::NotReached { .. }));
        let squares: f64 = set
            .data
            .iter()
            .map(|(x, _)| (full * found.response.reading(force(x[0])) - truth(x[0])).powi(2))
            .sum();
        let rms = (squares / set.data.len() as f64).sqrt();
        let scatter = set.residual_deviation;
        assert!(
            rms <= scatter,
            "{name}: {rms} away, residuals scatter by {scatter}"
        );
    }
}
