//! The best latent response for a set of observations, for each shape of the library and for the
//! spline at each of a few degrees of smoothness.

use nalgebra::{DMatrix, DVector};

use crate::descent::SolveStatus;
use crate::form::Form;
use crate::latent::{Latent, Layout, residual};
use crate::left_out::{LeftOut, left_out};
use crate::noise::Noise;
use crate::observation::Observation;
use crate::prior::{Smoothness, gain_spread, prior};
use crate::robust;
use crate::solve::{Prior, Problem, sigmas};
use crate::start::start;

/// Roughness candidates (standard deviation of the second differences of the log-slope), from nearly
/// the trends alone to as wavy as a table in firmware.
const ROUGHNESS: [f64; 6] = [0.01, 0.05, 0.15, 0.4, 1.0, 2.5];
/// Steepness candidates (standard deviation of the trend that lets a rise begin steeply), from a
/// straight beginning to one as steep as a logarithm's.
const STEEPNESS: [f64; 3] = [0.02, 0.3, 1.0];
/// Closed forms have no smoothness to choose.
const CLOSED: Smoothness = Smoothness {
    roughness: 0.0,
    steepness: 0.0,
};
/// Median of the size of a standard normal variable.
const MEDIAN_OF_SIZES: f64 = 0.6745;
/// Standard deviation of the logarithm of the scatter, in units of the assumed one, before the data:
/// a bench may well be twice as quiet or as noisy as assumed.
const SCATTER_SPREAD: f64 = 0.5;
/// A spread of the logarithm of 1/√(2ν) is what ν degrees of freedom leave.
const SCATTER_BELIEF: f64 = 0.5 / (SCATTER_SPREAD * SCATTER_SPREAD);
/// Rounds of solving and reweighting; four settle the weights to far below the scatter.
const ROUNDS: usize = 4;
const MOST_ITERATIONS: usize = 100;
const TOLERANCE: f64 = 1e-7;

/// The best latent response at one roughness.
#[derive(Clone)]
pub(crate) struct Estimate {
    pub(crate) latent: Latent,
    pub(crate) smoothness: Smoothness,
    /// Standard deviation of each reading, the scatter found included.
    pub(crate) sigmas: Vec<f64>,
    /// Robust weight of each observation.
    pub(crate) weights: Vec<f64>,
    pub(crate) prior: Prior,
    /// Factor by which residuals exceed the assumed scatter.
    pub(crate) scatter: f64,
    /// Degrees of freedom behind `scatter`.
    pub(crate) scatter_freedom: f64,
    /// Logarithm of the evidence for this smoothness, up to what hardly differs between degrees of
    /// smoothness: the readings' own standard deviations are taken as the same for all.
    pub(crate) evidence: f64,
    /// Effective number of parameters.
    pub(crate) freedom: f64,
    pub(crate) left_out: LeftOut,
    pub(crate) status: SolveStatus,
}

impl Estimate {
    /// The problem this estimate answers, with readings shifted.
    pub(crate) fn problem<'a>(
        &'a self,
        observations: &'a [Observation],
        shifts: &'a [f64],
    ) -> Problem<'a> {
        Problem {
            observations,
            sigmas: &self.sigmas,
            weights: &self.weights,
            shifts,
            prior: &self.prior,
        }
    }
}

/// One estimate for each closed form, and for each smoothness of the spline, which starts from the
/// smoother one before it.
///
/// None where no factorisation succeeds, which regular priors rule out short of overflow.
pub(crate) fn estimates(
    observations: &[Observation],
    seatings: usize,
    top: f64,
    noise: &Noise,
) -> Vec<Estimate> {
    let unloading = observations.iter().any(|o| o.unloading);
    let layout = |form| Layout {
        form,
        seatings,
        unloading,
    };
    let mut found = Vec::with_capacity(Form::LIBRARY.len() + ROUGHNESS.len());
    for form in Form::LIBRARY {
        let from = start(observations, layout(form), top);
        found.extend(estimate(observations, noise, CLOSED, from));
    }
    for steepness in STEEPNESS {
        let mut from = start(observations, layout(Form::Spline), top);
        for roughness in ROUGHNESS {
            let smoothness = Smoothness {
                roughness,
                steepness,
            };
            if let Some(estimate) = estimate(observations, noise, smoothness, from.clone()) {
                from = estimate.latent.clone();
                found.push(estimate);
            }
        }
    }
    found
}

fn estimate(
    observations: &[Observation],
    noise: &Noise,
    smoothness: Smoothness,
    from: Latent,
) -> Option<Estimate> {
    let shifts = vec![0.0; observations.len()];
    let mut weights = vec![1.0; observations.len()];
    let mut latent = from;
    let mut scatter = 1.0;
    let mut sigma = sigmas(observations, &latent, noise, scatter);
    for round in 1..=ROUNDS {
        let prior = prior(latent.layout, smoothness, gain_spread(&latent));
        let problem = Problem {
            observations,
            sigmas: &sigma,
            weights: &weights,
            shifts: &shifts,
            prior: &prior,
        };
        let solved = problem.solve(latent, MOST_ITERATIONS, TOLERANCE);
        latent = solved.latent;
        let settled = sigmas(observations, &latent, noise, scatter);
        let problem = Problem {
            sigmas: &settled,
            ..problem
        };
        let normal = problem.normal(&latent);
        let factor = (&normal.matrix + &prior.precision).cholesky()?;
        let covariance = factor.inverse();
        let freedom = (&covariance * &normal.matrix).trace();

        let standardised: Vec<f64> = observations
            .iter()
            .zip(&settled)
            .map(|(observation, s)| residual(observation, latent.value(observation), 0.0).0 / s)
            .collect();
        // A bound that holds by itself says nothing about the scatter.
        let speaking = observations
            .iter()
            .zip(&standardised)
            .filter(|(o, u)| o.censoring.is_between() || **u != 0.0)
            .count() as f64;
        let free = (speaking - freedom).max(0.0);
        let before = scatter;
        // Laplace's approximation (D. J. C. MacKay, "Bayesian interpolation", Neural Comput. 4, 1992).
        let prior_factor = prior.precision.clone().cholesky()?;
        let evidence = -0.5 * (normal.squares + problem.penalty(&latent))
            - speaking * before.ln()
            - 0.5 * (before.ln() / SCATTER_SPREAD).powi(2)
            - 0.5 * (log_determinant(&factor.l()) - log_determinant(&prior_factor.l()));
        let sizes: Vec<f64> = standardised.iter().map(|u| u.abs()).collect();
        let usual = usual_size(&sizes, speaking, free);
        for (weight, size) in weights.iter_mut().zip(&sizes) {
            *weight = robust::weight(size / usual);
        }
        let squares: f64 = weights.iter().zip(&sizes).map(|(w, u)| w * u * u).sum();
        scatter = scatter_of(squares * before * before, free);

        sigma = settled.iter().map(|s| s * scatter / before).collect();
        if round == ROUNDS {
            return Some(Estimate {
                left_out: left_out(observations, &latent, &covariance, &settled, &weights),
                latent,
                smoothness,
                sigmas: sigma,
                weights,
                prior,
                scatter,
                scatter_freedom: SCATTER_BELIEF + free,
                evidence,
                freedom,
                status: solved.status,
            });
        }
    }
    None
}

/// Usual size of residuals in units of their standard deviations, from their median, so that a slip
/// does not make itself usual; at least 1.
fn usual_size(sizes: &[f64], speaking: f64, free: f64) -> f64 {
    let mut told: Vec<f64> = sizes.iter().copied().filter(|u| *u != 0.0).collect();
    if told.is_empty() || free < 1.0 {
        return 1.0;
    }
    let middle = told.len() / 2;
    let (_, median, _) = told.select_nth_unstable_by(middle, f64::total_cmp);
    (*median / MEDIAN_OF_SIZES * (speaking / free).sqrt()).max(1.0)
}

/// Most probable scatter for a sum of squares (in units of the assumed scatter) with `free` degrees
/// of freedom: the root of `free + ln s / τ² = squares / s²`, which grows in s.
fn scatter_of(squares: f64, free: f64) -> f64 {
    let (mut low, mut high) = (-12.0_f64, 12.0_f64);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        let pull = free + middle / SCATTER_SPREAD.powi(2) - squares * (-2.0 * middle).exp();
        if pull < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    high.exp()
}

/// Logarithm of the determinant of a matrix with this Cholesky factor.
fn log_determinant(factor: &DMatrix<f64>) -> f64 {
    let diagonal: DVector<f64> = factor.diagonal();
    2.0 * diagonal.iter().map(|d| d.ln()).sum::<f64>()
}
