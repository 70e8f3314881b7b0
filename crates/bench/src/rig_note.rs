//! What a rig's own figures say against it.

use std::fmt;

use crate::lever::Leverage;
use crate::rig::Rig;

/// Pairs that scatter so much by a smaller chance are told.
const UNLIKELY: f64 = 0.05;
/// Standard uncertainties between arms and calibration from which on they disagree.
const FAR: f64 = 3.0;

/// A rig that can be worked with, and what to look at.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RigNote {
    /// The pairs of the calibration scatter more than their uncertainties say.
    Scatters {
        /// How many times as much.
        birge: f64,
    },
    /// The arms and the calibration say different ratios.
    ArmsDisagree {
        /// Ratio of the arms.
        arms: f64,
        /// Ratio of the calibration.
        calibrated: f64,
    },
}

impl fmt::Display for RigNote {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Scatters { birge } => write!(
                f,
                "the pairs of the calibration scatter {birge:.1} times as much as their uncertainties say; every force is taken to be that much less sure: look for friction and for a wrong pair"
            ),
            Self::ArmsDisagree { arms, calibrated } => write!(
                f,
                "the arms make {arms:.3} g at the nib of a gram on the pan, the calibration {calibrated:.3}; the calibration is used: measure the arms again, or leave them out"
            ),
        }
    }
}

impl Rig {
    /// What its own figures say against it.
    #[must_use]
    pub fn notes(&self) -> Vec<RigNote> {
        let Some(Leverage::Calibrated {
            calibration, arms, ..
        }) = self.lever().map(|lever| lever.leverage)
        else {
            return Vec::new();
        };
        let mut notes = Vec::new();
        if calibration.chance < UNLIKELY {
            notes.push(RigNote::Scatters {
                birge: calibration.birge,
            });
        }
        if let Some(arms) = arms {
            let ratio = arms.pan_mm / arms.nib_mm;
            let part = (arms.nib_within_mm / arms.nib_mm).hypot(arms.pan_within_mm / arms.pan_mm);
            let of_limits = ratio * part.hypot(calibration.scale_within_part) / 3.0_f64.sqrt();
            let off = (calibration.line.slope - ratio).abs();
            if off > FAR * of_limits.hypot(calibration.line.slope_error) {
                notes.push(RigNote::ArmsDisagree {
                    arms: ratio,
                    calibrated: calibration.line.slope,
                });
            }
        }
        notes
    }
}
