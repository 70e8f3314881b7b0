//! How far a watched reading has settled.

/// How far a watched reading has settled.
#[derive(Clone, Debug, PartialEq)]
pub struct Settling {
    /// Part of the readings that the rule looks at, 0..1.
    pub part: f64,
    /// How many readings were watched, or that they do not lie still.
    pub words: String,
    /// By how much they move and may move; `None` before the first.
    pub moves: Option<String>,
}
