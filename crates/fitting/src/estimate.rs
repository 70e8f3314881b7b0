//! The best latent response for a set of observations, for each shape of the library and for the
//! spline at each of a few degrees of smoothness.

use nalgebra::{DMatrix, DVector};

use crate::coefficients::{HATS, KINK};
use crate::descent::SolveStatus;
use crate::form::Form;
use crate::latent::{CLIPPED, Latent, Layout, Limits, SHAPE};
use crate::left_out::{LeftOut, MOST_LEVERAGE, left_out};
use crate::noise::Noise;
use crate::observation::{Censoring, Observation};
use crate::prior::{Smoothness, gain_spread, local_precision, prior};
use crate::robust;
use crate::scatter::{Part, Scatter};
use crate::solve::{Prior, Problem};
use crate::start::start;

/// Roughness candidates (standard deviation of the second differences of the log-slope), from nearly
/// the trends alone to as wavy as a table in firmware.
const ROUGHNESS: [f64; 6] = [0.002, 0.05, 0.15, 0.4, 1.0, 2.5];
/// Steepness candidates (standard deviation of the trend that lets a rise begin steeply), from a
/// straight beginning to one as steep as a logarithm's.
const STEEPNESS: [f64; 2] = [0.02, 1.3];
/// Flatness candidates (standard deviation of the trend that lets a rise end flat).
const FLATNESS: [f64; 2] = [0.02, 1.0];
/// Closed forms have no smoothness to choose.
const CLOSED: Smoothness = Smoothness {
    roughness: 0.0,
    steepness: 0.0,
    flatness: 0.0,
};
/// A kink may lie at any multiple of one part in so many of the rise; so many places are tried, with these logarithms of
/// its factor to start from.
const KINKS: u32 = 25;
const MOST_KINKS: usize = 4;
const KINK_FACTORS: [f64; 7] = [-2.5, -1.6, -0.8, 0.8, 1.6, 2.5, 3.5];
/// How rough a spline with a kink may be besides.
const KINK_ROUGHNESS: [f64; 2] = [ROUGHNESS[1], ROUGHNESS[3]];
/// Logarithm of how likely a kink at one place is before the data, against one smoothness without: as likely as not,
/// but shared by all places, where 24 degrees of smoothness share the rest.
const KINK_ODDS: f64 = -0.9;
/// Median of the size of a standard normal variable.
const MEDIAN_OF_SIZES: f64 = 0.6745;
/// How many samples the belief in the usual scatter is worth.
const SCATTER_BELIEF: f64 = 2.0;
/// A placed force scatters by at least this, gf: the response beyond its limits is no wall.
const LEAST_PLACED: f64 = 0.05;
/// Rounds of solving and reweighting; four settle the weights to far below the scatter.
const ROUNDS: usize = 4;
const MOST_ITERATIONS: usize = 100;
const TOLERANCE: f64 = 1e-7;
/// Before the weights and the scatter are settled there is no use in more.
const EARLY_TOLERANCE: f64 = 1e-4;

/// How much readings scatter at the limits, fraction of full scale, and placed forces there, gf.
#[derive(Clone, Copy, Debug)]
pub(crate) struct AtLimits {
    pub(crate) low: f64,
    pub(crate) high: f64,
    pub(crate) onset_gf: f64,
    pub(crate) end_gf: f64,
}

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
    /// Logarithm of the evidence for this smoothness.
    pub(crate) evidence: f64,
    /// What of it is the same wherever the parameters lie.
    pub(crate) constant: f64,
    pub(crate) at_limits: AtLimits,
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
        kink: None,
    };
    let is_near =
        |o: &Observation| matches!(o.censoring, Censoring::NearZero | Censoring::NearFull);
    let may_scatter = observations.iter().any(is_near);
    let mut found = Vec::new();
    for form in Form::LIBRARY {
        let from = start(observations, layout(form), top);
        found.extend(estimate(observations, noise, CLOSED, from));
    }
    for (steepness, flatness) in STEEPNESS.iter().flat_map(|s| FLATNESS.map(|f| (*s, f))) {
        let mut from = start(observations, layout(Form::Spline), top);
        for roughness in ROUGHNESS {
            let smoothness = Smoothness {
                roughness,
                steepness,
                flatness,
            };
            if let Some(estimate) = estimate(observations, noise, smoothness, from.clone()) {
                from = estimate.latent.clone();
                found.push(estimate);
            }
            if may_scatter {
                // Whether readings scatter at rest, or are small responses, is for the evidence to say.
                let between = from.clone().with_limits(Limits::assumed(true));
                found.extend(estimate(observations, noise, smoothness, between));
            }
        }
    }
    let kinked = kinked(observations, noise, &found);
    found.extend(kinked);
    found
}

/// Estimates with a kink at the places where two straight lines come nearest to the samples: for the likeliest
/// smoothness of the ends and for one without freedom there.
fn kinked(observations: &[Observation], noise: &Noise, found: &[Estimate]) -> Vec<Estimate> {
    let splines = found
        .iter()
        .filter(|e| e.latent.layout.form == Form::Spline);
    let Some(best) = splines.max_by(|a, b| a.evidence.total_cmp(&b.evidence)) else {
        return Vec::new();
    };
    let free = (best.smoothness.steepness, best.smoothness.flatness);
    let stiff = (STEEPNESS[0], FLATNESS[0]);
    let mut ends = vec![stiff];
    if free != stiff {
        ends.push(free);
    }
    let mut kinked = Vec::new();
    for start in kinked_starts(observations, best) {
        for (steepness, flatness) in &ends {
            let mut from = start.clone();
            for roughness in KINK_ROUGHNESS {
                let smoothness = Smoothness {
                    roughness,
                    steepness: *steepness,
                    flatness: *flatness,
                };
                if let Some(mut estimate) = estimate(observations, noise, smoothness, from.clone())
                {
                    from = estimate.latent.clone();
                    estimate.evidence += KINK_ODDS;
                    estimate.constant += KINK_ODDS;
                    kinked.push(estimate);
                }
            }
        }
    }
    kinked
}

/// Two straight lines that meet at a kink, between the ends of an estimate without one: the nearest few, with different
/// places.
fn kinked_starts(observations: &[Observation], best: &Estimate) -> Vec<Latent> {
    let latent = &best.latent;
    let layout = |at| Layout {
        kink: Some(at),
        ..latent.layout
    };
    let with_kink = |at: f64, log_factor: f64| {
        let mut parameters = latent.parameters.clone();
        parameters[SHAPE..SHAPE + KINK].fill(0.0);
        parameters.insert(SHAPE + KINK, log_factor);
        Latent::new(layout(at), parameters, latent.top, latent.limits)
    };
    let loss = |latent: &Latent| -> f64 {
        let samples = observations.iter().zip(&best.sigmas);
        samples
            .map(|(o, sigma)| robust::loss(latent.residual(o, latent.value(o), 0.0).0 / sigma))
            .sum()
    };
    let mut found: Vec<(f64, Latent)> = (1..KINKS)
        .filter_map(|place| {
            let at = f64::from(place) / f64::from(KINKS);
            let tried = KINK_FACTORS.map(|log_factor| {
                let latent = with_kink(at, log_factor);
                (loss(&latent), latent)
            });
            tried.into_iter().min_by(|a, b| a.0.total_cmp(&b.0))
        })
        .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found.truncate(MOST_KINKS);
    found.into_iter().map(|(_, latent)| latent).collect()
}

pub(crate) fn estimate(
    observations: &[Observation],
    noise: &Noise,
    smoothness: Smoothness,
    from: Latent,
) -> Option<Estimate> {
    let shifts = vec![0.0; observations.len()];
    let mut weights = vec![1.0; observations.len()];
    let mut latent = from;
    let mut scatter = Scatter::usual();
    let mut local = [1.0; HATS - 2];
    let mut local_evidence = 0.0;
    let mut sigmas = scatter.sigmas(&Part::all(observations, &latent, noise));
    for round in 1..=ROUNDS {
        let limits = limits(&latent, noise, &scatter);
        latent = latent.with_limits(limits);
        let prior = prior(latent.layout, smoothness, &local, gain_spread(&latent));
        let problem = Problem {
            observations,
            sigmas: &sigmas,
            weights: &weights,
            shifts: &shifts,
            prior: &prior,
        };
        let tolerance = if round < ROUNDS {
            EARLY_TOLERANCE
        } else {
            TOLERANCE
        };
        let solved = problem.solve(latent, MOST_ITERATIONS, tolerance);
        latent = solved.latent;
        let mut parts = Part::all(observations, &latent, noise);
        let settled = scatter.sigmas(&parts);
        let problem = Problem {
            sigmas: &settled,
            ..problem
        };
        let normal = problem.normal(&latent);
        let factor = (&normal.matrix + &prior.precision).cholesky()?;
        let covariance = factor.inverse();
        let freedom = (&covariance * &normal.matrix).trace();
        let distances: Vec<f64> = observations
            .iter()
            .map(|o| latent.residual(o, latent.value(o), 0.0).0)
            .collect();
        let sizes: Vec<f64> = distances
            .iter()
            .zip(&settled)
            .map(|(d, s)| d.abs() / s)
            .collect();
        // A bound that holds by itself says nothing about the scatter.
        let known = observations.iter().zip(&sizes);
        let speaking = known
            .filter(|(o, u)| o.censoring.is_between() || **u != 0.0)
            .count() as f64;
        let free = (speaking - freedom).max(0.0);

        // Laplace's approximation (D. J. C. MacKay, "Bayesian interpolation", Neural Comput. 4, 1992).
        let fit = -0.5 * (normal.squares + problem.penalty(&latent));
        let spread = 0.5 * log_determinant(&factor.l());
        let between = observations
            .iter()
            .zip(&settled)
            .filter(|(o, _)| o.censoring.is_between());
        let normalisation: f64 = between.map(|(_, sigma)| sigma.ln()).sum();
        let constant = scatter.log_prior() + local_evidence - normalisation
            + 0.5 * log_determinant(&prior.precision.clone().cholesky()?.l())
            + rest_evidence(observations, limits.near_is_between);
        if round == ROUNDS {
            let (low, high) = scatter.at_limits(noise);
            let assumed: f64 = parts
                .iter()
                .map(|part| Scatter::assumed().variance(part))
                .sum();
            let found: f64 = parts.iter().map(|part| scatter.variance(part)).sum();
            return Some(Estimate {
                left_out: left_out(observations, &latent, &covariance, &settled, &weights),
                scatter: (found / assumed).sqrt(),
                scatter_freedom: SCATTER_BELIEF + free,
                evidence: fit - spread + constant,
                constant,
                at_limits: AtLimits {
                    low,
                    high,
                    onset_gf: scatter.force * noise.placed(latent.onset()),
                    end_gf: scatter.force * noise.placed(latent.upper_end()),
                },
                latent,
                smoothness,
                sigmas: settled,
                weights,
                prior,
                freedom,
                status: solved.status,
            });
        }
        if latent.layout.form == Form::Spline {
            (local, local_evidence) = local_precision(&latent, &covariance, smoothness.roughness);
        }
        let usual = usual_size(&sizes, speaking, free);
        for (weight, size) in weights.iter_mut().zip(&sizes) {
            *weight = robust::weight(size / usual);
        }
        let leverages = leverages(observations, &latent, &covariance);
        for (index, part) in parts.iter_mut().enumerate() {
            if observations[index].censoring.is_between() {
                let weight = weights[index];
                part.residual = weight * distances[index].powi(2);
                let leverage = weight * leverages[index] / settled[index].powi(2);
                part.left = 1.0 - leverage.min(MOST_LEVERAGE);
            }
        }
        scatter = scatter.fitted(&parts);
        sigmas = scatter.sigmas(&parts);
    }
    None
}

/// How the latent response is compared at its limits, given how much readings and forces scatter there.
fn limits(latent: &Latent, noise: &Noise, scatter: &Scatter) -> Limits {
    let (low, high) = scatter.at_limits(noise);
    let placed = |force: f64| scatter.force * noise.placed(force).max(LEAST_PLACED);
    Limits {
        fall: low / placed(latent.onset()),
        rise: high / placed(latent.upper_end()),
        below_zero: CLIPPED * low,
        above_full: CLIPPED * high,
        near_is_between: latent.limits.near_is_between,
    }
}

/// What readings of 0 or full scale say of a bench that scatters at its limits: there a reading is clipped to the limit
/// half of the time, on one that does not it always is. Relative to a bench that scatters.
fn rest_evidence(observations: &[Observation], near_is_between: bool) -> f64 {
    let count = |c: Censoring| observations.iter().filter(|o| o.censoring == c).count() as f64;
    let clipped = |near: Censoring, at: Censoring| if count(near) > 0.0 { count(at) } else { 0.0 };
    if near_is_between {
        std::f64::consts::LN_2
            * (clipped(Censoring::NearZero, Censoring::NotAbove)
                + clipped(Censoring::NearFull, Censoring::NotBelow))
    } else {
        0.0
    }
}

/// `gᵀ C g` of every observation that pulls, g its gradient and C the covariance; 0 for others.
fn leverages(observations: &[Observation], latent: &Latent, covariance: &DMatrix<f64>) -> Vec<f64> {
    let mut gradient = vec![0.0; latent.parameters.len()];
    let gradients = latent.gradients();
    observations
        .iter()
        .map(|observation| {
            let prediction = gradients.predict(observation, &mut gradient);
            if !latent.residual(observation, prediction.latent, 0.0).1 {
                return 0.0;
            }
            let row = DVector::from_column_slice(&gradient);
            row.dot(&(covariance * &row))
        })
        .collect()
}

/// Usual size of residuals in units of their standard deviations, from their median, so that a slip
/// does not make itself usual; at least 1.
fn usual_size(sizes: &[f64], speaking: f64, free: f64) -> f64 {
    let mut known: Vec<f64> = sizes.iter().copied().filter(|u| *u != 0.0).collect();
    if known.is_empty() || free < 1.0 {
        return 1.0;
    }
    let middle = known.len() / 2;
    let (_, median, _) = known.select_nth_unstable_by(middle, f64::total_cmp);
    (*median / MEDIAN_OF_SIZES * (speaking / free).sqrt()).max(1.0)
}

/// Logarithm of the determinant of a matrix with this Cholesky factor.
pub(crate) fn log_determinant(factor: &DMatrix<f64>) -> f64 {
    let diagonal: DVector<f64> = factor.diagonal();
    2.0 * diagonal.iter().map(|d| d.ln()).sum::<f64>()
}
