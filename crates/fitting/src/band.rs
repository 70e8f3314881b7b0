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
    /// The band of a saturation force.
    #[must_use]
    pub fn of(saturation: Force) -> Self {
        match saturation.gf() {
            gf if gf < 200.0 => Self::Scant,
            gf if gf < 400.0 => Self::Modest,
            gf if gf < 700.0 => Self::Ample,
            _ => Self::Generous,
        }
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
