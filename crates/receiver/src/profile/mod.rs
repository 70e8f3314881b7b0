//! What a receiver accepts, as data.

mod file;
mod keys;
mod shipped;

pub(crate) use keys::gap_in_steps;
pub use shipped::{DEFAULT_PROFILE, profile, shipped};

use evenhand_text::{Faults, Node, TomlFile};
use serde::{Serialize, Serializer};

use file::ProfileFile;

use crate::interpolation::MapInterpolation;

/// Where the first and the last control point may be.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Ends {
    /// First point (0, 0), last point (1, 1).
    #[default]
    Fixed,
    /// First input 0, last input 1, outputs free.
    FreeOutput,
    /// Anywhere; the map holds its end values outside.
    Free,
}

impl Ends {
    /// The word used in profiles.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Fixed => "fixed",
            Self::FreeOutput => "free-output",
            Self::Free => "free",
        }
    }
}

/// How a receiver turns a typed coordinate into whole steps.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Rounding {
    /// To the nearest step, halves away from zero.
    #[default]
    Nearest,
    /// Down to the step below.
    Down,
}

impl Rounding {
    /// The word used in profiles.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Nearest => "nearest",
            Self::Down => "down",
        }
    }

    /// The whole step that `coordinate` becomes on a grid of `steps`.
    #[must_use]
    pub fn step_of(self, coordinate: f64, steps: u32) -> f64 {
        let scaled = coordinate * f64::from(steps);
        match self {
            Self::Nearest => scaled.round(),
            Self::Down => scaled.floor(),
        }
    }

    /// A coordinate that becomes exactly `step`: `step / steps`, or the next number above that
    /// survives the receiver's own multiplication.
    #[must_use]
    pub fn coordinate_of(self, step: u32, steps: u32) -> f64 {
        let mut coordinate = f64::from(step) / f64::from(steps);
        // Correct rounding leaves the product at most a few neighbours short.
        for _ in 0..8 {
            if self.step_of(coordinate, steps) >= f64::from(step) {
                break;
            }
            coordinate = coordinate.next_up();
        }
        coordinate
    }
}

/// Whole steps in which coordinates are typed or stored.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Grid {
    /// Steps from input 0 to input 1; for a table, its entries less one.
    pub input_steps: u32,
    /// Steps from output 0 to output 1.
    pub output_steps: u32,
    /// What becomes of a coordinate between steps.
    pub rounding: Rounding,
}

/// The form of the map a receiver takes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CurveKind {
    /// Control points with an interpolation between them.
    Points {
        /// What happens between points.
        interpolation: MapInterpolation,
        /// Fewest points.
        min_points: usize,
        /// Most points.
        max_points: usize,
        /// Where the outer points may be.
        ends: Ends,
        /// Least distance of neighbouring inputs.
        min_gap: f64,
    },
    /// One cubic Bézier segment; its handles lie between its ends.
    Bezier {
        /// Where the ends may be.
        ends: Ends,
    },
    /// A power with floor and ceiling.
    Power,
    /// Outputs at evenly spaced readings.
    Table {
        /// Number of entries, readings 0 and 1 included.
        entries: usize,
        /// Where the outer entries may be; inputs are always 0 and 1.
        ends: Ends,
    },
}

impl CurveKind {
    /// The word used in profiles.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Points { .. } => "points",
            Self::Bezier { .. } => "bezier",
            Self::Power => "power",
            Self::Table { .. } => "table",
        }
    }
}

/// A checked description of what a receiver accepts.
///
/// Read one with [`Profile::parse`] or [`Profile::of_table`], or take a shipped one with [`profile`]. As serde data
/// it is the tables of a profile file.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    name: String,
    title: String,
    notes: Option<String>,
    curve: CurveKind,
    grid: Option<Grid>,
}

impl Profile {
    /// Reads the text of a profile file; `file` is its name for messages.
    ///
    /// # Errors
    /// Everything that is wrong: text that is not TOML, keys that are unknown, missing or do not belong to the kind
    /// of curve, values of the wrong type or outside their range.
    pub fn parse(text: &str, file: &str) -> Result<Self, Faults> {
        let toml = TomlFile::parse(file, text, keys::OUTLINE)?;
        let profile = Self::of_table(&toml.root());
        toml.finish(profile)
    }

    /// Reads a profile from a table of another file, such as a map's; `None` where anything is wrong, which the
    /// file keeps.
    #[must_use]
    pub fn of_table(table: &Node<'_, '_>) -> Option<Self> {
        keys::profile(table)
    }

    /// Short name, as used on the command line.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// What the receiver accepts, for people.
    #[must_use]
    pub fn title(&self) -> &str {
        &self.title
    }

    /// Free text for people: where to type the points, what to mind.
    #[must_use]
    pub fn notes(&self) -> Option<&str> {
        self.notes.as_deref()
    }

    /// The form of the map.
    #[must_use]
    pub fn curve(&self) -> CurveKind {
        self.curve
    }

    /// The grid of the control points, if there is one.
    #[must_use]
    pub fn grid(&self) -> Option<Grid> {
        self.grid
    }

    /// What the receiver does between control points.
    #[must_use]
    pub fn interpolation(&self) -> MapInterpolation {
        match self.curve {
            CurveKind::Points { interpolation, .. } => interpolation,
            CurveKind::Bezier { .. } => MapInterpolation::CubicBezier,
            CurveKind::Power => MapInterpolation::Power,
            CurveKind::Table { .. } => MapInterpolation::Table,
        }
    }

    /// The profile as the text of a profile file.
    #[must_use]
    pub fn to_toml(&self) -> String {
        file::write(&ProfileFile::from(self))
    }
}

impl Serialize for Profile {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        ProfileFile::from(self).serialize(serializer)
    }
}
