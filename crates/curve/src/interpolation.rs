//! What joins points, by the names that all files share.

use std::fmt;

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
    /// Every one of them.
    pub const ALL: [Self; 4] = [
        Self::Linear,
        Self::MonotoneCubic,
        Self::CatmullRom,
        Self::NaturalCubic,
    ];

    /// Its name in files: receivers, targets and maps share these.
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
