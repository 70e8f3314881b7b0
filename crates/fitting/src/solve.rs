//! Penalised least squares on the latent response, by damped Gauss–Newton steps.
//!
//! The damping follows D. W. Marquardt, "An algorithm for least-squares estimation of nonlinear
//! parameters", J. SIAM 11 (1963): multiply the diagonal, accept what lowers the objective.

use nalgebra::{DMatrix, DVector};

use crate::latent::{LOG_SPAN, Latent, ONSET, residual};
use crate::noise::Noise;
use crate::observation::Observation;

/// A Gaussian prior on the parameters: precision matrix and mean.
#[derive(Clone)]
pub(crate) struct Prior {
    pub(crate) precision: DMatrix<f64>,
    pub(crate) mean: DVector<f64>,
}

/// What a solve starts from and is judged by.
pub(crate) struct Problem<'a> {
    pub(crate) observations: &'a [Observation],
    /// Standard deviation of each reading, fraction of full scale.
    pub(crate) sigmas: &'a [f64],
    /// Robust weight of each observation, 0..1.
    pub(crate) weights: &'a [f64],
    /// Shift of each reading (zero but for resampling).
    pub(crate) shifts: &'a [f64],
    pub(crate) prior: &'a Prior,
}

/// How a solve ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SolveStatus {
    /// The step became negligible.
    Converged,
    /// No damping lowers the objective any more: at the limit of rounding or of a kink.
    Stalled,
    /// The iteration limit came first.
    IterationLimit,
}

pub(crate) struct Solved {
    pub(crate) latent: Latent,
    pub(crate) status: SolveStatus,
}

/// Gauss–Newton matrix and gradient at a latent response, without the prior.
pub(crate) struct Normal {
    pub(crate) matrix: DMatrix<f64>,
    pub(crate) right: DVector<f64>,
    pub(crate) squares: f64,
}

impl Problem<'_> {
    pub(crate) fn normal(&self, latent: &Latent) -> Normal {
        let size = latent.parameters.len();
        let mut matrix = DMatrix::zeros(size, size);
        let mut right = DVector::zeros(size);
        let mut squares = 0.0;
        let mut gradient = vec![0.0; size];
        let gradients = latent.gradients();
        for (index, observation) in self.observations.iter().enumerate() {
            let prediction = gradients.predict(observation, &mut gradient);
            let (distance, pulls) = residual(observation, prediction.latent, self.shifts[index]);
            let weight = self.weights[index] / (self.sigmas[index] * self.sigmas[index]);
            squares += weight * distance * distance;
            if !pulls {
                continue;
            }
            // Only the gain of its own seating is not zero.
            let gains = latent.layout.gains();
            let own = gains + observation.seating;
            let lag = latent.layout.lag_at();
            for i in (0..gains).chain([own]).chain(lag) {
                let scaled = weight * gradient[i];
                right[i] += scaled * distance;
                for j in (0..gains.min(i + 1))
                    .chain((i >= own).then_some(own))
                    .chain(lag.filter(|lag| i == *lag))
                {
                    matrix[(i, j)] += scaled * gradient[j];
                }
            }
        }
        for i in 0..size {
            for j in 0..i {
                matrix[(j, i)] = matrix[(i, j)];
            }
        }
        Normal {
            matrix,
            right,
            squares,
        }
    }

    pub(crate) fn squares(&self, latent: &Latent) -> f64 {
        let mut squares = 0.0;
        for (index, observation) in self.observations.iter().enumerate() {
            let (distance, _) =
                residual(observation, latent.value(observation), self.shifts[index]);
            squares += self.weights[index] * (distance / self.sigmas[index]).powi(2);
        }
        squares
    }

    pub(crate) fn penalty(&self, latent: &Latent) -> f64 {
        let away = DVector::from_column_slice(&latent.parameters) - &self.prior.mean;
        away.dot(&(&self.prior.precision * &away))
    }

    pub(crate) fn solve(&self, start: Latent, most_iterations: usize, tolerance: f64) -> Solved {
        let mut latent = start;
        let mut damping = 1e-3;
        let mut objective = self.squares(&latent) + self.penalty(&latent);
        let mut status = SolveStatus::IterationLimit;
        'outer: for _ in 0..most_iterations {
            let normal = self.normal(&latent);
            let away = DVector::from_column_slice(&latent.parameters) - &self.prior.mean;
            let right = &normal.right - &self.prior.precision * &away;
            let matrix = &normal.matrix + &self.prior.precision;
            loop {
                let mut damped = matrix.clone();
                for i in 0..damped.nrows() {
                    damped[(i, i)] *= 1.0 + damping;
                }
                let candidate = damped
                    .cholesky()
                    .map(|factor| factor.solve(&right))
                    .map(|step| {
                        let mut parameters = latent.parameters.clone();
                        for (parameter, change) in parameters.iter_mut().zip(step.iter()) {
                            *parameter += change;
                        }
                        // An onset below zero force means nothing; a span may not run away.
                        parameters[ONSET] = parameters[ONSET].max(0.0);
                        let held = latent.parameters[LOG_SPAN];
                        parameters[LOG_SPAN] = parameters[LOG_SPAN].clamp(held - 1.0, held + 1.0);
                        Latent::new(latent.layout, parameters, latent.top)
                    });
                if let Some(candidate) = candidate {
                    let tried = self.squares(&candidate) + self.penalty(&candidate);
                    if tried <= objective {
                        let gained = objective - tried;
                        latent = candidate;
                        objective = tried;
                        damping = (damping * 0.2).max(1e-9);
                        if gained <= tolerance * (1.0 + objective) {
                            status = SolveStatus::Converged;
                            break 'outer;
                        }
                        break;
                    }
                }
                damping *= 5.0;
                if damping > 1e8 {
                    status = SolveStatus::Stalled;
                    break 'outer;
                }
            }
        }
        Solved { latent, status }
    }
}

/// Standard deviations of the readings at a latent response, `scatter` times the assumed ones.
pub(crate) fn sigmas(
    observations: &[Observation],
    latent: &Latent,
    noise: &Noise,
    scatter: f64,
) -> Vec<f64> {
    let mut gradient = vec![0.0; latent.parameters.len()];
    let gradients = latent.gradients();
    observations
        .iter()
        .map(|observation| {
            let prediction = gradients.predict(observation, &mut gradient);
            scatter * noise.sigma(observation.force, prediction.slope)
        })
        .collect()
}
