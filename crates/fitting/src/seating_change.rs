//! Whether the forces of a seating change their gain part way through, as they do when stylus or lever
//! was moved and the file does not say so.
//!
//! For every place where a seating could be cut, a score test (C. R. Rao, Proc. Camb. Phil. Soc. 44,
//! 1948) asks whether a gain of its own for the later samples would lower the residuals, given all that
//! the response itself could do about them. The largest score over all places decides, against a limit
//! that allows for their number (Bonferroni).

use evenhand_measurement::{Measurement, Sample, SamplePlace};
use nalgebra::DVector;

use crate::estimate::Estimate;
use crate::observation::{Censoring, Observation};

/// Samples between the limits that each side of a cut needs, within the forces of the other side.
const LEAST_SHARED: usize = 3;
/// … over at least this part of all forces between the limits: at one end of them a misfit looks like a gain.
const LEAST_EXTENT: f64 = 0.2;
/// Chance of calling a change where there is none, over all places.
const FALSE_ALARM: f64 = 0.01;
/// A smaller change of gain is not worth a word.
const LEAST_CHANGE: f64 = 0.005;

/// Logarithm of how many times likelier a change is where the force drops, because a bench that was
/// touched starts anew there (common practice, no source).
const DROP_ODDS: f64 = 3.0;

/// How likely a bench was touched and nobody wrote it down, and by how much the gain usually changes then, as a
/// standard deviation of its logarithm (common practice, no source).
const PRIOR_CHANCE: f64 = 0.05;
const USUAL_CHANGE: f64 = 0.03;
/// A change less likely than this has no say.
const LEAST_CHANCE: f64 = 0.02;
/// Likelier than this is certain.
const MOST_LOG_ODDS: f64 = 300.0;

/// A change of gain that the file does not declare.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SeatingChange {
    /// The first sample after the change.
    pub place: SamplePlace,
    /// Factor by which the later forces act more than the earlier ones.
    pub gain: f64,
    /// Size of a standard normal variable that is as unlikely by chance as this change.
    pub score: f64,
    /// Whether the later forces only fall and the earlier ones only rise: hysteresis looks alike.
    pub turns_back: bool,
    /// Position of the first sample after the change among those of the measurement.
    first: usize,
}

impl SeatingChange {
    /// Whether it acts on a sample of the measurement it was found in, by the sample's position: it comes at or after the
    /// change, in the same seating.
    #[must_use]
    pub fn concerns(&self, measurement: &Measurement, index: usize) -> bool {
        let samples = &measurement.samples;
        index >= self.first
            && samples.get(index).map(|s| s.seating) == samples.get(self.first).map(|s| s.seating)
    }
}

/// A change that may be there, with what it would be and how likely it is.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Suspected {
    pub(crate) change: SeatingChange,
    /// How likely there is a change; 1 where it is found.
    pub(crate) chance: f64,
    /// Whether chance alone hardly explains it, so that it is named.
    pub(crate) is_found: bool,
}

impl Suspected {
    /// The observations with what follows the change as a seating of its own, the last of now `seatings` + 1.
    pub(crate) fn divided(
        &self,
        observations: &[Observation],
        seatings: usize,
    ) -> Vec<Observation> {
        let own = observations[self.change.first].seating;
        let mut divided = observations.to_vec();
        for observation in &mut divided[self.change.first..] {
            if observation.seating == own {
                observation.seating = seatings;
            }
        }
        divided
    }
}

/// The likeliest undeclared change, if there may be one.
pub(crate) fn suspected_change(
    measurement: &Measurement,
    observations: &[Observation],
    best: &Estimate,
) -> Option<Suspected> {
    let shifts = vec![0.0; observations.len()];
    let normal = best.problem(observations, &shifts).normal(&best.latent);
    let covariance = (&normal.matrix + &best.prior.precision)
        .cholesky()?
        .inverse();
    let gradients = best.latent.gradients();
    let mut gradient = vec![0.0; best.latent.parameters.len()];
    let mut cuts_found: Vec<Cut> = Vec::new();
    for seating in 0..best.latent.layout.seatings {
        for unloading in [false, true] {
            let own: Vec<usize> = (0..observations.len())
                .filter(|i| {
                    let o = &observations[*i];
                    o.seating == seating && o.unloading == unloading
                })
                .collect();
            // From the last sample backwards: what all later samples together say.
            let (mut score, mut size) = (0.0, 0.0);
            let mut shared = DVector::zeros(gradient.len());
            let allowed = allowed_cuts(observations, &own);
            for at in (1..own.len()).rev() {
                let index = own[at];
                let observation = &observations[index];
                let prediction = gradients.predict(observation, &mut gradient);
                let (distance, pulls) = best.latent.residual(observation, prediction.latent, 0.0);
                if pulls {
                    let sigma = best.sigmas[index];
                    let pull = prediction.slope * best.latent.effective_force(observation);
                    let weight = best.weights[index] / (sigma * sigma);
                    score += weight * pull * distance;
                    size += weight * pull * pull;
                    for (total, value) in shared.iter_mut().zip(&gradient) {
                        *total += weight * pull * value;
                    }
                }
                if !allowed[at] {
                    continue;
                }
                let left = size - shared.dot(&(&covariance * &shared));
                if left <= 1e-9 * size {
                    continue;
                }
                cuts_found.push(Cut {
                    score: score / left.sqrt(),
                    log_gain: score / left,
                    variance: 1.0 / left,
                    index,
                    force_drops: observation.force < observations[own[at - 1]].force,
                });
            }
        }
    }
    let places = cuts_found.len() as f64;
    let likeliest = likeliest(&cuts_found)?;
    let Cut {
        log_gain, index, ..
    } = likeliest;
    let free = best.scatter_freedom;
    let score = studentised(likeliest.score, normal.squares, free);
    // Φ(−z) = erfc(z/√2)/2, on both sides.
    let by_chance = libm::erfc(score / std::f64::consts::SQRT_2) * places;
    if log_gain.abs() < LEAST_CHANGE {
        return None;
    }
    let is_found = by_chance <= FALSE_ALARM;
    let odds: f64 = cuts_found
        .iter()
        .map(|cut| cut.odds(studentised(cut.score, normal.squares, free)))
        .sum::<f64>()
        / places;
    let odds = odds * PRIOR_CHANCE / (1.0 - PRIOR_CHANCE);
    let chance = if is_found { 1.0 } else { odds / (1.0 + odds) };
    if chance < LEAST_CHANCE {
        return None;
    }
    let sample = &measurement.samples[index];
    let line = |s: &&Sample| s.line == sample.line;
    let several = measurement.samples.iter().filter(line).count() > 1;
    let nth = measurement.samples[..=index].iter().filter(line).count();
    let change = SeatingChange {
        place: SamplePlace {
            line: sample.line,
            nth: several.then_some(nth),
        },
        gain: log_gain.exp(),
        score,
        turns_back: turns_back(&measurement.samples, index),
        first: index,
    };
    Some(Suspected {
        change,
        chance,
        is_found,
    })
}

/// One place where a seating could be cut.
#[derive(Clone, Copy)]
struct Cut {
    score: f64,
    log_gain: f64,
    /// Variance of that.
    variance: f64,
    index: usize,
    /// Whether the force drops there, as it does where a bench starts anew.
    force_drops: bool,
}

impl Cut {
    /// How many times likelier a score is made by a change here, of a size that is usual, than by none (the Bayes factor
    /// of two normal laws), where the force drops with the odds that this alone gives.
    fn odds(&self, score: f64) -> f64 {
        let usual = USUAL_CHANGE.powi(2);
        let shrunk = usual / (self.variance + usual);
        let factor =
            (1.0 - shrunk).sqrt() * (0.5 * score * score * shrunk).min(MOST_LOG_ODDS).exp();
        factor
            * if self.force_drops {
                DROP_ODDS.exp()
            } else {
                1.0
            }
    }
}

/// The cut with the largest score, or one where the force drops if that is likelier: half the square of
/// a score is the logarithm of a likelihood ratio.
fn likeliest(cuts: &[Cut]) -> Option<Cut> {
    let best = |of: &mut dyn Iterator<Item = &Cut>| {
        of.copied()
            .max_by(|a, b| a.score.abs().total_cmp(&b.score.abs()))
    };
    let largest = best(&mut cuts.iter())?;
    let near = |cut: &&Cut| {
        cut.force_drops
            && cut.score * largest.score > 0.0
            && 0.5 * (largest.score.powi(2) - cut.score.powi(2)) < DROP_ODDS
    };
    Some(best(&mut cuts.iter().filter(near)).unwrap_or(largest))
}

/// The size of a score whose standard error was found with the change still among the residuals, made
/// into a standard normal one: first Student's t without the change (as for externally studentised
/// residuals, R. D. Cook and S. Weisberg, "Residuals and influence in regression", 1982, section 2.2),
/// then a normal variable (D. L. Wallace, Ann. Math. Statist. 30, 1959).
fn studentised(score: f64, squares: f64, freedom: f64) -> f64 {
    let free = (freedom - 1.0).max(1.0);
    let left = (squares - score * score).max(0.1 * free);
    let t_squared = score * score * free / left;
    (8.0 * free + 1.0) / (8.0 * free + 3.0) * (free * (t_squared / free).ln_1p()).sqrt()
}

/// Before which samples of a seating it may be cut: where both sides have samples among the forces of
/// the other.
fn allowed_cuts(observations: &[Observation], own: &[usize]) -> Vec<bool> {
    let inside = |i: &&usize| observations[**i].censoring == Censoring::Inside;
    let forces = |part: &[usize]| -> Vec<f64> {
        part.iter()
            .filter(inside)
            .map(|i| observations[*i].force)
            .collect()
    };
    let extent = |of: &[f64]| {
        let low = of.iter().copied().fold(f64::INFINITY, f64::min);
        of.iter().copied().fold(f64::NEG_INFINITY, f64::max) - low
    };
    let whole = extent(&forces(own));
    let shared = |of: &[f64], with: &[f64]| {
        let low = with.iter().copied().fold(f64::INFINITY, f64::min);
        let high = with.iter().copied().fold(0.0, f64::max);
        let inside: Vec<f64> = of
            .iter()
            .copied()
            .filter(|f| (low..=high).contains(f))
            .collect();
        inside.len() >= LEAST_SHARED && extent(&inside) >= LEAST_EXTENT * whole
    };
    // Beyond a few hundred places the forces of a part hardly change from one to the next.
    let stride = own.len().div_ceil(500).max(1);
    (0..own.len())
        .map(|at| {
            if at == 0 || at % stride != 0 {
                return false;
            }
            let (before, after) = (forces(&own[..at]), forces(&own[at..]));
            shared(&before, &after) && shared(&after, &before)
        })
        .collect()
}

fn turns_back(samples: &[Sample], index: usize) -> bool {
    let undeclared = samples.iter().all(|s| s.direction.is_none());
    let rising = |part: &[Sample]| part.windows(2).all(|w| w[0].force <= w[1].force);
    let falling = |part: &[Sample]| part.windows(2).all(|w| w[0].force >= w[1].force);
    undeclared && rising(&samples[..index]) && falling(&samples[index..])
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at_forces(forces: impl Iterator<Item = u32>) -> Vec<Observation> {
        forces
            .map(|force| Observation {
                force: f64::from(force),
                reading: 0.5,
                seating: 0,
                unloading: false,
                censoring: Censoring::Inside,
                count: 1.0,
            })
            .collect()
    }

    fn cuts(observations: &[Observation]) -> Vec<bool> {
        let own: Vec<usize> = (0..observations.len()).collect();
        allowed_cuts(observations, &own)
    }

    /// Three samples on either side among the forces of the other.
    #[test]
    fn both_sides_of_a_cut_need_samples() {
        let found = cuts(&at_forces([0, 10, 20, 0, 10, 20].into_iter()));
        assert_eq!(found, [false, false, false, true, false, false]);
    }

    /// Student's t of 10 degrees of freedom has 5 % beyond 2.228 and 1 % beyond 3.169, a normal variable beyond 1.960 and
    /// 2.576 (tables of both distributions, from memory); the approximation is good to about 0.01.
    #[test]
    fn scores_are_as_unlikely_as_normal_ones() {
        for (t, normal) in [(2.228_f64, 1.960), (3.169, 2.576)] {
            // score² / (squares − score²) is t² / free.
            let squares = 1.0 + 10.0 / (t * t);
            let scaled = studentised(5.0, 25.0 * squares, 11.0);
            assert!((scaled - normal).abs() < 0.02, "{t}: {scaled}");
        }
    }

    /// Where nothing is left beside the change the scatter counts as a tenth of the usual: t² is 10·25/1.
    #[test]
    fn a_change_that_explains_everything_stays_finite() {
        let scaled = studentised(5.0, 25.0, 11.0);
        let expected = 81.0 / 83.0 * (10.0 * 26.0_f64.ln()).sqrt();
        assert!((scaled - expected).abs() < 1e-12, "{scaled}");
    }

    #[test]
    fn it_is_said_whether_forces_act_more_or_less() {
        for (gain, words) in [(1.05, "act 5.0 % more"), (0.95, "act 5.0 % less")] {
            let change = SeatingChange {
                place: SamplePlace { line: 7, nth: None },
                gain,
                score: 6.0,
                turns_back: false,
                first: 5,
            };
            let message = change.warning().message;
            assert!(message.contains(words), "{message}");
        }
    }

    /// Of many samples every few are places for a cut: 500 at most, none before the first sample.
    #[test]
    fn many_samples_are_cut_at_some_places() {
        let allowed = cuts(&at_forces((0..2_000).map(|i| i % 20)));
        assert!(!allowed[0]);
        let places = allowed.iter().filter(|allowed| **allowed).count();
        assert!((400..=500).contains(&places), "{places}");
    }
}
