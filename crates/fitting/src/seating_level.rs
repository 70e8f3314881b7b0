//! How far all seatings of a bench err alike.
//!
//! Each mounting of a stylus multiplies forces by a gain of its own. Samples show how the gains differ, never how far
//! all of them lie from the true force: their mean stays unknown by τ/√K, with K seatings whose logarithmic gains have
//! the standard deviation τ. What is known of τ is what the gains show of it and what is usual
//! (A. Gelman, "Prior distributions for variance parameters in hierarchical models", Bayesian Analysis 1, 2006).

use rand::Rng;
use rand_chacha::ChaCha8Rng;
use rand_distr::StandardNormal;

use crate::chance::{chances, drawn};
use crate::latent::Latent;

/// What is usual for τ, as a median with the standard deviation of its logarithm (common practice, no source).
const USUAL: f64 = 0.015;
const USUAL_SPREAD: f64 = std::f64::consts::LN_2;
/// Standard error with which the gain of a seating is found.
const FOUND_WITHIN: f64 = 0.002;
/// Places at which τ is tried, evenly in its logarithm over three spreads to either side.
const PLACES: usize = 25;
const SPREADS: f64 = 3.0;

/// What is believed of τ and what follows for the mean of the gains.
pub(crate) struct SeatingLevel {
    /// Candidates for τ/√K with their chances; none with one seating.
    spreads: Vec<(f64, f64)>,
}

impl SeatingLevel {
    /// From the gains of a latent response, or from the spread between seatings that the bench states.
    pub(crate) fn of(latent: &Latent, stated: Option<f64>) -> Self {
        let layout = latent.layout;
        let gains = &latent.parameters[layout.gains()..layout.gains() + layout.seatings];
        let count = gains.len() as f64;
        if gains.len() < 2 {
            return Self {
                spreads: Vec::new(),
            };
        }
        if let Some(stated) = stated {
            return Self {
                spreads: vec![(stated / count.sqrt(), 1.0)],
            };
        }
        let mean = gains.iter().sum::<f64>() / count;
        let squares: f64 = gains.iter().map(|gain| (gain - mean).powi(2)).sum();
        let logs: Vec<(f64, f64)> = (0..PLACES)
            .map(|place| {
                let unit = SPREADS * (2.0 * place as f64 / (PLACES - 1) as f64 - 1.0);
                let spread = USUAL * (unit * USUAL_SPREAD).exp();
                let variance = spread * spread + FOUND_WITHIN * FOUND_WITHIN;
                let likelihood = -0.5 * ((count - 1.0) * variance.ln() + squares / variance);
                (spread, likelihood - 0.5 * unit * unit)
            })
            .collect();
        let densities: Vec<f64> = logs.iter().map(|(_, log)| *log).collect();
        let spreads = logs.iter().map(|(spread, _)| spread / count.sqrt());
        let chances = chances(&densities).unwrap_or_default();
        Self {
            spreads: spreads.zip(chances).collect(),
        }
    }

    /// A draw of the logarithm by which all seatings err alike.
    pub(crate) fn drawn(&self, random: &mut ChaCha8Rng) -> f64 {
        if self.spreads.is_empty() {
            return 0.0;
        }
        let chances = self.spreads.iter().map(|(_, chance)| *chance);
        let (spread, _) = self.spreads[drawn(chances, random.random())];
        spread * random.sample::<f64, _>(StandardNormal)
    }
}
