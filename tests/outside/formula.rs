//! A model given as a formula, for least squares.

use crate::dual::Dual;
use crate::least_squares::LeastSquares;

/// Observations (predictors, observed) and the formula that predicts them.
pub(crate) struct Formula<F> {
    pub(crate) data: Vec<(Vec<f64>, f64)>,
    pub(crate) parameters: usize,
    pub(crate) predict: F,
}

impl<F: Fn(&[f64], &[Dual]) -> Dual> LeastSquares for Formula<F> {
    fn observations(&self) -> usize {
        self.data.len()
    }

    fn parameters(&self) -> usize {
        self.parameters
    }

    fn residual(&self, index: usize, parameters: &[f64], gradient: &mut [f64]) -> f64 {
        let (predictors, observed) = &self.data[index];
        let found = (self.predict)(predictors, &Dual::parameters(parameters));
        gradient.copy_from_slice(&found.slopes[..self.parameters]);
        observed - found.value
    }
}

/// Fails unless a value is within `allowed` of what is expected.
#[track_caller]
pub(crate) fn assert_within(what: &str, found: f64, expected: f64, allowed: f64) {
    let error = (found - expected).abs();
    assert!(
        error <= allowed,
        "{what}: {found:e} instead of {expected:e}, off by {error:.1e}, {allowed:e} allowed"
    );
}

/// Fails unless a value is within `allowed` of what is expected, relative to its size.
#[track_caller]
pub(crate) fn assert_near(what: &str, found: f64, expected: f64, allowed: f64) {
    let error = (found - expected).abs();
    assert!(
        error <= allowed * expected.abs(),
        "{what}: {found:e} instead of {expected:e}, off by {:.1e} of it, {allowed:e} allowed",
        error / expected.abs()
    );
}
