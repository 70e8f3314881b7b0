//! What a map is asked to do.

use evenhand_curve::{Composed, Curve};
use evenhand_measurement::{Force, HoldAngle};

use crate::shape::TargetShape;
use crate::stage::CurveStage;

/// A shape with the words that name it.
#[derive(Clone, Debug)]
pub struct NamedShape {
    /// The words that name it.
    pub label: String,
    /// The shape.
    pub shape: TargetShape,
}

impl NamedShape {
    /// A shape that was named by `text`; a formula is called by its own name.
    #[must_use]
    pub fn new(shape: TargetShape, text: &str) -> Self {
        let label = match &shape {
            TargetShape::Drawn(_) => text.to_owned(),
            formula => formula.to_string(),
        };
        Self { label, shape }
    }
}

/// What a map should do; forces as the hand means them.
#[derive(Clone, Debug)]
pub struct MapRequest {
    /// Output is full from here on.
    pub full_at: Force,
    /// Output leaves 0 here; the upper end of the onset's interval, where not given.
    pub light_at: Option<Force>,
    /// How the output rises between.
    pub target: NamedShape,
    /// Least output once the nib touches, 0..1.
    pub output_floor: f64,
    /// Curve applied to the readings before the map.
    pub before: Option<CurveStage>,
    /// Curve applied to the outputs after the map.
    pub after: Option<CurveStage>,
    /// Angle between stylus and surface, where forces are meant at a right angle to the surface.
    pub hold_angle: Option<HoldAngle>,
}

impl MapRequest {
    /// Axial force for a force of 1 as the hand means it.
    #[must_use]
    pub fn axial_part(&self) -> f64 {
        self.hold_angle.map_or(1.0, HoldAngle::axial_part)
    }

    /// A map with what is applied to its readings before it and to its outputs after it.
    #[must_use]
    pub fn through_chain(&self, map: Box<dyn Curve>) -> Box<dyn Curve> {
        let inner: Box<dyn Curve> = match &self.before {
            None => map,
            Some(before) => Box::new(Composed::new(map, before.curve.clone())),
        };
        match &self.after {
            None => inner,
            Some(after) => Box::new(Composed::new(after.curve.clone(), inner)),
        }
    }
}
