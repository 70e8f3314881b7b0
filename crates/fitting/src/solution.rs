//! Everything that the samples allow: the candidates, what each is worth, and the response they make together.

use crate::blend::Blend;
use crate::choice::{ShapeChoice, choose};
use crate::estimate::{Estimate, estimate, estimates};
use crate::form::Form;
use crate::noise::Noise;
use crate::observation::Observation;
use crate::pooled::pooled;
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
    /// What the candidates were solved for: the observations, or groups of them where there are many.
    pub(crate) pooled: Vec<Observation>,
    pub(crate) candidates: Vec<Estimate>,
    /// Chance of each candidate; they sum to 1.
    pub(crate) chances: Vec<f64>,
    pub(crate) windows: Vec<Option<Windows>>,
    pub(crate) shape: ShapeChoice,
    pub(crate) blend: Blend,
    /// Where one estimate must stand for all, the likeliest of the spline, with every observation by itself.
    pub(crate) best: Estimate,
}

impl Solution {
    /// Solves for every candidate; none where no factorisation succeeds.
    pub(crate) fn new(
        observations: Vec<Observation>,
        seatings: usize,
        inputs: Inputs,
    ) -> Option<Self> {
        let pooled = pooled(&observations);
        let candidates = estimates(&pooled, seatings, inputs.top, &inputs.noise);
        let (mut chances, shape) = choose(&candidates);
        let windows = windows(&pooled, &candidates, &mut chances, inputs.reached);
        let is_spline = |k: &usize| candidates[*k].latent.layout.form == Form::Spline;
        let splines = (0..candidates.len()).filter(is_spline);
        let likeliest = splines.max_by(|a, b| chances[*a].total_cmp(&chances[*b]))?;
        let likeliest = &candidates[likeliest];
        let best = if pooled.len() == observations.len() {
            likeliest.clone()
        } else {
            let from = likeliest.latent.clone();
            estimate(&observations, &inputs.noise, likeliest.smoothness, from)?
        };
        let parts = candidates.iter().zip(&chances);
        let blend = Blend::new(parts.map(|(candidate, chance)| (*chance, &candidate.latent)))?;
        Some(Self {
            observations,
            pooled,
            candidates,
            chances,
            windows,
            shape,
            blend,
            best,
        })
    }
}
