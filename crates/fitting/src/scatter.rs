//! How much the readings of this bench scatter, as far as they show it.

use crate::latent::Latent;
use crate::noise::{Noise, READING};
use crate::observation::Observation;

/// What is usual: scatter of a reading near 0, what is added to it in part of the reading, and a factor for the
/// scatter of placed forces (common practice, no source); with the spread of the logarithm of each between benches.
const USUAL: [f64; 3] = [0.003, 0.002, 1.0];
const SPREAD: [f64; 3] = [0.8, 1.2, 0.3];
/// Degrees of freedom of Student's law below what is usual, where a normal law holds above it: a bench with dead weights
/// may be far better than usual, one whose forces err far more is not believed lightly.
const TAIL: f64 = 4.0;
/// Forces scatter by at least this part of what is usual: exact readings say nothing finer of them.
const LEAST_FORCE: f64 = 0.08;
/// First step of the search, in logarithms, and how often it is taken or halved.
const FIRST_STEP: f64 = 0.6;
const TURNS: usize = 6;

/// The scatter of a bench's readings: `σ² = base² + rounding² + (growth · reading)² + (force · slope · σ_F)²`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Scatter {
    /// Of a reading near 0, fraction of full scale.
    pub(crate) base: f64,
    /// What grows with the reading, part of it.
    pub(crate) growth: f64,
    /// Factor of the scatter of placed forces.
    pub(crate) force: f64,
}

/// What one reading tells of the scatter, and what its own scatter is made of.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Part {
    /// Square of the fitted reading, of the rounding, and of the slope times the scatter of the placed force.
    reading: f64,
    rounding: f64,
    placed: f64,
    /// How many samples it stands for.
    count: f64,
    /// Square of its residual, times its robust weight, and 1 less its leverage; both 0 for bounds, which tell
    /// nothing.
    pub(crate) residual: f64,
    pub(crate) left: f64,
}

impl Part {
    /// The parts of all observations at a latent response; residuals are left at 0.
    pub(crate) fn all(observations: &[Observation], latent: &Latent, noise: &Noise) -> Vec<Self> {
        let mut gradient = vec![0.0; latent.parameters.len()];
        let gradients = latent.gradients();
        observations
            .iter()
            .map(|observation| {
                let prediction = gradients.predict(observation, &mut gradient);
                Self {
                    reading: prediction.latent.clamp(0.0, 1.0).powi(2),
                    rounding: noise.rounding.powi(2),
                    placed: (prediction.slope * noise.placed(observation.force)).powi(2),
                    count: observation.count,
                    residual: 0.0,
                    left: 0.0,
                }
            })
            .collect()
    }
}

impl Scatter {
    pub(crate) fn usual() -> Self {
        let [base, growth, force] = USUAL;
        Self {
            base,
            growth,
            force,
        }
    }

    /// The scatter of a quiet bench, by which others are judged.
    pub(crate) fn assumed() -> Self {
        Self {
            base: READING,
            growth: 0.0,
            force: 1.0,
        }
    }

    /// Variance of a reading.
    pub(crate) fn variance(&self, part: &Part) -> f64 {
        let one = self.base.powi(2)
            + part.rounding
            + self.growth.powi(2) * part.reading
            + self.force.powi(2) * part.placed;
        one / part.count
    }

    /// Standard deviation of each reading.
    pub(crate) fn sigmas(&self, parts: &[Part]) -> Vec<f64> {
        parts
            .iter()
            .map(|part| self.variance(part).sqrt())
            .collect()
    }

    /// Standard deviation of a reading at 0 and at full scale, without that of forces.
    pub(crate) fn at_limits(&self, noise: &Noise) -> (f64, f64) {
        let low = self.base.hypot(noise.rounding);
        (low, low.hypot(self.growth))
    }

    /// Logarithm of the density of this scatter before the data.
    pub(crate) fn log_prior(&self) -> f64 {
        let figures = [self.base, self.growth, self.force];
        let terms = figures.iter().zip(USUAL).zip(SPREAD);
        terms
            .map(|((figure, usual), spread)| {
                let unit = (figure / usual).ln() / spread;
                if unit > 0.0 {
                    -0.5 * unit * unit
                } else {
                    -0.5 * (TAIL + 1.0) * (unit * unit / TAIL).ln_1p()
                }
            })
            .sum()
    }

    /// The most probable scatter for these residuals, found by turns along each figure.
    ///
    /// Maximises `log_prior − ½ Σ (left · ln σ² + residual/σ²)`: the likelihood of residuals that a fit made smaller,
    /// each by its own leverage (restricted maximum likelihood; H. D. Patterson and R. Thompson, Biometrika 58, 1971,
    /// with the leverages in place of the determinant).
    pub(crate) fn fitted(self, parts: &[Part]) -> Self {
        let value = |scatter: &Self| {
            let speaking = parts.iter().filter(|part| part.left > 0.0);
            let likelihood: f64 = speaking
                .map(|part| {
                    let variance = scatter.variance(part);
                    part.left * variance.ln() + part.residual / variance
                })
                .sum();
            scatter.log_prior() - 0.5 * likelihood
        };
        let mut at = self;
        let mut best = value(&at);
        let mut step = FIRST_STEP;
        for _ in 0..TURNS {
            let before = best;
            for figure in 0..3 {
                for factor in [(-step).exp(), step.exp()] {
                    let mut trial = at;
                    match figure {
                        0 => trial.base *= factor,
                        1 => trial.growth *= factor,
                        _ => trial.force = (trial.force * factor).max(LEAST_FORCE),
                    }
                    let found = value(&trial);
                    if found > best {
                        best = found;
                        at = trial;
                    }
                }
            }
            if best <= before {
                step *= 0.5;
            }
        }
        at
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_of_the_scatter_add_as_independent_errors_do() {
        // Root of the sum of squares (JCGM 100, 5.1.2): 0.3, 0.4, 1.2 and 8.4 hundredths make 8.5.
        let scatter = Scatter {
            base: 0.003,
            growth: 0.02,
            force: 2.0,
        };
        let part = Part {
            reading: 0.6_f64.powi(2),
            rounding: 0.004_f64.powi(2),
            placed: 0.042_f64.powi(2),
            count: 1.0,
            residual: 0.0,
            left: 0.0,
        };
        let sum = 0.003_f64.powi(2) + 0.004_f64.powi(2) + 0.012_f64.powi(2) + 0.084_f64.powi(2);
        assert!((scatter.variance(&part) - sum).abs() < 1e-15);
        assert!((sum.sqrt() - 0.085).abs() < 1e-4);
        // Four samples as one scatter half as much.
        let four = Part { count: 4.0, ..part };
        assert!((scatter.sigmas(&[four])[0] - 0.5 * sum.sqrt()).abs() < 1e-12);
    }

    /// The logarithm of a scatter is normal above what is usual, Student's with four degrees of freedom below: at one
    /// spread ln(e^(−1/2)) and ln((1 + 1/4)^(−5/2)) against the middle (any textbook).
    #[test]
    fn scatter_is_believed_as_stated() {
        let [base, growth, force] = USUAL;
        let usual = Scatter {
            base,
            growth,
            force,
        };
        assert_eq!(usual.log_prior(), 0.0);
        let more = Scatter {
            growth: growth * SPREAD[1].exp(),
            ..usual
        };
        assert!((more.log_prior() + 0.5).abs() < 1e-12);
        let less = Scatter {
            base: base * (-SPREAD[0]).exp(),
            ..usual
        };
        assert!((less.log_prior() + 2.5 * 1.25_f64.ln()).abs() < 1e-12);
    }
}
