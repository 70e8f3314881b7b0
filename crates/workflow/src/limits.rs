//! Limits of what is asked for, the same on the command line, in the window and in saved maps.

use std::ops::RangeInclusive;

use evenhand_fitting::Settings;
use evenhand_measurement::MOST_LEVELS;

/// Numbers of resamples that are made: fewer say nothing, more take hours.
pub const RESAMPLES: RangeInclusive<usize> = Settings::LEAST_RESAMPLES..=1_000_000;
/// Numbers of levels of raw readings.
pub const LEVELS: RangeInclusive<u32> = 2..=MOST_LEVELS;

/// Whether intervals can be made to hold with this probability.
#[must_use]
pub(crate) fn is_confidence(part: f64) -> bool {
    part > 0.0 && part < 1.0
}

/// Whether an output can begin here: a part of full output that leaves something to climb.
#[must_use]
pub(crate) fn is_output_floor(part: f64) -> bool {
    (0.0..0.95).contains(&part)
}
