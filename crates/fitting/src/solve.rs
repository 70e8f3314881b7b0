//! Penalised least squares on the latent response.
//!
//! The prior keeps the normal matrix regular, so a Cholesky factor serves where closed forms without
//! a prior need reflections.

use nalgebra::{DMatrix, DVector};

use crate::descent::{Descent, SolveStatus, Step, descend};
use crate::latent::{LOG_SPAN, Latent, ONSET};
use crate::observation::Observation;

/// The prior keeps a full step regular; damping would only slow the last digits.
const FIRST_DAMPING: f64 = 1e-6;

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
        // Row by row below the diagonal, so that the inner loop runs over neighbours.
        let mut below = vec![0.0; size * size];
        let mut right = vec![0.0; size];
        let mut squares = 0.0;
        let mut gradient = vec![0.0; size];
        let gradients = latent.gradients();
        for (index, observation) in self.observations.iter().enumerate() {
            let prediction = gradients.predict(observation, &mut gradient);
            let (distance, pulls) =
                latent.residual(observation, prediction.latent, self.shifts[index]);
            let weight = self.weights[index] / (self.sigmas[index] * self.sigmas[index]);
            squares += weight * distance * distance;
            if !pulls {
                continue;
            }
            for (row, own) in gradient.iter().enumerate() {
                // Of many seatings only one has a gain here.
                if *own == 0.0 {
                    continue;
                }
                let scaled = weight * own;
                right[row] += scaled * distance;
                let entries = &mut below[row * size..=row * size + row];
                for (entry, other) in entries.iter_mut().zip(&gradient) {
                    *entry += scaled * other;
                }
            }
        }
        Normal {
            matrix: DMatrix::from_fn(size, size, |i, j| below[i.max(j) * size + i.min(j)]),
            right: DVector::from_vec(right),
            squares,
        }
    }

    pub(crate) fn squares(&self, latent: &Latent) -> f64 {
        let mut squares = 0.0;
        for (index, observation) in self.observations.iter().enumerate() {
            let (distance, _) =
                latent.residual(observation, latent.value(observation), self.shifts[index]);
            squares += self.weights[index] * (distance / self.sigmas[index]).powi(2);
        }
        squares
    }

    pub(crate) fn penalty(&self, latent: &Latent) -> f64 {
        let away = DVector::from_column_slice(&latent.parameters) - &self.prior.mean;
        away.dot(&(&self.prior.precision * &away))
    }

    /// Where a step of the parameters leads.
    pub(crate) fn moved(&self, latent: &Latent, step: &DVector<f64>) -> Latent {
        let mut parameters = latent.parameters.clone();
        for (parameter, change) in parameters.iter_mut().zip(step.iter()) {
            *parameter += change;
        }
        // An onset below zero force means nothing; a span may not run away.
        parameters[ONSET] = parameters[ONSET].max(0.0);
        let held = latent.parameters[LOG_SPAN];
        parameters[LOG_SPAN] = parameters[LOG_SPAN].clamp(held - 1.0, held + 1.0);
        latent.with_parameters(parameters)
    }

    /// The point with the lower objective.
    pub(crate) fn better(&self, from: &Latent, to: Latent) -> Latent {
        let objective = |latent: &Latent| self.squares(latent) + self.penalty(latent);
        if objective(&to) < objective(from) {
            to
        } else {
            from.clone()
        }
    }

    pub(crate) fn solve(&self, start: Latent, most_iterations: usize, tolerance: f64) -> Solved {
        let problem = Penalised {
            problem: self,
            tolerance,
        };
        let ended = descend(&problem, start, FIRST_DAMPING, most_iterations);
        Solved {
            latent: ended.point,
            status: ended.status,
        }
    }
}

/// A problem with the gain below which a step is negligible: `tolerance · (1 + objective)`.
struct Penalised<'a> {
    problem: &'a Problem<'a>,
    tolerance: f64,
}

/// Normal matrix and gradient with the prior.
pub(crate) struct Lines {
    matrix: DMatrix<f64>,
    right: DVector<f64>,
}

impl Descent for Penalised<'_> {
    type Point = Latent;
    type Lines = Lines;

    fn objective(&self, latent: &Latent) -> f64 {
        self.problem.squares(latent) + self.problem.penalty(latent)
    }

    fn lines(&self, latent: &Latent) -> Lines {
        let normal = self.problem.normal(latent);
        let prior = self.problem.prior;
        let away = DVector::from_column_slice(&latent.parameters) - &prior.mean;
        Lines {
            right: &normal.right - &prior.precision * &away,
            matrix: &normal.matrix + &prior.precision,
        }
    }

    fn is_negligible(&self, step: &Step<'_, Latent>) -> bool {
        step.gained <= self.tolerance * (1.0 + step.objective)
    }

    fn step(&self, latent: &Latent, lines: &Lines, damping: f64) -> Option<Latent> {
        let mut damped = lines.matrix.clone();
        for i in 0..damped.nrows() {
            damped[(i, i)] *= 1.0 + damping;
        }
        let step = damped.cholesky()?.solve(&lines.right);
        Some(self.problem.moved(latent, &step))
    }
}
