//! The latent response: onset, span, shape and the force gain of every seating.

use crate::observation::{Censoring, Observation};
use crate::shape::{COEFFICIENTS, Shape, ShapeGradients};

/// Position of the onset force among the parameters.
pub(crate) const ONSET: usize = 0;
/// Position of the logarithm of the span.
pub(crate) const LOG_SPAN: usize = 1;
/// Position of the first shape coefficient.
pub(crate) const SHAPE: usize = 2;
/// Position of the first logarithmic seating gain.
pub(crate) const GAINS: usize = SHAPE + COEFFICIENTS;

/// How far beyond 0..1 a reading between the limits may still place the latent response: near the
/// ends a force placed a little off explains a reading that the limited response does not. One and a
/// half times the reading noise assumed before the data.
const MARGIN: f64 = 0.006;

/// A latent response: `top · S((F·gain − onset) / span)`, limited to 0..1 only when it is read.
#[derive(Clone)]
pub(crate) struct Latent {
    pub(crate) parameters: Vec<f64>,
    /// What the response reaches at onset + span: 1, or the highest reading where saturation was
    /// not seen.
    pub(crate) top: f64,
    shape: Shape,
}

/// A latent response with its derivatives.
pub(crate) struct LatentGradients<'a> {
    latent: &'a Latent,
    shape: ShapeGradients<'a>,
}

impl Latent {
    pub(crate) fn new(parameters: Vec<f64>, top: f64) -> Self {
        let mut coefficients = [0.0; COEFFICIENTS];
        coefficients.copy_from_slice(&parameters[SHAPE..SHAPE + COEFFICIENTS]);
        Self {
            parameters,
            top,
            shape: Shape::new(&coefficients),
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
        self.parameters[GAINS + seating].exp()
    }

    /// Latent value for a sample.
    pub(crate) fn value(&self, observation: &Observation) -> f64 {
        let force = observation.force * self.gain(observation.seating);
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
        let gain = latent.gain(observation.seating);
        let span = latent.span();
        let z = (observation.force * gain - latent.onset()) / span;
        let at = self.shape.at(z);
        let per_z = latent.top * at.slope;
        gradient.fill(0.0);
        gradient[ONSET] = -per_z / span;
        gradient[LOG_SPAN] = -per_z * z;
        for (slot, value) in gradient[SHAPE..GAINS].iter_mut().zip(at.gradient) {
            *slot = latent.top * value;
        }
        gradient[GAINS + observation.seating] = per_z * observation.force * gain / span;
        Prediction {
            latent: latent.top * at.value,
            slope: per_z * gain / span,
        }
    }
}

/// Residual (reading − prediction) of an observation whose latent value is known, and whether it
/// still pulls on the parameters. `shift` moves the reading, for resampling.
pub(crate) fn residual(observation: &Observation, latent: f64, shift: f64) -> (f64, bool) {
    let distance = observation.reading + shift - latent;
    match observation.censoring {
        Censoring::Inside => {
            let limited = latent.clamp(-MARGIN, 1.0 + MARGIN);
            (observation.reading + shift - limited, latent == limited)
        }
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
        let mut parameters: Vec<f64> = (0..GAINS + 2)
            .map(|k| 0.3 * ((k * 5 + 1) as f64).sin())
            .collect();
        parameters[ONSET] = 7.0;
        parameters[LOG_SPAN] = 5.0;
        let latent = Latent::new(parameters.clone(), 0.9);
        let mut gradient = vec![0.0; parameters.len()];
        for force in [3.0, 20.0, 90.0, 260.0] {
            let observation = Observation {
                force,
                reading: 0.5,
                seating: 1,
                censoring: Censoring::Inside,
            };
            let predicted = latent.gradients().predict(&observation, &mut gradient);
            assert!((predicted.latent - latent.value(&observation)).abs() < 1e-14);
            for k in 0..parameters.len() {
                let step = 1e-6;
                let moved = |by: f64| {
                    let mut parameters = parameters.clone();
                    parameters[k] += by;
                    Latent::new(parameters, 0.9).value(&observation)
                };
                let difference = (moved(step) - moved(-step)) / (2.0 * step);
                assert!(
                    (gradient[k] - difference).abs() < 1e-7,
                    "parameter {k} at {force} gf: {} against {difference}",
                    gradient[k]
                );
            }
        }
    }

    #[test]
    fn a_bound_that_holds_pulls_no_longer() {
        let at = |censoring, reading| Observation {
            force: 1.0,
            reading,
            seating: 0,
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
