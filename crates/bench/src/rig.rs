//! A bench as its owner describes it: a lever with masses, a scale under the tablet, or a force gauge.

use evenhand_text::Faults;

use crate::calibration::Calibration;
use crate::mass_class::MassClass;
use crate::rig_keys::parsed;

/// Acceleration by which a gram-force is defined, m/s² (3rd CGPM, 1901).
pub(crate) const STANDARD_GRAVITY: f64 = 9.806_65;

/// A bench. Lengths in mm, masses in g, angles in degrees; what is `…within…` are limits to either side.
#[derive(Clone, Debug)]
pub struct Rig {
    /// Its name, which measurements keep.
    pub name: String,
    /// Angle between stylus and upright.
    pub tilt_deg: f64,
    /// Limits of that angle.
    pub tilt_within_deg: f64,
    /// Acceleration where it stands; its limits hold everywhere on Earth where it is not given.
    pub gravity_m_s2: f64,
    /// Limits of that acceleration.
    pub gravity_within_m_s2: f64,
    /// A lever with masses.
    pub lever: Option<Lever>,
    /// A scale under the tablet.
    pub scale: Option<Scale>,
    /// A force gauge that pushes the stylus.
    pub gauge: Option<Gauge>,
}

impl Rig {
    /// Acceleration where a rig gives none: from the equator at 9.780 to the poles at 9.832 m/s² at sea level
    /// (common practice, no source), as a middle and its limits.
    pub(crate) const GRAVITY_M_S2: (f64, f64) = (9.806, 0.026);
    /// Limits of the tilt of a rig that gives none, degrees.
    pub(crate) const TILT_WITHIN_DEG: f64 = 1.0;
}

/// A beam on a pivot that presses on the stylus; masses hang from it.
#[derive(Clone, Debug)]
pub struct Lever {
    /// From the pivot to where it presses. Arms may be left out where the lever is calibrated.
    pub nib_arm_mm: Option<f64>,
    /// Limits of that arm.
    pub nib_arm_within_mm: Option<f64>,
    /// From the pivot to where masses hang, where a placement names no arm.
    pub pan_arm_mm: Option<f64>,
    /// Limits of the arms of masses, the same for all.
    pub pan_arm_within_mm: Option<f64>,
    /// How far from its mark each mass may hang.
    pub hook_within_mm: f64,
    /// The beam's own moment about the pivot with nothing placed; above 0 it presses.
    pub beam_moment_g_mm: f64,
    /// Limits of that moment.
    pub beam_moment_within_g_mm: f64,
    /// Limits of what friction may hold back at the nib, each time.
    pub friction_within_gf: f64,
    /// The masses at hand.
    pub masses_g: Vec<f64>,
    /// Their class.
    pub mass_class: Option<MassClass>,
    /// Limits of each mass, where it has no class: of what was weighed.
    pub mass_within_g: Option<f64>,
    /// The lever against a scale: masses on the pan, what the scale showed.
    pub calibration: Option<Calibration>,
}

/// A scale: it shows masses.
#[derive(Clone, Debug)]
pub struct Scale {
    /// Step of its display, g.
    pub step_g: f64,
    /// Limits of its gain, part of what it shows.
    pub within_part: f64,
    /// Limits of what it shows after taring, g.
    pub within_g: f64,
}

/// A force gauge: it shows newtons along the stylus.
#[derive(Clone, Debug)]
pub struct Gauge {
    /// Step of its display, N.
    pub step_n: f64,
    /// Limits of its gain, part of what it shows.
    pub within_part: f64,
    /// Limits of its zero, N.
    pub within_n: f64,
}

/// What a rig has to be set with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RigKind {
    /// Masses on a lever.
    Lever,
    /// A scale that shows grams.
    Scale,
    /// A gauge that shows newtons.
    Gauge,
}

impl Rig {
    /// Reads and checks a rig; `file` is its name for messages.
    ///
    /// # Errors
    /// Everything that is wrong: text that is not TOML, unknown keys, none or several of lever, scale and gauge,
    /// missing keys, and figures that cannot be meant.
    pub fn parse(text: &str, file: &str) -> Result<Self, Faults> {
        parsed(text, file)
    }

    /// What sets its force.
    #[must_use]
    pub fn kind(&self) -> RigKind {
        if self.lever.is_some() {
            RigKind::Lever
        } else if self.scale.is_some() {
            RigKind::Scale
        } else {
            RigKind::Gauge
        }
    }

    /// The bench in a few words, for measurements.
    #[must_use]
    pub fn in_words(&self) -> String {
        match (&self.lever, &self.scale, &self.gauge) {
            (Some(lever), _, _) => match (&lever.calibration, lever.arms()) {
                (None, Some(arms)) => format!(
                    "lever, masses at {} mm, nib at {} mm",
                    arms.pan_mm, arms.nib_mm
                ),
                _ => "lever calibrated against a scale".to_owned(),
            },
            (_, Some(scale), _) => format!("scale under the tablet, steps of {} g", scale.step_g),
            (_, _, Some(gauge)) => format!("force gauge, steps of {} N", gauge.step_n),
            _ => String::new(),
        }
    }
}

/// The arms of a lever, where all are given, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Arms {
    /// From the pivot to where it presses.
    pub nib_mm: f64,
    /// Limits of that arm.
    pub nib_within_mm: f64,
    /// From the pivot to where masses hang.
    pub pan_mm: f64,
    /// Limits of that arm.
    pub pan_within_mm: f64,
}

impl Lever {
    /// Its arms; `None` where one is not given, which only a calibrated lever can do without.
    #[must_use]
    pub fn arms(&self) -> Option<Arms> {
        Some(Arms {
            nib_mm: self.nib_arm_mm?,
            nib_within_mm: self.nib_arm_within_mm?,
            pan_mm: self.pan_arm_mm?,
            pan_within_mm: self.pan_arm_within_mm?,
        })
    }
}
