//! A beam on a pivot that presses on the stylus; masses hang from it.

use crate::calibration::Calibration;
use crate::mass_class::MassClass;

/// A lever. Lengths in mm, masses in g; what is `…within…` are limits to either side.
#[derive(Clone, Debug)]
pub struct Lever {
    /// What a gram on the pan makes at the nib.
    pub leverage: Leverage,
    /// How far from its mark each mass may hang.
    pub hook_within_mm: f64,
    /// Limits of what friction may hold back at the nib, each time.
    pub friction_within_gf: f64,
    /// The masses at hand, each above 0.
    pub masses_g: Vec<f64>,
    /// How well they are known.
    pub mass_limit: MassLimit,
}

/// How a lever's ratio and the force of its beam are known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Leverage {
    /// From its arms, measured.
    Measured {
        /// The arms.
        arms: Arms,
        /// The beam's own moment about the pivot with nothing placed; above 0 it presses.
        beam_moment_g_mm: f64,
        /// Limits of that moment.
        beam_moment_within_g_mm: f64,
    },
    /// From what a scale under the nib showed.
    Calibrated {
        /// The line through what it showed.
        calibration: Calibration,
        /// From the pivot to the pan, where that is given: masses may hang elsewhere then.
        pan_arm_mm: Option<f64>,
        /// Limits of the arms of masses, the same for all.
        pan_arm_within_mm: f64,
        /// The arms, where all are given as well.
        arms: Option<Arms>,
    },
}

/// The arms of a lever, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arms {
    /// From the pivot to where it presses.
    pub nib_mm: f64,
    /// Limits of that arm.
    pub nib_within_mm: f64,
    /// From the pivot to where masses hang, where a load names no arm.
    pub pan_mm: f64,
    /// Limits of the arms of masses, the same for all.
    pub pan_within_mm: f64,
}

/// How far a mass may be off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum MassLimit {
    /// As its class allows.
    Class(MassClass),
    /// By so many g: it was weighed.
    Within(f64),
}

impl MassLimit {
    /// Limits of a mass, g; a thousandth of one for which its class has none.
    pub(crate) fn of(self, mass_g: f64) -> f64 {
        match self {
            Self::Class(class) => class.largest_error_g(mass_g).unwrap_or(0.001 * mass_g),
            Self::Within(within_g) => within_g,
        }
    }
}

impl Leverage {
    /// From the pivot to the pan, mm; `None` where only grams at the pan are known.
    pub(crate) fn pan_arm_mm(&self) -> Option<f64> {
        match self {
            Self::Measured { arms, .. } => Some(arms.pan_mm),
            Self::Calibrated { pan_arm_mm, .. } => *pan_arm_mm,
        }
    }

    /// Limits of the arms of masses, mm.
    pub(crate) fn pan_arm_within_mm(&self) -> f64 {
        match self {
            Self::Measured { arms, .. } => arms.pan_within_mm,
            Self::Calibrated {
                pan_arm_within_mm, ..
            } => *pan_arm_within_mm,
        }
    }
}
