//! Numbers that carry their derivatives in up to eleven parameters.

use std::ops::{Add, Div, Mul, Neg, Sub};

const PARAMETERS: usize = 11;

/// A value and its derivatives.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Dual {
    pub(crate) value: f64,
    pub(crate) slopes: [f64; PARAMETERS],
}

impl Dual {
    pub(crate) fn constant(value: f64) -> Self {
        Self {
            value,
            slopes: [0.0; PARAMETERS],
        }
    }

    /// The parameters themselves.
    pub(crate) fn parameters(values: &[f64]) -> Vec<Self> {
        let one = |(index, value): (usize, &f64)| {
            let mut dual = Self::constant(*value);
            dual.slopes[index] = 1.0;
            dual
        };
        values.iter().enumerate().map(one).collect()
    }

    /// A function with its value and derivative here.
    fn chain(self, value: f64, slope: f64) -> Self {
        Self {
            value,
            slopes: self.slopes.map(|s| slope * s),
        }
    }

    pub(crate) fn exp(self) -> Self {
        let e = self.value.exp();
        self.chain(e, e)
    }

    pub(crate) fn ln(self) -> Self {
        self.chain(self.value.ln(), 1.0 / self.value)
    }

    pub(crate) fn powf(self, power: f64) -> Self {
        let slope = power * self.value.powf(power - 1.0);
        self.chain(self.value.powf(power), slope)
    }

    /// A positive number to a power that is itself sought.
    pub(crate) fn pow(self, power: Self) -> Self {
        (power * self.ln()).exp()
    }

    pub(crate) fn atan(self) -> Self {
        self.chain(self.value.atan(), 1.0 / (1.0 + self.value * self.value))
    }

    pub(crate) fn sin(self) -> Self {
        self.chain(self.value.sin(), self.value.cos())
    }

    pub(crate) fn cos(self) -> Self {
        self.chain(self.value.cos(), -self.value.sin())
    }

    /// Held between 0 and 1; flat beyond.
    pub(crate) fn clamped(self) -> Self {
        if (0.0..1.0).contains(&self.value) {
            self
        } else {
            Self::constant(self.value.clamp(0.0, 1.0))
        }
    }

    fn with(self, other: Self, value: f64, own: f64, others: f64) -> Self {
        let mut slopes = self.slopes.map(|s| own * s);
        for (slope, other) in slopes.iter_mut().zip(other.slopes) {
            *slope += others * other;
        }
        Self { value, slopes }
    }
}

impl Add for Dual {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        self.with(other, self.value + other.value, 1.0, 1.0)
    }
}

impl Sub for Dual {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        self.with(other, self.value - other.value, 1.0, -1.0)
    }
}

impl Mul for Dual {
    type Output = Self;
    fn mul(self, other: Self) -> Self {
        self.with(other, self.value * other.value, other.value, self.value)
    }
}

impl Div for Dual {
    type Output = Self;
    fn div(self, other: Self) -> Self {
        let ratio = self.value / other.value;
        self.with(other, ratio, 1.0 / other.value, -ratio / other.value)
    }
}

impl Neg for Dual {
    type Output = Self;
    fn neg(self) -> Self {
        self.chain(-self.value, -1.0)
    }
}

impl Mul<f64> for Dual {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        self.chain(self.value * factor, factor)
    }
}

impl Add<f64> for Dual {
    type Output = Self;
    fn add(self, by: f64) -> Self {
        self.chain(self.value + by, 1.0)
    }
}
