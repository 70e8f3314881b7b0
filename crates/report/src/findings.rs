//! A comparison with what surrounds it.

use evenhand_population::{Comparison, UnitMatch};

/// A file that is not among the measurements that were compared.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeftOut {
    /// Its file.
    pub file: String,
    /// Its stylus, where it was read.
    pub name: Option<String>,
    /// Why, in a sentence without a stop.
    pub reason: String,
}

/// Which units a map can make feel like another.
#[derive(Clone, Debug)]
pub struct MatchReport {
    /// What they are to feel like.
    pub target: String,
    /// Receiver of the maps.
    pub receiver: String,
    /// The nearest first; units by their places in the comparison.
    pub units: Vec<UnitMatch>,
}

/// All that a page, a text or an object tells.
#[derive(Clone, Debug)]
pub struct Findings {
    /// The comparison.
    pub comparison: Comparison,
    /// Resamples behind each measurement's intervals.
    pub resamples: usize,
    /// Units left out by request.
    pub excluded: Vec<LeftOut>,
    /// Files that could not be used.
    pub skipped: Vec<LeftOut>,
    /// Files with the bytes of another.
    pub duplicates: Vec<LeftOut>,
    /// Which units can be made to feel like another, where it was asked.
    pub likened: Option<MatchReport>,
    /// The command that makes this again.
    pub command: String,
    /// Version of the program.
    pub version: String,
}
