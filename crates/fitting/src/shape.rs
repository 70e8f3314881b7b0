//! The monotone shape between onset and saturation: from 0 at z = 0 to 1 at z = 1.

use crate::coefficients::{COEFFICIENTS, KINK, ShapeAt};
use crate::form::Form;
use crate::kink::Kink;
use crate::library_shape::LibraryShape;
use crate::spline_shape::{SplineGradients, SplineShape};

/// A shape ready to be evaluated.
#[derive(Clone)]
pub(crate) enum Shape {
    Spline(Box<SplineShape>, Option<Kink>),
    Library(LibraryShape),
}

/// The derivatives of a shape in its coefficients; apart, because trial steps need values only.
pub(crate) enum ShapeGradients<'a> {
    Spline(Box<SplineGradients<'a>>, Option<Kink>),
    Library(&'a LibraryShape),
}

impl Shape {
    /// The shape of a form with these coefficients; a spline may have a kink where it reaches `kink`.
    pub(crate) fn new(form: Form, coefficients: &[f64], kink: Option<f64>) -> Self {
        match form {
            Form::Spline => {
                let mut all = [0.0; COEFFICIENTS];
                all[..coefficients.len()].copy_from_slice(coefficients);
                let kink = kink.map(|at| Kink::new(at, all[KINK]));
                Self::Spline(Box::new(SplineShape::new(&all)), kink)
            }
            form => Self::Library(LibraryShape::new(form, coefficients)),
        }
    }

    /// Value alone; straight on beyond both ends.
    pub(crate) fn value(&self, z: f64) -> f64 {
        match self {
            Self::Spline(shape, kink) => {
                let smooth = shape.value(z);
                kink.map_or(smooth, |kink| kink.value(smooth))
            }
            Self::Library(shape) => shape.value(z),
        }
    }

    pub(crate) fn gradients(&self) -> ShapeGradients<'_> {
        match self {
            Self::Spline(shape, kink) => ShapeGradients::Spline(Box::new(shape.gradients()), *kink),
            Self::Library(shape) => ShapeGradients::Library(shape),
        }
    }
}

impl ShapeGradients<'_> {
    /// Value, slope in z and gradient in the coefficients; straight on beyond both ends.
    pub(crate) fn at(&self, z: f64) -> ShapeAt {
        match self {
            Self::Spline(gradients, kink) => {
                let smooth = gradients.at(z);
                match kink {
                    Some(kink) => kink.applied(&smooth),
                    None => smooth,
                }
            }
            Self::Library(shape) => shape.at(z),
        }
    }
}
