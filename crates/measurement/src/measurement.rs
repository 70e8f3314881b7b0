//! What was measured: one stylus on one bench on one day.

use std::collections::BTreeMap;

use crate::force::Force;
use crate::unit::{ForceUnit, ReadingUnit};

/// Whether the force was being raised or lowered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// Raised to this force.
    Loading,
    /// Lowered to this force.
    Unloading,
}

impl Direction {
    /// The word used in files.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Loading => "loading",
            Self::Unloading => "unloading",
        }
    }

    /// The direction of a word; see [`Direction::as_str`].
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        [Self::Loading, Self::Unloading]
            .into_iter()
            .find(|d| d.as_str() == word)
    }
}

/// The stylus measured.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Stylus {
    /// Its model.
    pub model: Option<String>,
    /// Which one of its model.
    pub unit: Option<String>,
    /// Number of levels of raw readings: counts run from 0 to levels − 1.
    pub levels: Option<u32>,
}

/// Which force a file gives. Samples always hold the force along the stylus.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum ForceActs {
    /// Along the stylus.
    #[default]
    AlongStylus,
    /// At a right angle to the surface: a scale under the tablet. Along the stylus acts its share, the
    /// force times the cosine of the tilt.
    OnSurface,
}

impl ForceActs {
    /// Word used in files.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::AlongStylus => "along-stylus",
            Self::OnSurface => "on-surface",
        }
    }

    pub(crate) fn from_word(word: &str) -> Option<Self> {
        [Self::AlongStylus, Self::OnSurface]
            .into_iter()
            .find(|acts| acts.word() == word)
    }
}

/// Where readings were taken: what lies between changes them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ReadAt {
    /// At the tablet's device, before the system.
    Device,
    /// In a browser, after system and driver.
    Browser,
    /// In a program that draws, after its own settings.
    Program,
}

impl ReadAt {
    /// Every place.
    pub const ALL: [Self; 3] = [Self::Device, Self::Browser, Self::Program];

    /// Word used in files.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Device => "device",
            Self::Browser => "browser",
            Self::Program => "program",
        }
    }

    /// The place that a word in a file names.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|place| place.word() == word)
    }
}

/// How well a bench knows its forces: standard uncertainties, as a budget after JCGM 100 gives them.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ForceBudget {
    /// Of the gain common to all forces of the bench, part of each force.
    pub gain: f64,
    /// Of an offset common to all forces of the bench, gf.
    pub offset_gf: f64,
    /// Of each placed force by itself, gf.
    pub scatter_gf: f64,
    /// Of each placed force by itself, part of it.
    pub scatter_part: f64,
}

impl ForceBudget {
    /// Names of the figures in files, in the order of the fields.
    pub const KEYS: [&'static str; 4] = [
        "force_gain_u",
        "force_offset_u_gf",
        "force_scatter_u_gf",
        "force_scatter_u",
    ];
    /// The largest uncertainty that is believed of each: half of the force, or 100 gf.
    pub const MOST: [f64; 4] = [0.5, 100.0, 100.0, 0.5];

    /// The figures in the order of [`Self::KEYS`].
    #[must_use]
    pub fn figures(&self) -> [f64; 4] {
        [
            self.gain,
            self.offset_gf,
            self.scatter_gf,
            self.scatter_part,
        ]
    }

    /// Takes a figure by its name in files; false where it is none of them.
    pub(crate) fn set(&mut self, key: &str, value: f64) -> bool {
        let slots = [
            &mut self.gain,
            &mut self.offset_gf,
            &mut self.scatter_gf,
            &mut self.scatter_part,
        ];
        let slot = Self::KEYS.iter().zip(slots).find(|(name, _)| **name == key);
        slot.map(|(_, slot)| *slot = value).is_some()
    }

    /// Whether a figure can be meant.
    pub(crate) fn accepts(key: &str, value: f64) -> bool {
        let most = Self::KEYS
            .iter()
            .zip(Self::MOST)
            .find(|(name, _)| **name == key);
        most.is_some_and(|(_, most)| (0.0..=most).contains(&value))
    }
}

/// The bench it was measured on.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Bench {
    /// Its name, which tells measurements on different benches apart.
    pub name: Option<String>,
    /// Day of the measurement, as written.
    pub date: Option<String>,
    /// Unit in which the file gives forces.
    pub force_unit: ForceUnit,
    /// Unit in which the file gives readings.
    pub reading_unit: ReadingUnit,
    /// Which force the file gives, where it says.
    pub force_acts: Option<ForceActs>,
    /// Angle between the stylus and the upright, degrees.
    pub tilt_deg: Option<f64>,
    /// Where readings were taken, where the file says.
    pub read_at: Option<ReadAt>,
    /// The lever, in words.
    pub lever: Option<String>,
    /// How well its forces are known, where a budget says.
    pub budget: Option<ForceBudget>,
    /// How much the gains of its seatings differ, where it says: the standard deviation of their logarithms, which the
    /// same stylus mounted again and again shows.
    pub seating_gain_u: Option<f64>,
    /// Anything else worth knowing.
    pub notes: Option<String>,
}

impl Bench {
    /// Name of the spread of its seatings' gains in files, and the largest that is believed.
    pub const SEATING_GAIN_U: (&'static str, f64) = ("seating_gain_u", 0.5);
}

/// A stretch of samples between two repositionings of stylus or lever.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Seating {
    /// Its number in the file.
    pub index: i64,
    /// Direction of all its samples, where it has one.
    pub direction: Option<Direction>,
}

/// One force and the reading it gave.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// Force along the stylus.
    pub force: Force,
    /// Reading, fraction of full scale, 0..1.
    pub reading: f64,
    /// Position of its seating in [`Measurement::seatings`].
    pub seating: usize,
    /// Whether the force was being raised or lowered, where known.
    pub direction: Option<Direction>,
    /// Its line in the file, from 1.
    pub line: usize,
}

/// A measurement; samples in the order of the file.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Measurement {
    /// The stylus.
    pub stylus: Stylus,
    /// The bench.
    pub bench: Bench,
    /// The seatings, in order of appearance, then those that were begun by request.
    pub seatings: Vec<Seating>,
    /// The samples that are used.
    pub samples: Vec<Sample>,
    /// Samples that the file or the reader of it asked to leave out.
    pub excluded: Vec<Sample>,
    /// Remarks with keys of the writer's own.
    pub labels: BTreeMap<String, String>,
}

impl Measurement {
    /// Positions of the seatings that hold samples in use, in order: all of them, unless every sample
    /// of one is left out.
    #[must_use]
    pub fn used_seatings(&self) -> Vec<usize> {
        let used = |position: &usize| self.samples.iter().any(|s| s.seating == *position);
        (0..self.seatings.len()).filter(used).collect()
    }
}
