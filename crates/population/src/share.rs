//! Shares: of the time, of the units of a model.

use statrs::function::beta::beta_reg;

/// A part with its interval, all 0..1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Share {
    /// The part found.
    pub estimate: f64,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// The interval of Clopper and Pearson (Biometrika 26, 1934, 404–413) for a share found among `n`
/// independent points; `n` need not be whole.
#[must_use]
pub fn share_interval(estimate: f64, n: f64, confidence: f64) -> Share {
    let tail = (1.0 - confidence) / 2.0;
    let found = estimate * n;
    let low = if found > 0.0 {
        beta_quantile(found, n - found + 1.0, tail)
    } else {
        0.0
    };
    let high = if found < n {
        beta_quantile(found + 1.0, n - found, 1.0 - tail)
    } else {
        1.0
    };
    Share {
        estimate,
        low,
        high,
    }
}

/// Halvings after which an interval of length 1 is as narrow as doubles tell.
const HALVINGS: usize = 60;

fn beta_quantile(a: f64, b: f64, probability: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        if beta_reg(a, b, middle) < probability {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}
