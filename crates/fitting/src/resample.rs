//! Resampling: what else the response could have been.
//!
//! Every resample perturbs the readings by their scatter and the prior by its own, and solves again
//! (J. M. Bardsley et al., "Randomize-then-optimize", SIAM J. Sci. Comput. 36, 2014). Perturbing the
//! prior too makes the intervals cover the error that smoothing makes, which a bootstrap of the
//! readings alone leaves out. A resample depends on the seed and its own number only, so the result
//! is the same for any number of threads.

use evenhand_measurement::Bench;
use nalgebra::{Cholesky, DMatrix, DVector, Dyn};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{ChiSquared, Distribution, StandardNormal};
use rayon::prelude::*;

use crate::chance::drawn;
use crate::estimate::Estimate;
use crate::latent::{LOG_SPAN, Latent, ONSET, SHAPE};
use crate::observation::Observation;
use crate::seating_level::SeatingLevel;
use crate::solution::Solution;
use crate::solve::{Prior, Problem};
use crate::windows::{Window, Windows};

/// Relative standard deviation of a bench's own force scale where no budget says better (common practice, no
/// source), common to all its samples and to all that is measured on it.
pub const BENCH_GAIN: f64 = 0.003;

/// A resample need not be solved further than its own scatter.
const MOST_ITERATIONS: usize = 10;
const TOLERANCE: f64 = 1e-4;

/// One resample: a latent response, and the factor that turns its forces into bench forces.
#[derive(Clone)]
pub(crate) struct Resample {
    pub(crate) latent: Latent,
    pub(crate) force_factor: f64,
    /// What is added to them after that, gf.
    pub(crate) force_shift: f64,
}

impl Resample {
    /// A force of the latent response as the bench's scale would be right about it, gf.
    pub(crate) fn shown(&self, force: f64) -> f64 {
        force * self.force_factor + self.force_shift
    }

    /// Reading at a force of that scale.
    pub(crate) fn reading(&self, force: f64) -> f64 {
        self.latent
            .reading((force - self.force_shift) / self.force_factor)
    }
}

/// How well the scale of the bench's forces is known, common to all of them.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ForceScale {
    /// Standard uncertainty of its gain.
    gain: f64,
    /// Standard uncertainty of its offset, gf; none where no budget names one.
    offset_gf: f64,
    /// Standard deviation of the logarithmic gains of its seatings, where the bench states it.
    seating_gain: Option<f64>,
}

impl ForceScale {
    pub(crate) fn of(bench: &Bench) -> Self {
        let budget = bench.budget.as_ref();
        Self {
            gain: budget.map_or(BENCH_GAIN, |budget| budget.gain),
            offset_gf: budget.map_or(0.0, |budget| budget.offset_gf),
            seating_gain: bench.seating_gain_u,
        }
    }
}

/// Draws `count` responses from solutions, each with its share of the chances.
pub(crate) fn resample(
    solutions: &[(f64, &Solution)],
    count: usize,
    seed: u64,
    scale: ForceScale,
) -> Vec<Resample> {
    let mut chances = Vec::new();
    let mut prepared = Vec::new();
    for (share, solution) in solutions {
        let parts = solution.candidates.iter().zip(&solution.windows);
        for ((candidate, windows), chance) in parts.zip(&solution.chances) {
            // Most candidates have no chance; they need no preparation.
            if share * chance > 0.0 {
                chances.push(share * chance);
                prepared.push(Prepared::new(
                    &solution.pooled,
                    candidate,
                    windows.as_ref(),
                    scale,
                ));
            }
        }
    }
    (0..count)
        .into_par_iter()
        .map(|number| {
            let mut random = ChaCha8Rng::seed_from_u64(seed);
            random.set_stream(number as u64 + 1);
            let chosen = drawn(chances.iter().copied(), random.random());
            prepared[chosen].resample(&mut random, scale)
        })
        .collect()
}

/// One of the windows, by chance; none where there are none.
fn drawn_window<'a>(windows: &'a [Window], random: &mut ChaCha8Rng) -> Option<(&'a Window, f64)> {
    let chosen = drawn(windows.iter().map(|window| window.chance), random.random());
    let window = windows.get(chosen)?;
    let unit: f64 = random.sample(StandardNormal);
    Some((window, window.mean + window.spread * unit))
}

/// What all resamples of an estimate share.
struct Prepared<'a> {
    observations: &'a [Observation],
    candidate: &'a Estimate,
    /// Turns independent normal draws into draws from the prior.
    spread: Option<DMatrix<f64>>,
    first: Option<FirstStep>,
    windows: Option<&'a Windows>,
    /// How far all seatings err alike.
    level: SeatingLevel,
}

/// The first step of every resample goes from the same place: only its right-hand side differs.
struct FirstStep {
    factor: Cholesky<f64, Dyn>,
    /// Right-hand side without any perturbation.
    right: DVector<f64>,
    /// One column for each observation: what a shift of its reading adds to the right-hand side.
    pulls: DMatrix<f64>,
}

impl<'a> Prepared<'a> {
    fn new(
        observations: &'a [Observation],
        candidate: &'a Estimate,
        windows: Option<&'a Windows>,
        scale: ForceScale,
    ) -> Self {
        let spread = |factor: Cholesky<f64, Dyn>| factor.l().transpose().try_inverse();
        let precision = &candidate.prior.precision;
        Self {
            observations,
            candidate,
            spread: precision.clone().cholesky().and_then(spread),
            first: FirstStep::new(observations, candidate),
            windows,
            level: SeatingLevel::of(&candidate.latent, scale.seating_gain),
        }
    }

    fn resample(&self, random: &mut ChaCha8Rng, scale: ForceScale) -> Resample {
        let candidate = self.candidate;
        let freedom = candidate.scatter_freedom;
        let chi = ChiSquared::new(freedom).map_or(freedom, |law| law.sample(random));
        let scatter = (freedom / chi).sqrt();
        let shifts: Vec<f64> = candidate
            .sigmas
            .iter()
            .map(|sigma| sigma * scatter * random.sample::<f64, _>(StandardNormal))
            .collect();
        let size = candidate.latent.parameters.len();
        let mut mean = DVector::zeros(size);
        if let Some(spread) = &self.spread {
            let draws = DVector::from_fn(size, |_, _| random.sample::<f64, _>(StandardNormal));
            mean = spread * draws;
            // Onset and span have no prior to speak of, and how far all seatings err alike is drawn apart.
            for free in 0..SHAPE {
                mean[free] = 0.0;
            }
            let layout = candidate.latent.layout;
            let mut gains = mean.rows_mut(layout.gains(), layout.seatings);
            let common = gains.mean();
            gains.add_scalar_mut(-common);
        }
        let mut prior = Prior {
            precision: candidate.prior.precision.clone(),
            mean,
        };
        let windowed = self.windowed(&mut prior, random);
        let problem = Problem {
            prior: &prior,
            ..candidate.problem(self.observations, &shifts)
        };
        let start = match (windowed, &self.first) {
            (Some(latent), _) => latent,
            (None, Some(first)) => {
                problem.better(&candidate.latent, first.taken(candidate, &problem))
            }
            (None, None) => candidate.latent.clone(),
        };
        let solved = problem.solve(start, MOST_ITERATIONS, TOLERANCE);
        let gain = scale.gain * random.sample::<f64, _>(StandardNormal);
        let offset = scale.offset_gf * random.sample::<f64, _>(StandardNormal);
        Resample {
            latent: solved.latent,
            force_factor: (gain + self.level.drawn(random)).exp(),
            force_shift: offset,
        }
    }
}

impl Prepared<'_> {
    /// Draws a window along the onset and one along the span, holds both by the prior, and gives the response from which
    /// to start there; none where the candidate has no windows.
    fn windowed(&self, prior: &mut Prior, random: &mut ChaCha8Rng) -> Option<Latent> {
        let windows = self.windows?;
        let (window, onset) = drawn_window(&windows.onset, random)?;
        window.hold(prior, ONSET, onset.max(0.0));
        let latent = window.latent.clone();
        let Some((window, log_span)) = drawn_window(&windows.log_span, random) else {
            return Some(latent);
        };
        window.hold(prior, LOG_SPAN, log_span);
        let mut parameters = latent.parameters.clone();
        parameters[LOG_SPAN] = window.mean;
        Some(latent.with_parameters(parameters))
    }
}

impl FirstStep {
    fn new(observations: &[Observation], candidate: &Estimate) -> Option<Self> {
        let unshifted = vec![0.0; observations.len()];
        let latent = &candidate.latent;
        let normal = candidate.problem(observations, &unshifted).normal(latent);
        let at = DVector::from_column_slice(&latent.parameters);
        let mut pulls = DMatrix::zeros(latent.parameters.len(), observations.len());
        let mut gradient = vec![0.0; latent.parameters.len()];
        let gradients = latent.gradients();
        for (index, observation) in observations.iter().enumerate() {
            let prediction = gradients.predict(observation, &mut gradient);
            let (_, pulling) = latent.residual(observation, prediction.latent, 0.0);
            if pulling {
                let weight = candidate.weights[index] / candidate.sigmas[index].powi(2);
                for (slot, value) in pulls.column_mut(index).iter_mut().zip(&gradient) {
                    *slot = weight * value;
                }
            }
        }
        Some(Self {
            factor: (&normal.matrix + &candidate.prior.precision).cholesky()?,
            right: &normal.right - &candidate.prior.precision * at,
            pulls,
        })
    }

    /// Where the first step leads under the shifts and the prior mean of a resample.
    fn taken(&self, candidate: &Estimate, problem: &Problem<'_>) -> Latent {
        let mut right = &self.right + &problem.prior.precision * &problem.prior.mean;
        for (column, shift) in self.pulls.column_iter().zip(problem.shifts) {
            right.axpy(*shift, &column, 1.0);
        }
        problem.moved(&candidate.latent, &self.factor.solve(&right))
    }
}
