//! What is legal in a measurement but looks wrong.

/// What kind of thing looks wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SuspicionKind {
    /// Too few readings between 0 and full scale.
    FewReadings,
    /// No reading of 0.
    NoZero,
    /// Readings that end below full scale, flat.
    FlatBelowFull,
    /// Readings that end below full scale, still rising.
    NotSaturated,
    /// Every reading is 0.
    AllZero,
    /// Readings that fall as the force grows.
    Falling,
    /// Clearly different readings at one force.
    Disagreeing,
    /// The same sample twice in a row.
    Repeated,
    /// A reading without a force.
    ReadingAtRest,
    /// A force beyond what most makers allow.
    LargeForce,
    /// Forces that look like another unit.
    ForceUnit,
    /// Readings that look like another unit.
    ReadingUnit,
    /// A wide gap over which the reading jumps.
    Gap,
    /// A seating with too few samples to be placed.
    SmallSeating,
    /// A sample that stands apart from its neighbours.
    Outlier,
    /// A tilt that no bench has.
    Tilt,
}

impl SuspicionKind {
    /// A stable word for scripts.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::FewReadings => "few-readings",
            Self::NoZero => "no-zero",
            Self::FlatBelowFull => "flat-below-full",
            Self::NotSaturated => "not-saturated",
            Self::AllZero => "all-zero",
            Self::Falling => "falling",
            Self::Disagreeing => "disagreeing",
            Self::Repeated => "repeated",
            Self::ReadingAtRest => "reading-at-rest",
            Self::LargeForce => "large-force",
            Self::ForceUnit => "force-unit",
            Self::ReadingUnit => "reading-unit",
            Self::Gap => "gap",
            Self::SmallSeating => "small-seating",
            Self::Outlier => "outlier",
            Self::Tilt => "tilt",
        }
    }
}

/// One thing to look at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Suspicion {
    /// Its line in the file, where it has one.
    pub line: Option<usize>,
    /// Its kind.
    pub kind: SuspicionKind,
    /// What was seen.
    pub message: String,
    /// What to try.
    pub advice: String,
}
