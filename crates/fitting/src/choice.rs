//! Which shape describes the samples: the spline, or a closed form beside it.
//!
//! Among the degrees of smoothness of the spline the evidence of the data decides. A closed form comes
//! in only where it foretells samples that were left out better than the spline does, by more than
//! the standard error of the difference (the rule of one standard error of L. Breiman et al.,
//! "Classification and regression trees", 1984, section 3.4.3), and then carries half the weight: on
//! simulated benches a closed form alone is surer of itself than it should be.

use crate::chance::chances;
use crate::estimate::Estimate;
use crate::form::Form;

/// With fewer samples than this left-out errors cannot tell shapes apart.
const LEAST_SAMPLES: usize = 14;
/// Weight of a closed form that comes in.
const CLOSED_WEIGHT: f64 = 0.5;

/// How well one shape foretells samples that were left out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShapeScore {
    /// The shape.
    pub form: Form,
    /// Root mean square of reading less what was foretold, over the samples between the limits,
    /// fraction of full scale; wild samples count for less.
    pub leave_one_out_rms: f64,
    /// By how much the logarithm of the density foretold for all samples exceeds the spline's.
    pub advantage: f64,
    /// Standard error of the advantage.
    pub advantage_error: f64,
}

/// What was chosen.
#[derive(Clone, Debug, PartialEq)]
pub struct ShapeChoice {
    /// The closed form that shares the response with the spline, half each; the spline alone where
    /// there is none.
    pub closed: Option<Form>,
    /// Whether there were samples enough for a choice.
    pub enough: bool,
    /// Every shape, the spline first, then by left-out error.
    pub scores: Vec<ShapeScore>,
}

impl ShapeChoice {
    /// The chosen shape in words.
    #[must_use]
    pub fn name(&self) -> String {
        let spline = Form::Spline.as_str();
        self.closed.map_or_else(
            || spline.to_owned(),
            |form| format!("{spline} and {}", form.as_str()),
        )
    }

    /// Why it was chosen, as a clause.
    #[must_use]
    pub fn reason(&self) -> String {
        match self.closed {
            Some(form) => format!(
                "half each: {} foretells left-out samples better by more than the standard error",
                form.as_str()
            ),
            None if self.enough => {
                "no closed form foretells left-out samples better by more than the standard error"
                    .to_owned()
            }
            None => format!(
                "with fewer than {LEAST_SAMPLES} samples no closed form can show itself better"
            ),
        }
    }
}

/// Chooses among estimates, at least one of the spline among them; gives the weight of each (they sum
/// to 1) and the choice.
pub(crate) fn choose(estimates: &[Estimate]) -> (Vec<f64>, ShapeChoice) {
    let spline = |e: &Estimate| e.latent.layout.form == Form::Spline;
    let mut weights = spline_weights(estimates);
    let samples = estimates.first().map_or(0, |e| e.left_out.densities.len());
    let mixed = |of: &dyn Fn(&Estimate) -> f64| -> f64 {
        let parts = estimates.iter().zip(&weights);
        parts.map(|(e, weight)| weight * of(e)).sum()
    };
    let spline_densities: Vec<f64> = (0..samples)
        .map(|i| {
            // Relative to the largest, so that a slip does not leave a logarithm of nothing.
            let of = |e: &Estimate| e.left_out.densities[i];
            let largest = estimates.iter().map(of).fold(f64::NEG_INFINITY, f64::max);
            largest + mixed(&|e| (of(e) - largest).exp()).ln()
        })
        .collect();
    let mut scores = vec![ShapeScore {
        form: Form::Spline,
        leave_one_out_rms: mixed(&|e| e.left_out.error.powi(2)).sqrt(),
        advantage: 0.0,
        advantage_error: 0.0,
    }];
    let enough = samples >= LEAST_SAMPLES;
    let mut best: Option<(usize, ShapeScore)> = None;
    for (index, estimate) in estimates.iter().enumerate().filter(|(_, e)| !spline(e)) {
        let score = score(estimate, &spline_densities);
        let wins = enough && score.advantage > score.advantage_error;
        if wins && best.is_none_or(|(_, held)| score.advantage > held.advantage) {
            best = Some((index, score));
        }
        scores.push(score);
    }
    scores[1..].sort_by(|a, b| a.leave_one_out_rms.total_cmp(&b.leave_one_out_rms));
    if let Some((index, _)) = best {
        for weight in &mut weights {
            *weight *= 1.0 - CLOSED_WEIGHT;
        }
        weights[index] = CLOSED_WEIGHT;
    }
    let choice = ShapeChoice {
        closed: best.map(|(_, score)| score.form),
        enough,
        scores,
    };
    (weights, choice)
}

/// Chance of each degree of smoothness, from its evidence; 0 for closed forms.
fn spline_weights(estimates: &[Estimate]) -> Vec<f64> {
    let evidences: Vec<f64> = estimates
        .iter()
        .map(|e| match e.latent.layout.form {
            Form::Spline => e.evidence,
            _ => f64::NEG_INFINITY,
        })
        .collect();
    chances(&evidences).unwrap_or_else(|| vec![0.0; estimates.len()])
}

fn score(estimate: &Estimate, spline_densities: &[f64]) -> ShapeScore {
    let differences: Vec<f64> = estimate
        .left_out
        .densities
        .iter()
        .zip(spline_densities)
        .map(|(a, b)| a - b)
        .collect();
    let count = differences.len() as f64;
    let advantage: f64 = differences.iter().sum();
    let mean = advantage / count;
    let squares: f64 = differences.iter().map(|d| (d - mean).powi(2)).sum();
    ShapeScore {
        form: estimate.latent.layout.form,
        leave_one_out_rms: estimate.left_out.error,
        advantage,
        // Standard error of a sum of `count` terms.
        advantage_error: (squares * count / (count - 1.0).max(1.0)).sqrt(),
    }
}
