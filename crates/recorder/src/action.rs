//! What a person can do at the bench.

use evenhand_measurement::Force;

/// What a person does at the bench.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Action {
    /// The force hangs still: watch the reading.
    TakeReading,
    /// Another force than the one that was asked for.
    UseForce(Force),
    /// Take back the last sample and place its force again.
    Retake,
    /// Take back the last sample.
    Undo,
    /// The stylus was taken out and set again.
    NewSeating,
}
