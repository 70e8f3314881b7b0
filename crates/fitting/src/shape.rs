//! The monotone shape between onset and saturation: from 0 at z = 0 to 1 at z = 1.

use crate::library_shape::LibraryShape;
use crate::spline_shape::{HATS, SplineGradients, SplineShape, TRENDS};

/// The most coefficients that any form has.
pub(crate) const COEFFICIENTS: usize = TRENDS + HATS;

/// Coefficients of a shape, those that a form does not have at zero.
pub(crate) type Coefficients = [f64; COEFFICIENTS];

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

    /// Number of coefficients.
    pub(crate) const fn coefficients(self) -> usize {
        match self {
            Self::Spline => COEFFICIENTS,
            Self::Line => 0,
            Self::Power | Self::Logarithm | Self::Exponential => 1,
            Self::Hill | Self::Weibull | Self::Logistic => 2,
        }
    }
}

/// A shape ready to be evaluated.
#[derive(Clone)]
pub(crate) enum Shape {
    Spline(Box<SplineShape>),
    Library(LibraryShape),
}

/// The derivatives of a shape in its coefficients; apart, because trial steps need values only.
pub(crate) enum ShapeGradients<'a> {
    Spline(Box<SplineGradients<'a>>),
    Library(&'a LibraryShape),
}

/// Value and derivatives of a shape at one place.
pub(crate) struct ShapeAt {
    pub(crate) value: f64,
    pub(crate) slope: f64,
    pub(crate) gradient: Coefficients,
}

impl Shape {
    /// The shape of a form with these coefficients.
    pub(crate) fn new(form: Form, coefficients: &[f64]) -> Self {
        match form {
            Form::Spline => {
                let mut all = [0.0; COEFFICIENTS];
                all.copy_from_slice(coefficients);
                Self::Spline(Box::new(SplineShape::new(&all)))
            }
            form => Self::Library(LibraryShape::new(form, coefficients)),
        }
    }

    /// Value alone; straight on beyond both ends.
    pub(crate) fn value(&self, z: f64) -> f64 {
        match self {
            Self::Spline(shape) => shape.value(z),
            Self::Library(shape) => shape.value(z),
        }
    }

    pub(crate) fn gradients(&self) -> ShapeGradients<'_> {
        match self {
            Self::Spline(shape) => ShapeGradients::Spline(Box::new(shape.gradients())),
            Self::Library(shape) => ShapeGradients::Library(shape),
        }
    }
}

impl ShapeGradients<'_> {
    /// Value, slope in z and gradient in the coefficients; straight on beyond both ends.
    pub(crate) fn at(&self, z: f64) -> ShapeAt {
        match self {
            Self::Spline(gradients) => gradients.at(z),
            Self::Library(shape) => shape.at(z),
        }
    }
}
