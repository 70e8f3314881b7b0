//! Shapes in closed form, with one or two coefficients.
//!
//! Every form is a rise g with g(0) = 0, scaled to `S(z) = g(z) / g(1)`. Coefficients are logarithms
//! of (or distances from) what is usual, so that all of them are of order one and none has a limit.

use crate::coefficients::{COEFFICIENTS, Coefficients, ShapeAt};
use crate::form::Form;

/// Below this part of the span a shape is straight: a power may start with any slope, a stylus not.
const TOE: f64 = 1e-3;
/// What is usual (common practice, no source): the coefficients' zero.
const USUAL_BEND: f64 = 8.0;
const USUAL_RATE: f64 = 1.5;
const USUAL_HALF: f64 = 0.5;
const USUAL_STEEPNESS: f64 = 4.0;
/// Exponents beyond this are held: `exp` must stay finite whatever a solver tries.
const EXPONENT_LIMIT: f64 = 30.0;

/// A closed form with its coefficients.
#[derive(Clone)]
pub(crate) struct LibraryShape {
    form: Form,
    /// The natural parameters: exponent, bend, rate, …
    first: f64,
    second: f64,
    /// The rise at 1.
    whole: Rise,
    toe: ShapeAtToe,
}

#[derive(Clone)]
struct ShapeAtToe {
    value: f64,
    gradient: [f64; 2],
    end_slope: f64,
    end_slope_gradient: [f64; 2],
}

/// An unscaled rise at one place: value, slope, and derivatives in the two coefficients.
#[derive(Clone, Copy, Default)]
struct Rise {
    value: f64,
    slope: f64,
    gradient: [f64; 2],
}

fn held_exp(exponent: f64) -> f64 {
    exponent.clamp(-EXPONENT_LIMIT, EXPONENT_LIMIT).exp()
}

impl LibraryShape {
    pub(crate) fn new(form: Form, coefficients: &[f64]) -> Self {
        let at = |index: usize| coefficients.get(index).copied().unwrap_or(0.0);
        let (a, b) = (at(0), at(1));
        let (first, second) = match form {
            Form::Spline | Form::Line => (0.0, 0.0),
            Form::Power => (held_exp(a), 0.0),
            Form::Logarithm => (USUAL_BEND * held_exp(a), 0.0),
            Form::Exponential => ((USUAL_RATE + a).clamp(-EXPONENT_LIMIT, EXPONENT_LIMIT), 0.0),
            Form::Hill => (held_exp(a), USUAL_HALF * held_exp(b)),
            Form::Weibull => (held_exp(a), USUAL_RATE * held_exp(b)),
            Form::Logistic => (USUAL_STEEPNESS * held_exp(a), USUAL_HALF + b),
        };
        let mut shape = Self {
            form,
            first,
            second,
            whole: Rise::default(),
            toe: ShapeAtToe {
                value: 0.0,
                gradient: [0.0; 2],
                end_slope: 0.0,
                end_slope_gradient: [0.0; 2],
            },
        };
        shape.whole = shape.rise(1.0);
        let toe = shape.scaled(TOE);
        let end = shape.scaled(1.0);
        // The end's slope changes with the coefficients; a difference is enough for a straight
        // continuation that only bounds.
        let before = shape.scaled(1.0 - 1e-4);
        shape.toe = ShapeAtToe {
            value: toe.value,
            gradient: toe.gradient,
            end_slope: end.slope,
            end_slope_gradient: std::array::from_fn(|k| -before.gradient[k] / 1e-4),
        };
        shape
    }

    fn rise(&self, z: f64) -> Rise {
        let (p, q) = (self.first, self.second);
        match self.form {
            Form::Spline | Form::Line => Rise {
                value: z,
                slope: 1.0,
                gradient: [0.0; 2],
            },
            Form::Power => {
                let value = z.powf(p);
                Rise {
                    value,
                    slope: p * value / z,
                    gradient: [p * value * z.ln(), 0.0],
                }
            }
            Form::Logarithm => {
                let slope = p / (1.0 + p * z);
                Rise {
                    value: (p * z).ln_1p(),
                    slope,
                    gradient: [slope * z, 0.0],
                }
            }
            Form::Exponential => {
                // (1 − e^(−kz))/k, whose limit at k = 0 is z.
                let x = -p * z;
                let e = x.exp();
                let (value, gradient) = if x.abs() < 1e-4 {
                    (
                        z * (1.0 + x / 2.0 + x * x / 6.0),
                        -z * z * (0.5 + x / 3.0 + x * x / 8.0),
                    )
                } else {
                    let value = -x.exp_m1() / p;
                    (value, (z * e - value) / p)
                };
                Rise {
                    value,
                    slope: e,
                    gradient: [gradient, 0.0],
                }
            }
            Form::Hill => {
                let power = z.powf(p);
                let whole = q + power;
                let value = power / whole;
                // d/d(power) of power/(q + power).
                let bend = q / (whole * whole);
                Rise {
                    value,
                    slope: bend * p * power / z,
                    gradient: [bend * p * power * z.ln(), -value * q / whole],
                }
            }
            Form::Weibull => {
                let power = z.powf(p);
                let rest = (-q * power).exp();
                Rise {
                    value: -(-q * power).exp_m1(),
                    slope: rest * q * p * power / z,
                    gradient: [rest * q * p * power * z.ln(), rest * q * power],
                }
            }
            Form::Logistic => {
                let level = |z: f64| 1.0 / (1.0 + (-p * (z - q)).exp());
                let (here, zero) = (level(z), level(0.0));
                let steep = here * (1.0 - here);
                let steep_zero = zero * (1.0 - zero);
                Rise {
                    value: here - zero,
                    slope: p * steep,
                    gradient: [
                        p * (steep * (z - q) + steep_zero * q),
                        p * (steep_zero - steep),
                    ],
                }
            }
        }
    }

    /// The rise scaled to 1 at 1, between the toe and 1.
    fn scaled(&self, z: f64) -> Rise {
        let here = self.rise(z);
        let whole = self.whole.value.max(f64::MIN_POSITIVE);
        let value = here.value / whole;
        Rise {
            value,
            slope: here.slope / whole,
            gradient: std::array::from_fn(|k| {
                (here.gradient[k] - value * self.whole.gradient[k]) / whole
            }),
        }
    }

    fn placed(&self, z: f64) -> Rise {
        if z < TOE {
            let part = z / TOE;
            Rise {
                value: self.toe.value * part,
                slope: self.toe.value / TOE,
                gradient: self.toe.gradient.map(|g| g * part),
            }
        } else if z > 1.0 {
            let beyond = z - 1.0;
            Rise {
                value: 1.0 + self.toe.end_slope * beyond,
                slope: self.toe.end_slope,
                gradient: self.toe.end_slope_gradient.map(|g| g * beyond),
            }
        } else {
            self.scaled(z)
        }
    }

    pub(crate) fn value(&self, z: f64) -> f64 {
        self.placed(z).value
    }

    pub(crate) fn at(&self, z: f64) -> ShapeAt {
        let here = self.placed(z);
        let mut gradient: Coefficients = [0.0; COEFFICIENTS];
        gradient[..2].copy_from_slice(&here.gradient);
        ShapeAt {
            value: here.value,
            slope: here.slope,
            gradient,
        }
    }
}
