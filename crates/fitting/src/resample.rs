//! Resampling: what else the response could have been.
//!
//! Every resample perturbs the readings by their scatter and the prior by its own, and solves again
//! (J. M. Bardsley et al., "Randomize-then-optimize", SIAM J. Sci. Comput. 36, 2014). Perturbing the
//! prior too makes the intervals cover the error that smoothing makes, which a bootstrap of the
//! readings alone leaves out. A resample depends on the seed and its own number only, so the result
//! is the same for any number of threads.

use evenhand_measurement::ForceBudget;
use nalgebra::{Cholesky, DMatrix, DVector, Dyn};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{ChiSquared, Distribution, StandardNormal};
use rayon::prelude::*;

use crate::estimate::Estimate;
use crate::latent::{Latent, SHAPE, residual};
use crate::observation::Observation;
use crate::solve::{Prior, Problem};

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
}

impl ForceScale {
    pub(crate) fn of(budget: Option<&ForceBudget>) -> Self {
        budget.map_or(
            Self {
                gain: BENCH_GAIN,
                offset_gf: 0.0,
            },
            |budget| Self {
                gain: budget.gain,
                offset_gf: budget.offset_gf,
            },
        )
    }
}

pub(crate) fn resample(
    observations: &[Observation],
    candidates: &[Estimate],
    chances: &[f64],
    count: usize,
    seed: u64,
    scale: ForceScale,
) -> Vec<Resample> {
    // Most candidates have no chance; they need no preparation.
    let (chances, prepared): (Vec<f64>, Vec<Prepared<'_>>) = chances
        .iter()
        .zip(candidates)
        .filter(|(chance, _)| **chance > 0.0)
        .map(|(chance, candidate)| (*chance, Prepared::new(observations, candidate)))
        .unzip();
    (0..count)
        .into_par_iter()
        .map(|number| {
            let mut random = ChaCha8Rng::seed_from_u64(seed);
            random.set_stream(number as u64 + 1);
            let chosen = choose(&chances, random.random());
            prepared[chosen].resample(&mut random, scale)
        })
        .collect()
}

fn choose(chances: &[f64], mut draw: f64) -> usize {
    for (index, chance) in chances.iter().enumerate() {
        draw -= chance;
        if draw <= 0.0 {
            return index;
        }
    }
    chances.len() - 1
}

/// What all resamples of an estimate share.
struct Prepared<'a> {
    observations: &'a [Observation],
    candidate: &'a Estimate,
    /// Turns independent normal draws into draws from the prior.
    spread: Option<DMatrix<f64>>,
    first: Option<FirstStep>,
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
    fn new(observations: &'a [Observation], candidate: &'a Estimate) -> Self {
        let spread = |factor: Cholesky<f64, Dyn>| factor.l().transpose().try_inverse();
        let precision = &candidate.prior.precision;
        Self {
            observations,
            candidate,
            spread: precision.clone().cholesky().and_then(spread),
            first: FirstStep::new(observations, candidate),
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
            // Onset and span have no prior to speak of.
            for free in 0..SHAPE {
                mean[free] = 0.0;
            }
        }
        let prior = Prior {
            precision: candidate.prior.precision.clone(),
            mean,
        };
        let problem = Problem {
            prior: &prior,
            ..candidate.problem(self.observations, &shifts)
        };
        let start = match &self.first {
            Some(first) => problem.better(&candidate.latent, first.taken(candidate, &problem)),
            None => candidate.latent.clone(),
        };
        let solved = problem.solve(start, MOST_ITERATIONS, TOLERANCE);
        let gain = scale.gain * random.sample::<f64, _>(StandardNormal);
        let offset = scale.offset_gf * random.sample::<f64, _>(StandardNormal);
        Resample {
            latent: solved.latent,
            force_factor: gain.exp(),
            force_shift: offset,
        }
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
            let (_, pulling) = residual(observation, prediction.latent, 0.0);
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
