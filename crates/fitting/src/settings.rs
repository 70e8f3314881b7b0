//! What a fit may be told.

/// Settings of a fit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settings {
    /// Resamples behind the intervals; at least [`Settings::LEAST_RESAMPLES`] are made.
    pub resamples: usize,
    /// Probability that an interval should hold, between 0 and 1, both excluded.
    pub confidence: f64,
    /// Seed of the resampling.
    pub seed: u64,
}

impl Settings {
    /// Fewer resamples than this say nothing about the ends of an interval.
    pub const LEAST_RESAMPLES: usize = 50;
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            resamples: 1000,
            confidence: 0.95,
            seed: 1,
        }
    }
}
