use std::fmt;
use std::str::FromStr;

use crate::error::CurveError;

/// What joins points.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Interpolation {
    /// Straight lines.
    Linear,
    /// Monotone cubic with the slopes of Fritsch and Butland.
    MonotoneCubic,
    /// Uniform Catmull–Rom spline in the plane.
    CatmullRom,
    /// Natural cubic spline.
    NaturalCubic,
}

impl Interpolation {
    const ALL: [Self; 4] = [
        Self::Linear,
        Self::MonotoneCubic,
        Self::CatmullRom,
        Self::NaturalCubic,
    ];

    /// Its name in files.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Linear => "linear",
            Self::MonotoneCubic => "monotone-cubic",
            Self::CatmullRom => "catmull-rom",
            Self::NaturalCubic => "natural-cubic",
        }
    }
}

impl fmt::Display for Interpolation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl FromStr for Interpolation {
    type Err = CurveError;

    fn from_str(name: &str) -> Result<Self, CurveError> {
        Self::ALL
            .into_iter()
            .find(|kind| kind.as_str() == name)
            .ok_or_else(|| CurveError::UnknownInterpolation {
                name: name.to_owned(),
            })
    }
}
