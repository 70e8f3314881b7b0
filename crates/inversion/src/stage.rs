//! A curve that something else applies before or after the map.

use evenhand_receiver::{ControlPoint, MapCurve, MapCurveError, MapInterpolation};
use evenhand_text::ReadAs;
use thiserror::Error;

/// A curve of the chain, with the points that it is saved by.
#[derive(Clone, Debug)]
pub struct CurveStage {
    /// Its points, both coordinates 0..1.
    pub points: Vec<ControlPoint>,
    /// How the points are connected.
    pub interpolation: MapInterpolation,
    /// Of a power.
    pub exponent: Option<f64>,
    /// The curve.
    pub curve: MapCurve,
    /// How a table of points was understood; none for a power, a map file and what was saved.
    pub read_as: Option<ReadAs>,
}

/// Points that make no curve of a chain.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum StageError {
    /// A coordinate that no reading or output has.
    #[error("a coordinate lies outside 0..1")]
    Outside,
    /// Points that make no curve at all.
    #[error(transparent)]
    Curve(#[from] MapCurveError),
    /// Outputs that fall somewhere.
    #[error("it falls")]
    Falls,
}

impl CurveStage {
    /// The curve through points that are connected in a way; `exponent` is that of a power.
    ///
    /// # Errors
    /// Points that make no curve that rises within 0..1.
    pub fn new(
        interpolation: MapInterpolation,
        points: Vec<ControlPoint>,
        exponent: Option<f64>,
    ) -> Result<Self, StageError> {
        let inside = |v: f64| (0.0..=1.0).contains(&v);
        if !points.iter().all(|p| inside(p.input) && inside(p.output)) {
            return Err(StageError::Outside);
        }
        let curve = MapCurve::new(interpolation, &points, exponent)?;
        if !curve.is_non_decreasing() {
            return Err(StageError::Falls);
        }
        Ok(Self {
            points,
            interpolation,
            exponent,
            curve,
            read_as: None,
        })
    }
}
