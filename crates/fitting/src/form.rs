//! The families of shapes.

use crate::coefficients::KINK;

/// A family of shapes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Form {
    /// Penalised monotone spline.
    Spline,
    /// Straight.
    Line,
    /// `zᵖ`.
    Power,
    /// `ln(1 + bz)`.
    Logarithm,
    /// `1 − exp(−kz)`; rising ever faster where k is negative.
    Exponential,
    /// `zⁿ / (c + zⁿ)` (A. V. Hill, J. Physiol. 40, 1910).
    Hill,
    /// `1 − exp(−k zᵐ)` (W. Weibull, J. Appl. Mech. 18, 1951).
    Weibull,
    /// The part of a logistic curve between two places.
    Logistic,
}

impl Form {
    /// Forms with one or two coefficients.
    pub(crate) const LIBRARY: [Self; 7] = [
        Self::Line,
        Self::Power,
        Self::Logarithm,
        Self::Exponential,
        Self::Hill,
        Self::Weibull,
        Self::Logistic,
    ];

    /// Its name, in words for people and scripts.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Spline => "spline",
            Self::Line => "line",
            Self::Power => "power",
            Self::Logarithm => "logarithm",
            Self::Exponential => "exponential",
            Self::Hill => "hill",
            Self::Weibull => "weibull",
            Self::Logistic => "logistic",
        }
    }

    /// Number of coefficients, without that of a kink.
    pub(crate) const fn coefficients(self) -> usize {
        match self {
            Self::Spline => KINK,
            Self::Line => 0,
            Self::Power | Self::Logarithm | Self::Exponential => 1,
            Self::Hill | Self::Weibull | Self::Logistic => 2,
        }
    }
}
