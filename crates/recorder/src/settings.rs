//! What a session is begun with.

use std::path::PathBuf;

use evenhand_measurement::Force;

use crate::event_layout::EventLayout;

/// What a stream holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StreamKind {
    /// One reading a line, percent of full scale.
    Percent,
    /// One reading a line, 0 to 1.
    Fraction,
    /// One count a line.
    Raw,
    /// Input events of the Linux kernel.
    Events,
}

/// Where readings come from.
#[derive(Clone, Debug, Default)]
pub struct SourceSettings {
    /// A file, a serial line, a device, or `-` for standard input.
    pub path: PathBuf,
    /// What it holds; told by what it is, where not given.
    pub kind: Option<StreamKind>,
    /// Number of levels of counts.
    pub levels: Option<u32>,
    /// Layout of events; told by the stream, or that of this machine.
    pub layout: Option<EventLayout>,
}

/// What a session is about.
#[derive(Clone, Debug)]
pub struct RecorderSettings {
    /// The measurement to write; one recorded before is gone on with.
    pub out: PathBuf,
    /// Forces to place, in order; planned, where there are none.
    pub forces: Vec<Force>,
    /// Never ask for more than this.
    pub limit: Force,
    /// The bench with the masses at hand.
    pub rig: Option<PathBuf>,
    /// Lean of the pen that is warned of, in the units of its tilt axes.
    pub tilt_limit: f64,
    /// Readings that must lie still, one after the other.
    pub settle: usize,
    /// Whether one goes on in the seating of the last sample.
    pub same_seating: bool,
    /// Number of levels of the stylus.
    pub levels: Option<u32>,
    /// Model of the stylus.
    pub model: Option<String>,
    /// Which one of its model.
    pub unit: Option<String>,
    /// Day of the measurement.
    pub date: Option<String>,
}

impl RecorderSettings {
    /// Readings that must lie still: half a second of events (common practice, no source).
    pub const SETTLE: usize = 50;
    /// Lean that is warned of, degrees (common practice, no source).
    pub const TILT_LIMIT: f64 = 10.0;
    /// Numbers of levels that counts can have.
    pub const LEVELS: std::ops::RangeInclusive<u32> = 2..=16_777_216;
    /// Largest force that is asked for, gf.
    pub const LIMIT_GF: f64 = 1000.0;

    /// Those that are usual, for a file.
    #[must_use]
    pub fn new(out: PathBuf) -> Self {
        Self {
            out,
            forces: Vec::new(),
            limit: Force::from_gf(Self::LIMIT_GF),
            rig: None,
            tilt_limit: Self::TILT_LIMIT,
            settle: Self::SETTLE,
            same_seating: false,
            levels: None,
            model: None,
            unit: None,
            date: None,
        }
    }
}
