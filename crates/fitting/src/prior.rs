//! What is believed before the data: slopes change smoothly, seatings differ little.

use nalgebra::{DMatrix, DVector};

use crate::latent::{GAINS, LOG_SPAN, Latent, ONSET, SHAPE};
use crate::shape::{HATS, TRENDS};
use crate::solve::Prior;

/// Standard deviation of each trend of the log-slope; wide, to keep the solve regular.
const TREND_SPREAD: [f64; TRENDS] = [1.0, 2.0];
/// Standard deviation of each hat beyond its roughness, to fix the level that normalising removes.
const HAT_SPREAD: f64 = 3.0;
/// Spread of the seatings' logarithmic gains before the data, and how many seatings that belief is
/// worth.
const GAIN_SPREAD: f64 = 0.02;
const GAIN_BELIEF: f64 = 2.0;
/// Precision that keeps the free parameters regular without steering them.
const FREE: f64 = 1e-9;

/// The prior for a roughness (standard deviation of the second differences of the hats) and a
/// spread of the seatings' logarithmic gains.
pub(crate) fn prior(roughness: f64, gain_spread: f64, seatings: usize) -> Prior {
    let size = GAINS + seatings;
    let mut precision = DMatrix::zeros(size, size);
    precision[(ONSET, ONSET)] = FREE;
    precision[(LOG_SPAN, LOG_SPAN)] = FREE;
    for (index, spread) in TREND_SPREAD.iter().enumerate() {
        precision[(SHAPE + index, SHAPE + index)] = 1.0 / (spread * spread);
    }
    let first_hat = SHAPE + TRENDS;
    for hat in 0..HATS {
        precision[(first_hat + hat, first_hat + hat)] += 1.0 / (HAT_SPREAD * HAT_SPREAD);
    }
    let rough = 1.0 / (roughness * roughness);
    let difference = [1.0, -2.0, 1.0];
    for hat in 0..HATS - 2 {
        for (i, a) in difference.iter().enumerate() {
            for (j, b) in difference.iter().enumerate() {
                precision[(first_hat + hat + i, first_hat + hat + j)] += rough * a * b;
            }
        }
    }
    for seating in 0..seatings {
        // A single seating has nothing to differ from.
        let spread = if seatings == 1 { 1e-6 } else { gain_spread };
        precision[(GAINS + seating, GAINS + seating)] = 1.0 / (spread * spread);
    }
    Prior {
        precision,
        mean: DVector::zeros(size),
    }
}

/// Spread of the seatings' logarithmic gains, from what was believed and what a solve found.
pub(crate) fn gain_spread(latent: &Latent) -> f64 {
    let gains = &latent.parameters[GAINS..];
    if gains.iter().all(|gain| *gain == 0.0) {
        return 1.5 * GAIN_SPREAD;
    }
    let squares: f64 = gains.iter().map(|gain| gain * gain).sum();
    let differences = gains.len() as f64 - 1.0;
    ((GAIN_BELIEF * GAIN_SPREAD.powi(2) + squares) / (GAIN_BELIEF + differences)).sqrt()
}
