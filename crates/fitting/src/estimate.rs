//! The best latent response for a set of observations, for each of a few degrees of smoothness.

use nalgebra::{DMatrix, DVector};

use crate::latent::{Latent, residual};
use crate::noise::Noise;
use crate::observation::{Censoring, Observation};
use crate::prior::{gain_spread, prior};
use crate::solve::{Prior, Problem, SolveStatus, sigmas};
use crate::start::start;

/// Roughness candidates (standard deviation of the second differences of the log-slope), from nearly
/// the trends alone to as wavy as a table in firmware.
const ROUGHNESS: [f64; 6] = [0.01, 0.05, 0.15, 0.4, 1.0, 2.5];
/// Residuals beyond this many standard deviations lose weight (P. J. Huber, "Robust estimation of a
/// location parameter", Ann. Math. Statist. 35, 1964; with a wide middle, for efficiency).
const HUBER: f64 = 2.5;
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
    pub(crate) roughness: f64,
    /// Standard deviation of each reading, the scatter found included.
    pub(crate) sigmas: Vec<f64>,
    /// Robust weight of each observation.
    pub(crate) weights: Vec<f64>,
    pub(crate) prior: Prior,
    /// Factor by which residuals exceed the assumed scatter.
    pub(crate) scatter: f64,
    /// Degrees of freedom behind `scatter`.
    pub(crate) scatter_freedom: f64,
    /// Logarithm of the evidence for this roughness, up to a constant.
    pub(crate) evidence: f64,
    /// Effective number of parameters.
    pub(crate) freedom: f64,
    pub(crate) status: SolveStatus,
}

/// One estimate for each roughness, each starting from the smoother one before it.
///
/// None where no factorisation succeeds, which regular priors rule out short of overflow.
pub(crate) fn estimates(
    observations: &[Observation],
    seatings: usize,
    top: f64,
    noise: &Noise,
) -> Vec<Estimate> {
    let mut from = start(observations, seatings, top);
    let mut found = Vec::with_capacity(ROUGHNESS.len());
    for roughness in ROUGHNESS {
        if let Some(estimate) = estimate(observations, seatings, noise, roughness, from.clone()) {
            from = estimate.latent.clone();
            found.push(estimate);
        }
    }
    found
}

/// Chance of each estimate, from its evidence; they sum to 1.
pub(crate) fn chances(estimates: &[Estimate]) -> Vec<f64> {
    let best = estimates
        .iter()
        .map(|e| e.evidence)
        .fold(f64::NEG_INFINITY, f64::max);
    let odds: Vec<f64> = estimates
        .iter()
        .map(|e| (e.evidence - best).exp())
        .collect();
    let total: f64 = odds.iter().sum();
    odds.iter().map(|o| o / total).collect()
}

fn estimate(
    observations: &[Observation],
    seatings: usize,
    noise: &Noise,
    roughness: f64,
    from: Latent,
) -> Option<Estimate> {
    let shifts = vec![0.0; observations.len()];
    let mut weights = vec![1.0; observations.len()];
    let mut latent = from;
    let mut scatter = 1.0;
    let mut sigma = sigmas(observations, &latent, noise, scatter);
    let mut found = None;
    for _ in 0..ROUNDS {
        let prior = prior(roughness, gain_spread(&latent), seatings);
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
        let freedom = (factor.inverse() * &normal.matrix).trace();

        let standardised: Vec<f64> = observations
            .iter()
            .zip(&settled)
            .map(|(observation, s)| residual(observation, latent.value(observation), 0.0).0 / s)
            .collect();
        // A bound that holds by itself says nothing about the scatter.
        let speaking = observations
            .iter()
            .zip(&standardised)
            .filter(|(o, u)| o.censoring == Censoring::Inside || **u != 0.0)
            .count() as f64;
        let free = (speaking - freedom).max(0.0);
        let before = scatter;
        scatter = scatter_of(normal.squares * before * before, free);

        // Laplace's approximation (D. J. C. MacKay, "Bayesian interpolation", Neural Comput. 4, 1992).
        let prior_factor = prior.precision.clone().cholesky()?;
        let evidence = -0.5 * (normal.squares + problem.penalty(&latent))
            - speaking * before.ln()
            - 0.5 * (before.ln() / SCATTER_SPREAD).powi(2)
            - 0.5 * (log_determinant(&factor.l()) - log_determinant(&prior_factor.l()));
        sigma = settled.iter().map(|s| s * scatter / before).collect();
        for (weight, u) in weights.iter_mut().zip(&standardised) {
            let u = u.abs() * before / scatter;
            *weight = if u <= HUBER { 1.0 } else { HUBER / u };
        }
        found = Some(Estimate {
            latent: latent.clone(),
            roughness,
            sigmas: sigma.clone(),
            weights: weights.clone(),
            prior,
            scatter,
            scatter_freedom: SCATTER_BELIEF + free,
            evidence,
            freedom,
            status: solved.status,
        });
    }
    found
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
