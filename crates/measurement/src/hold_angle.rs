//! The angle at which a stylus is held, and what it makes of forces.

use std::str::FromStr;

/// Angle between stylus and surface, degrees, from 5 up to 90.
///
/// The force along the stylus is its share of the force at a right angle to the surface: N sin(angle), the
/// same as N cos(θ) with θ from the surface's normal (axial pen force in graphonomics, seen in an
/// encyclopaedia's entry). A nib that slides in the plane of the tilt adds friction's share:
/// N (sin(angle) ± μ cos(angle)), resolved from Coulomb's law.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HoldAngle(f64);

/// Which way a nib slides in the plane of the tilt.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sliding {
    /// Friction pushes the nib into the stylus.
    Pushed,
    /// Friction pulls the nib out of it.
    Pulled,
}

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

    /// Axial force for a force of 1 at a right angle to the surface while the nib slides with a friction
    /// coefficient `friction`; below 0 the nib is pulled.
    #[must_use]
    pub fn axial_part_sliding(self, friction: f64, sliding: Sliding) -> f64 {
        let share = friction * self.0.to_radians().cos();
        match sliding {
            Sliding::Pushed => self.axial_part() + share,
            Sliding::Pulled => self.axial_part() - share,
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
