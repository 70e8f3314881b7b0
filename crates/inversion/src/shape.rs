//! Shapes of a target between light-at and full-at.

use std::fmt;
use std::str::FromStr;

use crate::error::TargetError;
use crate::point_shape::PointShape;

/// Exponents outside these make a step, not a rise.
const LEAST_EXPONENT: f64 = 0.05;
const MOST_EXPONENT: f64 = 20.0;

/// How the output climbs between light-at and full-at.
#[derive(Clone, Debug, PartialEq)]
pub enum TargetShape {
    /// In proportion to the force above light-at.
    Linear,
    /// In proportion to the logarithm of force over light-at: equal ratios of force give equal steps.
    Logarithmic,
    /// As a power of the linear rise; exponents below 1 climb early, above 1 late.
    Power(f64),
    /// Through points.
    Drawn(PointShape),
}

impl TargetShape {
    /// Least and largest exponent of a power.
    pub const EXPONENTS: (f64, f64) = (LEAST_EXPONENT, MOST_EXPONENT);

    /// A power of the linear rise.
    ///
    /// # Errors
    /// [`TargetError::Exponent`] for exponents that make a step, or none.
    pub fn power(exponent: f64) -> Result<Self, TargetError> {
        if (LEAST_EXPONENT..=MOST_EXPONENT).contains(&exponent) {
            Ok(Self::Power(exponent))
        } else {
            Err(TargetError::Exponent {
                found: exponent.to_string(),
                least: LEAST_EXPONENT,
                most: MOST_EXPONENT,
            })
        }
    }
}

impl FromStr for TargetShape {
    type Err = TargetError;

    fn from_str(text: &str) -> Result<Self, TargetError> {
        match text.split_once(':') {
            None if text == "linear" => Ok(Self::Linear),
            None if text == "logarithmic" => Ok(Self::Logarithmic),
            Some(("power", exponent)) => match exponent.parse::<f64>() {
                Ok(e) if (LEAST_EXPONENT..=MOST_EXPONENT).contains(&e) => Ok(Self::Power(e)),
                _ => Err(TargetError::Exponent {
                    found: exponent.to_owned(),
                    least: LEAST_EXPONENT,
                    most: MOST_EXPONENT,
                }),
            },
            _ => Err(TargetError::UnknownShape {
                found: text.to_owned(),
            }),
        }
    }
}

impl fmt::Display for TargetShape {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Linear => f.write_str("linear"),
            Self::Logarithmic => f.write_str("logarithmic"),
            Self::Power(exponent) => write!(f, "power:{exponent}"),
            Self::Drawn(_) => f.write_str("drawn"),
        }
    }
}
