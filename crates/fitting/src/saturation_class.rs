//! Classes of styluses by saturation force.

use std::fmt;

use evenhand_measurement::Force;

/// A class of styluses by saturation force. Its label is its range. Limits 200, 400 and 700 gf: common
/// practice, no source; a bench's opinion, not a maker's specification.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum SaturationClass {
    /// Below 200 gf.
    Below200,
    /// From 200 gf to below 400 gf.
    From200To400,
    /// From 400 gf to below 700 gf.
    From400To700,
    /// 700 gf and more.
    Above700,
}

impl SaturationClass {
    /// All classes, lowest first.
    pub const ALL: [Self; 4] = [
        Self::Below200,
        Self::From200To400,
        Self::From400To700,
        Self::Above700,
    ];

    /// The class of a saturation force.
    #[must_use]
    pub fn of(saturation: Force) -> Self {
        Self::ALL
            .into_iter()
            .find(|class| saturation < class.to())
            .unwrap_or(Self::Above700)
    }

    /// Least saturation force of the class.
    #[must_use]
    pub fn from(self) -> Force {
        match self {
            Self::Below200 => Force::ZERO,
            Self::From200To400 => Self::Below200.to(),
            Self::From400To700 => Self::From200To400.to(),
            Self::Above700 => Self::From400To700.to(),
        }
    }

    /// Saturation force from which on the next class begins; infinite for the last.
    #[must_use]
    pub fn to(self) -> Force {
        Force::from_gf(match self {
            Self::Below200 => 200.0,
            Self::From200To400 => 400.0,
            Self::From400To700 => 700.0,
            Self::Above700 => f64::INFINITY,
        })
    }

    /// The label, which is the range.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Below200 => "below 200 gf",
            Self::From200To400 => "200 to 400 gf",
            Self::From400To700 => "400 to 700 gf",
            Self::Above700 => "above 700 gf",
        }
    }
}

impl fmt::Display for SaturationClass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn saturation_class_at_each_limit_is_the_one_above() {
        for (force, label) in [
            (0.0, "below 200 gf"),
            (199.9, "below 200 gf"),
            (200.0, "200 to 400 gf"),
            (399.9, "200 to 400 gf"),
            (400.0, "400 to 700 gf"),
            (699.9, "400 to 700 gf"),
            (700.0, "above 700 gf"),
            (5_000.0, "above 700 gf"),
        ] {
            let class = SaturationClass::of(Force::from_gf(force));
            assert_eq!(class.to_string(), label, "{force} gf");
        }
    }

    #[test]
    fn saturation_classes_meet_without_gaps_and_are_labelled_by_their_ends() {
        assert_eq!(SaturationClass::ALL[0].from(), Force::ZERO);
        for pair in SaturationClass::ALL.windows(2) {
            assert_eq!(pair[0].to(), pair[1].from());
            let limit = pair[0].to().gf().to_string();
            assert!(pair[0].as_str().contains(&limit) && pair[1].as_str().contains(&limit));
        }
        assert_eq!(SaturationClass::ALL[3].to().gf(), f64::INFINITY);
    }
}
