//! What a person can say.

use evenhand_measurement::Force;

/// What a person says at the bench.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Said {
    /// The force hangs still: watch the reading.
    Hangs,
    /// Another force than the one that was asked for.
    Instead(Force),
    /// Take back the last sample and place its force again.
    Retake,
    /// Take back the last sample.
    Undo,
    /// The stylus was taken out and set again.
    NewSeating,
}
