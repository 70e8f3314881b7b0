//! Everything that the samples allow: the candidates, what each is worth, and the response they make together.

use crate::blend::Blend;
use crate::choice::{ShapeChoice, choose};
use crate::estimate::{Estimate, estimates};
use crate::form::Form;
use crate::noise::Noise;
use crate::observation::Observation;
use crate::windows::{Windows, windows};

/// What a solution takes for given.
#[derive(Clone, Copy)]
pub(crate) struct Inputs {
    /// What the response reaches at its upper end: 1, or the highest reading where full scale was not seen.
    pub(crate) top: f64,
    /// Whether full scale was seen.
    pub(crate) reached: bool,
    pub(crate) noise: Noise,
}

/// The candidates for a set of observations, with their chances.
pub(crate) struct Solution {
    pub(crate) observations: Vec<Observation>,
    pub(crate) candidates: Vec<Estimate>,
    /// Chance of each candidate; they sum to 1.
    pub(crate) chances: Vec<f64>,
    pub(crate) windows: Vec<Option<Windows>>,
    pub(crate) shape: ShapeChoice,
    pub(crate) blend: Blend,
    /// Where one estimate must stand for all: the likeliest of the spline.
    best: usize,
}

impl Solution {
    /// Solves for every candidate; none where no factorisation succeeds.
    pub(crate) fn new(
        observations: Vec<Observation>,
        seatings: usize,
        inputs: Inputs,
    ) -> Option<Self> {
        let candidates = estimates(&observations, seatings, inputs.top, &inputs.noise);
        let (mut chances, shape) = choose(&candidates);
        let windows = windows(&observations, &candidates, &mut chances, inputs.reached);
        let is_spline = |k: &usize| candidates[*k].latent.layout.form == Form::Spline;
        let splines = (0..candidates.len()).filter(is_spline);
        let best = splines.max_by(|a, b| chances[*a].total_cmp(&chances[*b]))?;
        let parts = candidates.iter().zip(&chances);
        let blend = Blend::new(parts.map(|(candidate, chance)| (*chance, &candidate.latent)))?;
        Some(Self {
            observations,
            candidates,
            chances,
            windows,
            shape,
            blend,
            best,
        })
    }

    pub(crate) fn best(&self) -> &Estimate {
        &self.candidates[self.best]
    }
}
