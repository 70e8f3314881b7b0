//! The angle at which the stylus is held.

use std::str::FromStr;

/// Angle between stylus and surface, degrees, above 0 up to 90.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct HoldAngle(f64);

impl HoldAngle {
    pub(crate) fn from_degrees(degrees: f64) -> Option<Self> {
        // Below a few degrees no nib touches; the bound keeps the sine away from zero.
        (5.0..=90.0).contains(&degrees).then_some(Self(degrees))
    }

    pub(crate) fn degrees(self) -> f64 {
        self.0
    }

    /// Axial force for a force of 1 at a right angle to the surface.
    pub(crate) fn axial_part(self) -> f64 {
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
