//! Count, mean and spread of some values.

/// Count, mean and standard deviation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// How many.
    pub count: usize,
    /// Mean.
    pub mean: f64,
    /// Standard deviation with n − 1; NaN of fewer than two values.
    pub deviation: f64,
}

impl Sample {
    /// Of values, in two passes.
    #[must_use]
    pub fn of(values: &[f64]) -> Self {
        let count = values.len();
        let n = count as f64;
        let mean = values.iter().sum::<f64>() / n;
        let off: f64 = values.iter().map(|value| value - mean).sum();
        let squares: f64 = values.iter().map(|value| (value - mean).powi(2)).sum();
        // What rounding left in the mean is taken off again.
        let deviation = ((squares - off * off / n) / (n - 1.0)).max(0.0).sqrt();
        Self {
            count,
            mean: mean + off / n,
            deviation: if count < 2 { f64::NAN } else { deviation },
        }
    }
}
