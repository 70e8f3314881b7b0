//! The latent response: onset, span, shape, the force gain of every seating and the gain of unloading.

use crate::form::Form;
use crate::noise::READING;
use crate::observation::{Censoring, Observation};
use crate::shape::{Shape, ShapeGradients};

/// Position of the onset force among the parameters.
pub(crate) const ONSET: usize = 0;
/// Position of the logarithm of the span.
pub(crate) const LOG_SPAN: usize = 1;
/// Position of the first shape coefficient.
pub(crate) const SHAPE: usize = 2;

/// How far on the other side of a limit a clipped reading places the latent response, in standard deviations of a
/// reading. One that scatters by σ about u is clipped to 0 with probability Φ(−u/σ); from one to two σ on, the square
/// of (u + 0.8 σ)/σ, halved, is within a tenth of −ln Φ(−u/σ), while the square of u/σ says half as much.
pub(crate) const CLIPPED: f64 = 0.8;

/// What the parameters of a latent response are, in order: onset, logarithm of the span, coefficients
/// of the shape, logarithmic gain of each seating, logarithmic gain of unloading where there is one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Layout {
    pub(crate) form: Form,
    pub(crate) seatings: usize,
    /// Whether samples taken while unloading are told from others.
    pub(crate) unloading: bool,
    /// Where the spline reaches its kink, 0..1, if it has one.
    pub(crate) kink: Option<f64>,
}

impl Layout {
    /// Position of the first logarithmic seating gain.
    pub(crate) const fn gains(self) -> usize {
        SHAPE + self.form.coefficients() + self.kink.is_some() as usize
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

    /// Writes the derivative in the logarithmic gains that act on an observation.
    fn set_gains(self, gradient: &mut [f64], observation: &Observation, value: f64) {
        gradient[self.gains() + observation.seating] = value;
        if let (Some(index), true) = (self.unloading_index(), observation.unloading) {
            gradient[index] = value;
        }
    }
}

/// How a latent response is compared with readings at its limits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Limits {
    /// Below onset the latent response falls by at least this per gf: the scatter of a reading over that of a
    /// placed force. Without it a gentle start would leave the onset as far above readings that respond as a flat
    /// line takes to fall.
    pub(crate) fall: f64,
    /// Beyond its upper end readings of full scale see it rise by at least this per gf.
    pub(crate) rise: f64,
    /// How far below 0 a reading clipped to 0 places the latent response at least.
    pub(crate) below_zero: f64,
    /// How far above full scale a reading clipped to it does.
    pub(crate) above_full: f64,
    /// Whether readings near a limit, on a bench that may scatter there, are taken as readings between the limits.
    pub(crate) near_is_between: bool,
}

impl Limits {
    /// Limits of a bench that scatters as assumed, before anything is known of its response.
    pub(crate) fn assumed(near_is_between: bool) -> Self {
        Self {
            fall: 0.0,
            rise: 0.0,
            below_zero: CLIPPED * READING,
            above_full: CLIPPED * READING,
            near_is_between,
        }
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
    pub(crate) limits: Limits,
    shape: Shape,
    /// From nominal forces to those of the response: of each seating, and of unloading beside it.
    gains: Vec<f64>,
    unloading_gain: f64,
}

/// A line on which the response runs on beyond a limit.
struct Beyond {
    /// Per gf.
    slope: f64,
    value: f64,
}

/// A latent response with its derivatives.
pub(crate) struct LatentGradients<'a> {
    latent: &'a Latent,
    shape: ShapeGradients<'a>,
}

impl Latent {
    pub(crate) fn new(layout: Layout, parameters: Vec<f64>, top: f64, limits: Limits) -> Self {
        let shape = Shape::new(layout.form, &parameters[SHAPE..layout.gains()], layout.kink);
        let seatings = &parameters[layout.gains()..layout.gains() + layout.seatings];
        Self {
            gains: seatings.iter().map(|log| log.exp()).collect(),
            unloading_gain: layout
                .unloading_index()
                .map_or(1.0, |at| parameters[at].exp()),
            parameters,
            top,
            layout,
            limits,
            shape,
        }
    }

    /// The same response seen with other limits.
    pub(crate) fn with_limits(self, limits: Limits) -> Self {
        Self { limits, ..self }
    }

    /// The same response with other parameters.
    pub(crate) fn with_parameters(&self, parameters: Vec<f64>) -> Self {
        Self::new(self.layout, parameters, self.top, self.limits)
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
        let z = (force - self.onset()) / self.span();
        let value = self.top * self.shape.value(z);
        match self.beyond(observation, z) {
            Some(beyond) if z < 0.0 => value.min(beyond.value),
            Some(beyond) => value.max(beyond.value),
            None => value,
        }
    }

    /// The steepest line that may stand for the response beyond its limits, where an observation sees one.
    fn beyond(&self, observation: &Observation, z: f64) -> Option<Beyond> {
        let (slope, from, past) = if z < 0.0 {
            (self.limits.fall, 0.0, z)
        } else if z > 1.0 && observation.censoring == Censoring::NotBelow {
            (self.limits.rise, self.top, z - 1.0)
        } else {
            return None;
        };
        Some(Beyond {
            slope,
            value: from + slope * past * self.span(),
        })
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
        let layout = latent.layout;
        if let Some(beyond) = latent.beyond(observation, z)
            && beyond.slope > per_z / span
        {
            gradient[ONSET] = -beyond.slope;
            if z > 1.0 {
                gradient[LOG_SPAN] = -beyond.slope * span;
            }
            layout.set_gains(gradient, observation, beyond.slope * force);
            return Prediction {
                latent: beyond.value,
                slope: per_z / span,
            };
        }
        gradient[ONSET] = -per_z / span;
        gradient[LOG_SPAN] = -per_z * z;
        for (slot, value) in gradient[SHAPE..layout.gains()].iter_mut().zip(at.gradient) {
            *slot = latent.top * value;
        }
        layout.set_gains(gradient, observation, per_z * force / span);
        Prediction {
            latent: latent.top * at.value,
            slope: per_z / span,
        }
    }
}

impl Latent {
    /// Residual (reading − prediction) of an observation for which `value` is predicted, and whether it still pulls
    /// on the parameters. `shift` moves the reading, for resampling.
    pub(crate) fn residual(
        &self,
        observation: &Observation,
        value: f64,
        shift: f64,
    ) -> (f64, bool) {
        let limits = &self.limits;
        let reading = observation.reading + shift;
        match observation.censoring {
            // Beyond a limit where readings scatter, the response is the limit.
            Censoring::NearZero if !limits.near_is_between => {
                (reading - value.max(0.0), value > 0.0)
            }
            Censoring::NearFull if !limits.near_is_between => {
                (reading - value.min(1.0), value < 1.0)
            }
            Censoring::Inside | Censoring::NearZero | Censoring::NearFull => {
                (reading - value, true)
            }
            // The limits say "not above" and "not below", nothing more.
            Censoring::NotAbove => pulling((self.bound(observation) + shift - value).min(0.0)),
            Censoring::NotBelow => pulling((self.bound(observation) + shift - value).max(0.0)),
        }
    }

    /// Where a reading places the latent response: at itself, or a clipped one beyond the limit.
    pub(crate) fn bound(&self, observation: &Observation) -> f64 {
        match observation.censoring {
            Censoring::NotAbove => observation.reading - self.limits.below_zero,
            Censoring::NotBelow => observation.reading + self.limits.above_full,
            Censoring::Inside | Censoring::NearZero | Censoring::NearFull => observation.reading,
        }
    }
}

/// A bound that holds pulls no longer.
fn pulling(distance: f64) -> (f64, bool) {
    (distance, distance != 0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn predictions_agree_with_differences() {
        let smooth = Form::LIBRARY.into_iter().chain([Form::Spline]);
        let kinks = [0.3, 0.9].map(|at| (Form::Spline, Some(at)));
        for (form, kink) in smooth.map(|form| (form, None)).chain(kinks) {
            let layout = Layout {
                form,
                seatings: 2,
                unloading: true,
                kink,
            };
            let mut parameters: Vec<f64> = (0..layout.size())
                .map(|k| 0.3 * ((k * 5 + 1) as f64).sin())
                .collect();
            parameters[ONSET] = 7.0;
            parameters[LOG_SPAN] = 5.0;
            let latent = Latent::new(layout, parameters.clone(), 0.9, LIMITS);
            let mut gradient = vec![0.0; parameters.len()];
            for (force, censoring) in [
                (3.0, Censoring::NotAbove),
                (20.0, Censoring::Inside),
                (90.0, Censoring::Inside),
                (260.0, Censoring::Inside),
                (260.0, Censoring::NotBelow),
            ] {
                let observation = Observation {
                    force,
                    reading: 0.5,
                    seating: 1,
                    unloading: force > 10.0,
                    censoring,
                    count: 1.0,
                };
                let predicted = latent.gradients().predict(&observation, &mut gradient);
                assert!((predicted.latent - latent.value(&observation)).abs() < 1e-14);
                for k in 0..parameters.len() {
                    let step = 1e-6;
                    let moved = |by: f64| {
                        let mut parameters = parameters.clone();
                        parameters[k] += by;
                        Latent::new(layout, parameters, 0.9, LIMITS).value(&observation)
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

    const LIMITS: Limits = Limits {
        fall: 0.01,
        rise: 0.02,
        below_zero: 0.003,
        above_full: 0.004,
        near_is_between: false,
    };

    fn at(censoring: Censoring, force: f64, reading: f64) -> Observation {
        Observation {
            force,
            reading,
            seating: 0,
            unloading: false,
            censoring,
            count: 1.0,
        }
    }

    fn straight(limits: Limits) -> Latent {
        let layout = Layout {
            form: Form::Line,
            seatings: 1,
            unloading: false,
            kink: None,
        };
        // From 10 gf to 210 gf: 0.005 per gf.
        Latent::new(layout, vec![10.0, 200.0_f64.ln(), 0.0], 1.0, limits)
    }

    #[test]
    fn a_bound_that_holds_pulls_no_longer() {
        let latent = straight(LIMITS);
        let residual = |censoring, reading, value| {
            let (distance, pulls) = latent.residual(&at(censoring, 1.0, reading), value, 0.0);
            // Differences of decimals, without their last digit.
            ((1e12 * distance).round() / 1e12, pulls)
        };
        assert_eq!(residual(Censoring::NotAbove, 0.0, -0.2), (0.0, false));
        assert_eq!(residual(Censoring::NotAbove, 0.0, 0.2), (-0.203, true));
        assert_eq!(residual(Censoring::NotBelow, 1.0, 1.5), (0.0, false));
        assert_eq!(residual(Censoring::NotBelow, 1.0, 0.5), (0.504, true));
        assert_eq!(residual(Censoring::NearZero, 0.01, -0.2), (0.01, false));
        assert_eq!(residual(Censoring::NearFull, 0.99, 1.2), (-0.01, false));
        let between = Limits {
            near_is_between: true,
            ..LIMITS
        };
        let near = at(Censoring::NearZero, 1.0, 0.01);
        let (distance, pulls) = straight(between).residual(&near, -0.2, 0.0);
        assert!((distance - 0.21).abs() < 1e-12 && pulls);
    }

    #[test]
    fn limits_steepen_the_response_beyond_its_ends() {
        let latent = straight(LIMITS);
        let value = |censoring, force| latent.value(&at(censoring, force, 0.0));
        // 2 gf below onset: 0.01 per gf instead of the response's own 0.005.
        assert!((value(Censoring::NotAbove, 8.0) + 0.02).abs() < 1e-12);
        // 10 gf beyond the end: readings of full scale see 0.02 per gf, readings below it the response itself.
        assert!((value(Censoring::NotBelow, 220.0) - 1.2).abs() < 1e-12);
        assert!((value(Censoring::Inside, 220.0) - 1.05).abs() < 1e-12);
    }
}
