//! The wanted output at every force.

use evenhand_measurement::Force;

use crate::error::TargetError;
use crate::shape::TargetShape;

/// Wanted output (0..1) as a function of force: 0 below light-at, 1 from full-at on.
#[derive(Clone, Debug, PartialEq)]
pub struct Target {
    light_at: Force,
    full_at: Force,
    shape: TargetShape,
    floor: f64,
}

impl Target {
    /// A target from its two ends and its shape.
    ///
    /// # Errors
    /// A full-at that does not lie above light-at; a logarithmic shape from zero force.
    pub fn new(light_at: Force, full_at: Force, shape: TargetShape) -> Result<Self, TargetError> {
        if full_at <= light_at {
            return Err(TargetError::EmptyRange { light_at, full_at });
        }
        if shape == TargetShape::Logarithmic && light_at <= Force::ZERO {
            return Err(TargetError::LogarithmOfZero { light_at });
        }
        Ok(Self {
            light_at,
            full_at,
            shape,
            floor: 0.0,
        })
    }

    /// The same target with a least output once the nib touches: at light-at the output is `floor`
    /// already, and climbs from there.
    ///
    /// # Errors
    /// [`TargetError::Floor`] for a floor outside 0..1.
    pub fn with_floor(self, floor: f64) -> Result<Self, TargetError> {
        if !(0.0..1.0).contains(&floor) {
            return Err(TargetError::Floor { found: floor });
        }
        Ok(Self { floor, ..self })
    }

    /// Least output once the nib touches.
    #[must_use]
    pub fn floor(&self) -> f64 {
        self.floor
    }

    /// Force at which the output leaves 0.
    #[must_use]
    pub fn light_at(&self) -> Force {
        self.light_at
    }

    /// Force at which the output reaches 1.
    #[must_use]
    pub fn full_at(&self) -> Force {
        self.full_at
    }

    /// The shape between them.
    #[must_use]
    pub fn shape(&self) -> &TargetShape {
        &self.shape
    }

    /// Wanted output, 0..1, non-decreasing in force.
    #[must_use]
    pub fn output(&self, force: Force) -> f64 {
        let (light, full, force) = (self.light_at.gf(), self.full_at.gf(), force.gf());
        if force < light {
            return 0.0;
        }
        if force >= full {
            return 1.0;
        }
        let part = (force - light) / (full - light);
        let output = match &self.shape {
            TargetShape::Linear => part,
            TargetShape::Logarithmic => (force / light).ln() / (full / light).ln(),
            TargetShape::Power(exponent) => part.powf(*exponent),
            TargetShape::Drawn(drawn) => drawn.output(part),
        };
        (self.floor + (1.0 - self.floor) * output).clamp(0.0, 1.0)
    }
}
