//! The angle at which a stylus is held, and what it makes of forces.

use std::str::FromStr;

/// Angle between stylus and surface, degrees, from 5 up to 90.
///
/// The force along the stylus is its share of the force at a right angle to the surface: N sin(angle), the
/// same as N cos(θ) with θ from the surface's normal (axial pen force in graphonomics, seen in an
/// encyclopaedia's entry). Friction of a nib that slides is not counted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HoldAngle(f64);

impl HoldAngle {
    /// An angle in degrees, if a stylus can be held so: below 5° no nib touches.
    #[must_use]
    pub fn from_degrees(degrees: f64) -> Option<Self> {
        // The bound keeps the sine away from zero.
        (5.0..=90.0).contains(&degrees).then_some(Self(degrees))
    }

    /// In degrees.
    #[must_use]
    pub fn degrees(self) -> f64 {
        self.0
    }

    /// Axial force for a force of 1 at a right angle to the surface, without friction.
    #[must_use]
    pub fn axial_part(self) -> f64 {
        if self.0 == 90.0 {
            1.0
        } else {
            self.0.to_radians().sin()
        }
    }
}

impl FromStr for HoldAngle {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let advice = "write degrees between stylus and surface, from 5 to 90, for example 45deg";
        let number = text
            .strip_suffix("deg")
            .or_else(|| text.strip_suffix('°'))
            .ok_or(advice)?;
        let degrees: f64 = number.trim().parse().map_err(|_| advice)?;
        Self::from_degrees(degrees).ok_or_else(|| advice.to_owned())
    }
}
