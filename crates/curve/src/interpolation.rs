//! What joins points, by the names that all files share.

use std::fmt;

/// What joins points.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Interpolation {
    /// Straight lines.
    Linear,
    /// A cubic over every step that turns only where the points do, with the slopes of F. N. Fritsch
    /// and J. Butland, SIAM J. Sci. Stat. Comput. 5 (1984), also called PCHIP.
    MonotoneCubic,
    /// The uniform spline of E. Catmull and R. Rom (1974) in the plane, read as a function of x. It may
    /// overshoot, and points so unevenly spaced that it runs backwards in x are refused.
    CatmullRom,
    /// The cubic spline with continuous second derivative that is straight at both ends. It may
    /// overshoot.
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
