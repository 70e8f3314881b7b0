//! The latent response: onset, span, shape, the force gain of every seating and the gain of unloading.

use crate::form::Form;
use crate::observation::{Censoring, Observation};
use crate::shape::{Shape, ShapeGradients};

/// Position of the onset force among the parameters.
pub(crate) const ONSET: usize = 0;
/// Position of the logarithm of the span.
pub(crate) const LOG_SPAN: usize = 1;
/// Position of the first shape coefficient.
pub(crate) const SHAPE: usize = 2;

/// What the parameters of a latent response are, in order: onset, logarithm of the span, coefficients
/// of the shape, logarithmic gain of each seating, logarithmic gain of unloading where there is one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Layout {
    pub(crate) form: Form,
    pub(crate) seatings: usize,
    /// Whether samples taken while unloading are told from others.
    pub(crate) unloading: bool,
}

impl Layout {
    /// Position of the first logarithmic seating gain.
    pub(crate) const fn gains(self) -> usize {
        SHAPE + self.form.coefficients()
    }

    /// Position of the logarithmic gain.
    pub(crate) const fn unloading_index(self) -> Option<usize> {
        if self.unloading {
            Some(self.gains() + self.seatings)
        } else {
            None
        }
    }

    pub(crate) const fn size(self) -> usize {
        self.gains() + self.seatings + self.unloading as usize
    }
}

/// A latent response: `top · S((F·gain − onset) / span)`, limited to 0..1 only when it is read.
#[derive(Clone)]
pub(crate) struct Latent {
    pub(crate) parameters: Vec<f64>,
    /// What the response reaches at onset + span: 1, or the highest reading where saturation was
    /// not seen.
    pub(crate) top: f64,
    pub(crate) layout: Layout,
    shape: Shape,
    /// From nominal forces to those of the response: of each seating, and of unloading beside it.
    gains: Vec<f64>,
    unloading_gain: f64,
}

/// A latent response with its derivatives.
pub(crate) struct LatentGradients<'a> {
    latent: &'a Latent,
    shape: ShapeGradients<'a>,
}

impl Latent {
    pub(crate) fn new(layout: Layout, parameters: Vec<f64>, top: f64) -> Self {
        let shape = Shape::new(layout.form, &parameters[SHAPE..layout.gains()]);
        let seatings = &parameters[layout.gains()..layout.gains() + layout.seatings];
        Self {
            gains: seatings.iter().map(|log| log.exp()).collect(),
            unloading_gain: layout
                .unloading_index()
                .map_or(1.0, |at| parameters[at].exp()),
            parameters,
            top,
            layout,
            shape,
        }
    }

    /// Onset force, gf.
    pub(crate) fn onset(&self) -> f64 {
        self.parameters[ONSET]
    }

    /// From onset to the force at which the latent response reaches `top`, gf.
    pub(crate) fn span(&self) -> f64 {
        self.parameters[LOG_SPAN].exp()
    }

    /// Force at which the latent response reaches `top`, gf.
    pub(crate) fn upper_end(&self) -> f64 {
        self.onset() + self.span()
    }

    /// Factor from a seating's nominal forces to the forces of the response.
    pub(crate) fn gain(&self, seating: usize) -> f64 {
        self.gains[seating]
    }

    /// Factor from forces while unloading to the forces that give the same reading while loading; 1
    /// where unloading is not told apart.
    pub(crate) fn unloading_gain(&self) -> f64 {
        self.unloading_gain
    }

    /// Force of the response at a sample: its nominal force, corrected for seating and direction.
    pub(crate) fn effective_force(&self, observation: &Observation) -> f64 {
        let force = observation.force * self.gain(observation.seating);
        if observation.unloading {
            force * self.unloading_gain()
        } else {
            force
        }
    }

    /// Shape value at a part z of the span.
    pub(crate) fn shape_value(&self, z: f64) -> f64 {
        self.shape.value(z)
    }

    /// Latent value for a sample.
    pub(crate) fn value(&self, observation: &Observation) -> f64 {
        let force = self.effective_force(observation);
        self.top * self.shape.value((force - self.onset()) / self.span())
    }

    /// The reading at a force (gf), limited to 0..1.
    pub(crate) fn reading(&self, force: f64) -> f64 {
        let z = (force - self.onset()) / self.span();
        (self.top * self.shape.value(z)).clamp(0.0, 1.0)
    }

    /// The force (gf) at which the reading reaches a level between 0 and `top`, by bisection: the
    /// shape rises everywhere.
    pub(crate) fn force(&self, reading: f64) -> f64 {
        let (mut low, mut high) = (0.0, 1.0);
        // 52 halvings exhaust the digits of a double.
        for _ in 0..52 {
            let middle = 0.5 * (low + high);
            if self.top * self.shape.value(middle) < reading {
                low = middle;
            } else {
                high = middle;
            }
        }
        self.onset() + high * self.span()
    }

    pub(crate) fn gradients(&self) -> LatentGradients<'_> {
        LatentGradients {
            latent: self,
            shape: self.shape.gradients(),
        }
    }
}

/// Prediction for one observation.
pub(crate) struct Prediction {
    pub(crate) latent: f64,
    /// Latent change per gf.
    pub(crate) slope: f64,
}

impl LatentGradients<'_> {
    /// Latent value and slope, and (in `gradient`) its derivatives in all parameters.
    pub(crate) fn predict(&self, observation: &Observation, gradient: &mut [f64]) -> Prediction {
        let latent = self.latent;
        let force = latent.effective_force(observation);
        let span = latent.span();
        let z = (force - latent.onset()) / span;
        let at = self.shape.at(z);
        let per_z = latent.top * at.slope;
        gradient.fill(0.0);
        gradient[ONSET] = -per_z / span;
        gradient[LOG_SPAN] = -per_z * z;
        let layout = latent.layout;
        for (slot, value) in gradient[SHAPE..layout.gains()].iter_mut().zip(at.gradient) {
            *slot = latent.top * value;
        }
        let per_gain = per_z * force / span;
        gradient[layout.gains() + observation.seating] = per_gain;
        if let (Some(index), true) = (layout.unloading_index(), observation.unloading) {
            gradient[index] = per_gain;
        }
        Prediction {
            latent: latent.top * at.value,
            slope: per_z / span,
        }
    }
}

/// Residual (reading − prediction) of an observation whose latent value is known, and whether it
/// still pulls on the parameters. `shift` moves the reading, for resampling.
pub(crate) fn residual(observation: &Observation, latent: f64, shift: f64) -> (f64, bool) {
    let distance = observation.reading + shift - latent;
    match observation.censoring {
        Censoring::Inside => (distance, true),
        // Beyond a limit where readings scatter, the response is the limit.
        Censoring::NearZero => (observation.reading + shift - latent.max(0.0), latent > 0.0),
        Censoring::NearFull => (observation.reading + shift - latent.min(1.0), latent < 1.0),
        // The limits say "not above" and "not below", nothing more.
        Censoring::NotAbove => {
            if distance < 0.0 {
                (distance, true)
            } else {
                (0.0, false)
            }
        }
        Censoring::NotBelow => {
            if distance > 0.0 {
                (distance, true)
            } else {
                (0.0, false)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn predictions_agree_with_differences() {
        for form in Form::LIBRARY.into_iter().chain([Form::Spline]) {
            let layout = Layout {
                form,
                seatings: 2,
                unloading: true,
            };
            let mut parameters: Vec<f64> = (0..layout.size())
                .map(|k| 0.3 * ((k * 5 + 1) as f64).sin())
                .collect();
            parameters[ONSET] = 7.0;
            parameters[LOG_SPAN] = 5.0;
            let latent = Latent::new(layout, parameters.clone(), 0.9);
            let mut gradient = vec![0.0; parameters.len()];
            for force in [3.0, 20.0, 90.0, 260.0] {
                let observation = Observation {
                    force,
                    reading: 0.5,
                    seating: 1,
                    unloading: force > 10.0,
                    censoring: Censoring::Inside,
                };
                let predicted = latent.gradients().predict(&observation, &mut gradient);
                assert!((predicted.latent - latent.value(&observation)).abs() < 1e-14);
                for k in 0..parameters.len() {
                    let step = 1e-6;
                    let moved = |by: f64| {
                        let mut parameters = parameters.clone();
                        parameters[k] += by;
                        Latent::new(layout, parameters, 0.9).value(&observation)
                    };
                    let difference = (moved(step) - moved(-step)) / (2.0 * step);
                    // Beyond the upper end the closed forms take a difference themselves.
                    let allowed = if force > 200.0 { 1e-4 } else { 1e-7 };
                    assert!(
                        (gradient[k] - difference).abs() < allowed,
                        "{}, parameter {k} at {force} gf: {} against {difference}",
                        form.as_str(),
                        gradient[k]
                    );
                }
            }
        }
    }

    #[test]
    fn a_bound_that_holds_pulls_no_longer() {
        let at = |censoring, reading| Observation {
            force: 1.0,
            reading,
            seating: 0,
            unloading: false,
            censoring,
        };
        assert_eq!(
            residual(&at(Censoring::NotAbove, 0.0), -0.2, 0.0),
            (0.0, false)
        );
        assert_eq!(
            residual(&at(Censoring::NotAbove, 0.0), 0.2, 0.0),
            (-0.2, true)
        );
        assert_eq!(
            residual(&at(Censoring::NotBelow, 1.0), 1.5, 0.0),
            (0.0, false)
        );
        assert_eq!(
            residual(&at(Censoring::NotBelow, 1.0), 0.5, 0.0),
            (0.5, true)
        );
    }
}
