//! Span bands: how far a stylus's range reaches, in one word.

use std::fmt;

use evenhand_measurement::Force;

/// A class of styluses by saturation force. Limits 200, 400 and 700 gf: common practice, no source;
/// a bench's opinion, not a maker's specification.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SpanBand {
    /// Below 200 gf.
    Scant,
    /// From 200 gf to below 400 gf.
    Modest,
    /// From 400 gf to below 700 gf.
    Ample,
    /// 700 gf and more.
    Generous,
}

impl SpanBand {
    /// All bands, narrowest first.
    pub const ALL: [Self; 4] = [Self::Scant, Self::Modest, Self::Ample, Self::Generous];

    /// The band of a saturation force.
    #[must_use]
    pub fn of(saturation: Force) -> Self {
        Self::ALL
            .into_iter()
            .find(|band| saturation < band.to())
            .unwrap_or(Self::Generous)
    }

    /// Least saturation force of the band.
    #[must_use]
    pub fn from(self) -> Force {
        match self {
            Self::Scant => Force::ZERO,
            Self::Modest => Self::Scant.to(),
            Self::Ample => Self::Modest.to(),
            Self::Generous => Self::Ample.to(),
        }
    }

    /// Saturation force from which on the next band begins; infinite for the last.
    #[must_use]
    pub fn to(self) -> Force {
        Force::from_gf(match self {
            Self::Scant => 200.0,
            Self::Modest => 400.0,
            Self::Ample => 700.0,
            Self::Generous => f64::INFINITY,
        })
    }

    /// The word.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Scant => "scant",
            Self::Modest => "modest",
            Self::Ample => "ample",
            Self::Generous => "generous",
        }
    }
}

impl fmt::Display for SpanBand {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}
