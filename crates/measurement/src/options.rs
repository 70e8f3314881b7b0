//! What a reader of measurements may be told, and the limits of what it takes.

use crate::selection::SamplePlace;

/// A larger file is refused unread.
pub const MOST_BYTES: u64 = 32 << 20;
/// More levels than this no reading has: 24 bits.
pub const MOST_LEVELS: u32 = 1 << 24;
/// More samples than this are refused: a bench has tens or hundreds, a recording of strokes is none.
pub const MOST_SAMPLES: usize = 10_000;

/// What a file itself may leave open.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ReadOptions {
    /// Number of levels of raw readings; the file's own word goes before.
    pub levels: Option<u32>,
    /// Samples to exclude, beside those that the file itself names.
    pub exclude: Vec<SamplePlace>,
    /// Samples with which a seating begins that the file does not declare.
    pub new_seatings: Vec<SamplePlace>,
    /// Whether the file holds outputs measured behind a map: its column may then be called
    /// `output_percent`, `output` or `output_raw` as well.
    pub outputs: bool,
    /// Columns to read where a table has several of one kind, by their names.
    pub columns: Vec<String>,
    /// Sheet of a spreadsheet; the first one otherwise.
    pub sheet: Option<String>,
}
