//! Resampling: what else the response could have been.
//!
//! Every resample perturbs the readings by their scatter and the prior by its own, and solves again
//! (J. M. Bardsley et al., "Randomize-then-optimize", SIAM J. Sci. Comput. 36, 2014). Perturbing the
//! prior too makes the intervals cover the error that smoothing makes, which a bootstrap of the
//! readings alone leaves out. A resample depends on the seed and its own number only, so the result
//! is the same for any number of threads.

use nalgebra::{DMatrix, DVector};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{ChiSquared, Distribution, StandardNormal};
use rayon::prelude::*;

use crate::estimate::Estimate;
use crate::latent::{Latent, SHAPE};
use crate::observation::Observation;
use crate::solve::{Prior, Problem};

/// Relative standard deviation of the bench's own force scale, common to all its samples.
const BENCH_GAIN: f64 = 0.003;

/// One resample: a latent response, and the factor that turns its forces into bench forces.
#[derive(Clone)]
pub(crate) struct Resample {
    pub(crate) latent: Latent,
    pub(crate) force_factor: f64,
}

pub(crate) fn resample(
    observations: &[Observation],
    candidates: &[Estimate],
    chances: &[f64],
    count: usize,
    seed: u64,
) -> Vec<Resample> {
    let spreads: Vec<Option<DMatrix<f64>>> = candidates
        .iter()
        .map(|candidate| {
            let factor = candidate.prior.precision.clone().cholesky()?;
            factor.l().transpose().try_inverse()
        })
        .collect();
    (0..count)
        .into_par_iter()
        .map(|number| {
            let mut random = ChaCha8Rng::seed_from_u64(seed);
            random.set_stream(number as u64 + 1);
            let chosen = choose(chances, random.random());
            one(
                observations,
                &candidates[chosen],
                spreads[chosen].as_ref(),
                &mut random,
            )
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

fn one(
    observations: &[Observation],
    candidate: &Estimate,
    spread: Option<&DMatrix<f64>>,
    random: &mut ChaCha8Rng,
) -> Resample {
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
    if let Some(spread) = spread {
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
        observations,
        sigmas: &candidate.sigmas,
        weights: &candidate.weights,
        shifts: &shifts,
        prior: &prior,
    };
    let solved = problem.solve(candidate.latent.clone(), 10, 1e-4);
    let gain = BENCH_GAIN * random.sample::<f64, _>(StandardNormal);
    Resample {
        latent: solved.latent,
        force_factor: gain.exp(),
    }
}
