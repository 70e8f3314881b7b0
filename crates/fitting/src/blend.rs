//! A response that is the weighted mean of several latent responses.

use crate::latent::Latent;
use crate::observation::Observation;

/// Parts with less weight than this are left out: they move nothing that shows.
const LEAST_WEIGHT: f64 = 1e-3;

/// The mean of latent responses: of their onsets, of their logarithmic spans, and of their shapes at
/// the same part of the span; so it rises as they do.
#[derive(Clone)]
pub(crate) struct Blend {
    parts: Vec<(f64, Latent)>,
    onset: f64,
    span: f64,
    top: f64,
}

impl Blend {
    /// Blends latent responses; the weights need not sum to 1. None without any weight.
    pub(crate) fn new<'a>(parts: impl Iterator<Item = (f64, &'a Latent)>) -> Option<Self> {
        let parts: Vec<(f64, &Latent)> = parts.collect();
        let total: f64 = parts.iter().map(|part| part.0).sum();
        let heavy = |part: &&(f64, &Latent)| part.0 >= LEAST_WEIGHT * total;
        let total: f64 = parts.iter().filter(heavy).map(|part| part.0).sum();
        let parts: Vec<(f64, Latent)> = parts
            .iter()
            .filter(heavy)
            .map(|(weight, latent)| (weight / total, (*latent).clone()))
            .collect();
        let mean = |of: fn(&Latent) -> f64| parts.iter().map(|(w, latent)| w * of(latent)).sum();
        let onset = mean(Latent::onset);
        let log_span: f64 = mean(|latent| latent.span().ln());
        let top = parts.first()?.1.top;
        Some(Self {
            parts,
            onset,
            span: log_span.exp(),
            top,
        })
    }

    /// Onset force, gf.
    pub(crate) fn onset(&self) -> f64 {
        self.onset
    }

    /// Force at which the latent response reaches its top, gf.
    pub(crate) fn upper_end(&self) -> f64 {
        self.onset + self.span
    }

    fn latent_at(&self, force: f64) -> f64 {
        let z = (force - self.onset) / self.span;
        self.parts
            .iter()
            .map(|(weight, latent)| weight * self.top * latent.shape_value(z))
            .sum()
    }

    /// The reading at a force (gf), limited to 0..1.
    pub(crate) fn reading(&self, force: f64) -> f64 {
        self.latent_at(force).clamp(0.0, 1.0)
    }

    /// Factor from a seating's nominal forces to those of the response.
    pub(crate) fn gain(&self, seating: usize) -> f64 {
        self.mean_log(|latent| latent.gain(seating))
    }

    /// Factor from forces while unloading to those that read the same while loading.
    pub(crate) fn unloading_gain(&self) -> f64 {
        self.mean_log(Latent::unloading_gain)
    }

    fn mean_log(&self, factor: impl Fn(&Latent) -> f64) -> f64 {
        let log: f64 = self
            .parts
            .iter()
            .map(|(weight, latent)| weight * factor(latent).ln())
            .sum();
        log.exp()
    }

    /// Latent value for a sample.
    pub(crate) fn value(&self, observation: &Observation) -> f64 {
        let force = observation.force * self.gain(observation.seating);
        self.latent_at(if observation.unloading {
            force * self.unloading_gain()
        } else {
            force
        })
    }

    /// Residual of a sample in units of the scatter found on this bench.
    pub(crate) fn standardised(&self, observation: &Observation, sigma: f64) -> f64 {
        let value = self.value(observation);
        if observation.censoring.is_between() {
            // What people see is the response held to its limits.
            return (observation.reading - value.clamp(0.0, 1.0)) / sigma;
        }
        self.parts[0].1.residual(observation, value, 0.0).0 / sigma
    }
}
