//! Forces of which not everything may be known.

use evenhand_fitting::ForceInterval;
use serde::Serialize;

/// A force with its interval, gf; what is unknown is null in JSON and absent in TOML.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct OpenInterval {
    /// Best value.
    pub estimate: Option<f64>,
    /// Lower end.
    pub low: Option<f64>,
    /// Upper end.
    pub high: Option<f64>,
}

impl OpenInterval {
    /// Nothing is known.
    pub const OPEN: Self = Self {
        estimate: None,
        low: None,
        high: None,
    };
}

impl From<Option<ForceInterval>> for OpenInterval {
    fn from(found: Option<ForceInterval>) -> Self {
        found.map_or(Self::OPEN, Self::from)
    }
}

impl From<ForceInterval> for OpenInterval {
    fn from(found: ForceInterval) -> Self {
        Self {
            estimate: Some(found.estimate.gf()),
            low: Some(found.low.gf()),
            high: Some(found.high.gf()),
        }
    }
}
