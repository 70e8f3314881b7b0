//! How well an estimate foretells samples that it has not seen.
//!
//! Leaving one sample out of a linearised least-squares fit needs no new fit: with leverage h and
//! weight w the residual r becomes r/(1 − wh) (R. D. Cook and S. Weisberg, "Residuals and influence in
//! regression", 1982, section 2.2).

use nalgebra::{DMatrix, DVector};

use crate::latent::Latent;
use crate::observation::{Censoring, Observation};
use crate::robust::{self, HUBER, loss};

/// A leverage of one would leave nothing to foretell from.
pub(crate) const MOST_LEVERAGE: f64 = 0.99;

/// Leave-one-out figures of an estimate.
#[derive(Clone, Debug)]
pub(crate) struct LeftOut {
    /// Root mean square of what was read less what was foretold, samples between the limits,
    /// fraction of full scale; wild samples count for less.
    pub(crate) error: f64,
    /// Logarithm of the probability density that was foretold for each sample.
    pub(crate) densities: Vec<f64>,
}

pub(crate) fn left_out(
    observations: &[Observation],
    latent: &Latent,
    covariance: &DMatrix<f64>,
    sigmas: &[f64],
    weights: &[f64],
) -> LeftOut {
    let mut gradient = vec![0.0; latent.parameters.len()];
    let gradients = latent.gradients();
    let mut densities = Vec::with_capacity(observations.len());
    let (mut squares, mut total) = (0.0, 0.0);
    for (index, observation) in observations.iter().enumerate() {
        let sigma = sigmas[index];
        let prediction = gradients.predict(observation, &mut gradient);
        let (distance, pulls) = latent.residual(observation, prediction.latent, 0.0);
        let row = DVector::from_column_slice(&gradient);
        let spread = row.dot(&(covariance * &row)) / (sigma * sigma);
        // A sample that pulls is taken out of the fit, its weight w with it: the residual grows by
        // 1/(1 − wh), and what the others leave open adds h/(1 − wh) to the variance. One that does not
        // pull was never in.
        let between = observation.censoring.is_between();
        let (miss, variance) = if pulls {
            let left = 1.0 - (weights[index] * spread).min(MOST_LEVERAGE);
            (distance / left, 1.0 + spread / left)
        } else if between {
            (distance, 1.0 + spread)
        } else {
            (latent.bound(observation) - prediction.latent, 1.0 + spread)
        };
        let deviation = sigma * variance.sqrt();
        let score = miss / deviation;
        densities.push(match observation.censoring {
            Censoring::NotAbove => log_normal_below(score + latent.limits.below_zero / deviation),
            Censoring::NotBelow => log_normal_below(latent.limits.above_full / deviation - score),
            _ => -loss(score) - deviation.ln(),
        });
        if between {
            let weight = robust::weight(score.abs());
            squares += weight * miss * miss;
            total += 1.0;
        }
    }
    LeftOut {
        error: if total > 0.0 {
            (squares / total).sqrt()
        } else {
            0.0
        },
        densities,
    }
}

/// Logarithm of the normal distribution function; its tail goes on like [`loss`].
fn log_normal_below(score: f64) -> f64 {
    if score < -HUBER {
        return log_normal_below(-HUBER) + loss(HUBER) - loss(score);
    }
    // Φ(x) = (1 + erf(x/√2))/2; the tail is cut above, so no digits are lost that matter.
    (0.5 * (1.0 + libm::erf(score / std::f64::consts::SQRT_2))).ln()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::estimate::estimates;
    use crate::form::Form;
    use crate::noise::Noise;
    use crate::solve::Problem;

    /// A rise from 10 gf to 250 gf with a ripple of half a percent.
    fn observations() -> Vec<Observation> {
        let one = |i: u32| {
            let force = 14.0 + 12.0 * f64::from(i);
            let ripple = (f64::from(i) * 0.618_034).fract() - 0.5;
            Observation {
                force,
                reading: ((force - 10.0) / 240.0).powf(0.8) + 0.01 * ripple,
                seating: 0,
                unloading: false,
                censoring: Censoring::Inside,
                count: 1.0,
            }
        };
        (0..20).map(one).collect()
    }

    #[test]
    fn the_shortcut_agrees_with_leaving_each_sample_out() {
        let observations = observations();
        let found = estimates(&observations, 1, 1.0, &Noise::assumed(1e-4));
        for form in [Form::Spline, Form::Power, Form::Weibull] {
            let of = |e: &&crate::estimate::Estimate| e.latent.layout.form == form;
            let estimate = found.iter().find(of).unwrap();
            let shifts = vec![0.0; observations.len()];
            let mut squares = 0.0;
            for (left, observation) in observations.iter().enumerate() {
                let mut weights = estimate.weights.clone();
                weights[left] = 0.0;
                let problem = Problem {
                    weights: &weights,
                    ..estimate.problem(&observations, &shifts)
                };
                let refit = problem.solve(estimate.latent.clone(), 100, 1e-10).latent;
                squares += (observation.reading - refit.value(observation)).powi(2);
            }
            let refitted = (squares / observations.len() as f64).sqrt();
            let shortcut = estimate.left_out.error;
            assert!(
                (shortcut / refitted - 1.0).abs() < 0.15,
                "{}: {shortcut} by the shortcut, {refitted} by refitting",
                form.as_str()
            );
        }
    }

    #[test]
    fn the_tail_is_bounded_and_joins() {
        assert!((log_normal_below(0.0) - 0.5_f64.ln()).abs() < 1e-15);
        assert!(log_normal_below(8.0).abs() < 1e-14);
        let join = log_normal_below(-HUBER) - log_normal_below(-HUBER - 1e-9);
        assert!((0.0..1e-8).contains(&join), "{join}");
        assert!(log_normal_below(-1e6) > -25.0);
    }
}
