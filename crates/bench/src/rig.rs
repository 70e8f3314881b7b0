//! A bench as its owner describes it: a lever with masses, a scale under the tablet, or a force gauge.

use std::path::Path;

use evenhand_text::{Faults, read_utf8};

use crate::lever::{Lever, Leverage};

/// A rig file larger than this is none.
const MOST_BYTES: u64 = 4 << 20;

/// A bench. Angles in degrees; what is `…within…` are limits to either side.
#[derive(Clone, Debug)]
pub struct Rig {
    /// Its name, which measurements keep.
    pub name: String,
    /// Angle between stylus and upright, 0 to 80.
    pub tilt_deg: f64,
    /// Limits of that angle.
    pub tilt_within_deg: f64,
    /// Acceleration where it stands; its limits hold everywhere on Earth where it is not given.
    pub gravity_m_s2: f64,
    /// Limits of that acceleration.
    pub gravity_within_m_s2: f64,
    /// How much the gains of its seatings differ, where it says: the standard deviation of their logarithms.
    pub seating_gain_u: Option<f64>,
    /// What sets its force.
    pub kind: RigKind,
}

/// What sets the force of a bench.
#[derive(Clone, Debug)]
pub enum RigKind {
    /// Masses on a lever.
    Lever(Lever),
    /// A scale under the tablet, which shows grams.
    Scale(Scale),
    /// A gauge that pushes the stylus, which shows newtons.
    Gauge(Gauge),
}

/// A scale: it shows masses.
#[derive(Clone, Debug)]
pub struct Scale {
    /// Step of its display, g.
    pub step_g: f64,
    /// Limits of its gain, fraction of what it shows.
    pub within_part: f64,
    /// Limits of what it shows after taring, g.
    pub within_g: f64,
}

/// A force gauge: it shows newtons along the stylus.
#[derive(Clone, Debug)]
pub struct Gauge {
    /// Step of its display, N.
    pub step_n: f64,
    /// Limits of its gain, fraction of what it shows.
    pub within_part: f64,
    /// Limits of its zero, N.
    pub within_n: f64,
}

impl Rig {
    /// Acceleration where a rig gives none: from the equator at 9.780 to the poles at 9.832 m/s² at sea level
    /// (common practice, no source), as a middle and its limits.
    pub(crate) const GRAVITY_M_S2: (f64, f64) = (9.806, 0.026);
    /// Limits of the tilt of a rig that gives none, degrees.
    pub(crate) const TILT_WITHIN_DEG: f64 = 1.0;

    /// The lever, where masses set the force.
    #[must_use]
    pub const fn lever(&self) -> Option<&Lever> {
        match &self.kind {
            RigKind::Lever(lever) => Some(lever),
            RigKind::Scale(_) | RigKind::Gauge(_) => None,
        }
    }

    /// Reads a rig file of at most 4 MiB.
    ///
    /// # Errors
    /// A file that cannot be read, and what [`Rig::parse`] refuses.
    pub fn read(path: &Path) -> Result<Self, Faults> {
        let text = read_utf8(path, "a rig", MOST_BYTES)?;
        Self::parse(&text, &path.display().to_string())
    }

    /// The unit of loads: of masses and of what a scale shows `g`, of what a gauge shows `n`.
    #[must_use]
    pub const fn load_unit(&self) -> &'static str {
        match self.kind {
            RigKind::Lever(_) | RigKind::Scale(_) => "g",
            RigKind::Gauge(_) => "n",
        }
    }

    /// The bench in a few words, for measurements.
    #[must_use]
    pub fn in_words(&self) -> String {
        match &self.kind {
            RigKind::Lever(lever) => match &lever.leverage {
                Leverage::Measured { arms, .. } => format!(
                    "lever, masses at {} mm, nib at {} mm",
                    arms.pan_mm, arms.nib_mm
                ),
                Leverage::Calibrated { .. } => "lever calibrated against a scale".to_owned(),
            },
            RigKind::Scale(scale) => {
                format!("scale under the tablet, steps of {} g", scale.step_g)
            }
            RigKind::Gauge(gauge) => format!("force gauge, steps of {} N", gauge.step_n),
        }
    }
}
