//! What a receiver does between control points, by its name in files.

use std::fmt;
use std::str::FromStr;

use evenhand_curve::Interpolation;
use evenhand_text::quoted;

/// How a receiver turns control points into a curve.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum MapInterpolation {
    /// Straight segments between points.
    Linear,
    /// Monotone piecewise cubic through the points.
    MonotoneCubic,
    /// Uniform Catmull–Rom spline through the points.
    CatmullRom,
    /// Natural cubic spline through the points.
    NaturalCubic,
    /// One cubic Bézier segment; the points are its four control points.
    CubicBezier,
    /// A power of the reading between a floor and a ceiling.
    Power,
    /// Outputs at evenly spaced readings, straight segments between.
    Table,
}

impl MapInterpolation {
    /// Every one of them.
    pub const ALL: [Self; 7] = [
        Self::Linear,
        Self::MonotoneCubic,
        Self::CatmullRom,
        Self::NaturalCubic,
        Self::CubicBezier,
        Self::Power,
        Self::Table,
    ];

    /// Those through points, which receivers of kind `points` choose from.
    pub const THROUGH_POINTS: [Self; 4] = [
        Self::Linear,
        Self::MonotoneCubic,
        Self::CatmullRom,
        Self::NaturalCubic,
    ];

    /// The name used in files.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Linear => Interpolation::Linear.as_str(),
            Self::MonotoneCubic => Interpolation::MonotoneCubic.as_str(),
            Self::CatmullRom => Interpolation::CatmullRom.as_str(),
            Self::NaturalCubic => Interpolation::NaturalCubic.as_str(),
            Self::CubicBezier => "cubic-bezier",
            Self::Power => "power",
            Self::Table => "table",
        }
    }

    /// What joins the control points, where they are points of the curve.
    pub(crate) const fn of_points(self) -> Option<Interpolation> {
        match self {
            Self::Linear | Self::Table => Some(Interpolation::Linear),
            Self::MonotoneCubic => Some(Interpolation::MonotoneCubic),
            Self::CatmullRom => Some(Interpolation::CatmullRom),
            Self::NaturalCubic => Some(Interpolation::NaturalCubic),
            Self::CubicBezier | Self::Power => None,
        }
    }

    /// Whether the map is made of straight segments between its control points.
    #[must_use]
    pub const fn is_straight(self) -> bool {
        matches!(self, Self::Linear | Self::Table)
    }
}

impl fmt::Display for MapInterpolation {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

/// A word that names no interpolation.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{} is no interpolation; write one of {}", quoted(found), names().join(", "))]
pub struct UnknownInterpolation {
    /// The word as found.
    pub found: String,
}

fn names() -> Vec<&'static str> {
    MapInterpolation::ALL.map(MapInterpolation::as_str).to_vec()
}

impl FromStr for MapInterpolation {
    type Err = UnknownInterpolation;

    fn from_str(word: &str) -> Result<Self, Self::Err> {
        Self::ALL
            .into_iter()
            .find(|kind| kind.as_str() == word)
            .ok_or_else(|| UnknownInterpolation {
                found: word.to_owned(),
            })
    }
}
