//! A bench as its owner describes it: a lever with masses, a scale under the tablet, or a force gauge.

use std::ops::Range;

use serde::Deserialize;

use crate::error::BenchError;
use crate::mass_class::MassClass;
use crate::york::{Line, WeighedPoint, york_line};

/// Acceleration by which a gram-force is defined, m/s² (3rd CGPM, 1901).
pub(crate) const STANDARD_GRAVITY: f64 = 9.806_65;

/// A bench. Lengths in mm, masses in g, angles in degrees; what is `…within…` are limits to either side.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rig {
    /// Its name, which measurements keep.
    pub name: String,
    /// Angle between stylus and upright.
    #[serde(default)]
    pub tilt_deg: f64,
    /// Limits of that angle.
    #[serde(default = "one")]
    pub tilt_within_deg: f64,
    /// Acceleration where it stands; its limits hold everywhere on Earth where it is not given.
    #[serde(default = "everywhere")]
    pub gravity_m_s2: f64,
    /// Limits of that acceleration.
    #[serde(default = "everywhere_within")]
    pub gravity_within_m_s2: f64,
    /// A lever with masses.
    pub lever: Option<Lever>,
    /// A scale under the tablet.
    pub scale: Option<Scale>,
    /// A force gauge that pushes the stylus.
    pub gauge: Option<Gauge>,
}

fn one() -> f64 {
    1.0
}

// From the equator at 9.780 to the poles at 9.832 m/s² at sea level (common practice, no source).
fn everywhere() -> f64 {
    9.806
}

fn everywhere_within() -> f64 {
    0.026
}

/// A beam on a pivot that presses on the stylus; masses hang from it.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Lever {
    /// From the pivot to where it presses.
    pub nib_arm_mm: f64,
    /// Limits of that arm.
    pub nib_arm_within_mm: f64,
    /// From the pivot to where masses hang, where a placement names no arm.
    pub pan_arm_mm: f64,
    /// Limits of the arms of masses, the same for all.
    pub pan_arm_within_mm: f64,
    /// How far from its mark each mass may hang.
    #[serde(default)]
    pub hook_within_mm: f64,
    /// The beam's own moment about the pivot with nothing placed; above 0 it presses.
    #[serde(default)]
    pub beam_moment_g_mm: f64,
    /// Limits of that moment.
    #[serde(default)]
    pub beam_moment_within_g_mm: f64,
    /// Limits of what friction may hold back at the nib, each time.
    #[serde(default)]
    pub friction_within_gf: f64,
    /// The masses at hand.
    #[serde(default)]
    pub masses_g: Vec<f64>,
    /// Their class.
    pub mass_class: Option<MassClass>,
    /// Limits of each mass, where it has no class: of what was weighed.
    pub mass_within_g: Option<f64>,
    /// The lever against a scale: masses on the pan, what the scale showed.
    pub calibration: Option<Calibration>,
}

/// What a scale under the lever's nib showed for masses on the pan: arms and beam need not be known then.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Calibration {
    /// On the pan, and on the scale, g.
    pub pairs_g: Vec<[f64; 2]>,
    /// Standard uncertainty of what was on the pan, g.
    pub placed_u_g: f64,
    /// Standard uncertainty of what the scale showed, g.
    pub scale_u_g: f64,
    /// Limits of the scale's gain, part of what it shows, common to all pairs.
    #[serde(default)]
    pub scale_within_part: f64,
}

/// A scale: it shows masses.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Scale {
    /// Step of its display, g.
    pub step_g: f64,
    /// Limits of its gain, part of what it shows.
    pub within_part: f64,
    /// Limits of what it shows after taring, g.
    #[serde(default)]
    pub within_g: f64,
}

/// A force gauge: it shows newtons along the stylus.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Gauge {
    /// Step of its display, N.
    pub step_n: f64,
    /// Limits of its gain, part of what it shows.
    pub within_part: f64,
    /// Limits of its zero, N.
    #[serde(default)]
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
    /// Reads and checks a rig.
    ///
    /// # Errors
    /// Text that is no TOML, keys that are not known, none or several of lever, scale and gauge, and figures
    /// that cannot be meant.
    pub fn parse(text: &str) -> Result<Self, BenchError> {
        let rig: Self = toml::from_str(text).map_err(|error| BenchError::Rig {
            message: error.message().to_owned(),
            help: "see demo/rig.toml for how a rig is written".to_owned(),
            span: error.span(),
        })?;
        rig.checked(text)
    }

    fn checked(self, text: &str) -> Result<Self, BenchError> {
        let fail = |key: Option<&str>, message: &str, help: &str| {
            Err(BenchError::Rig {
                message: message.to_owned(),
                help: help.to_owned(),
                span: key.and_then(|key| line_of(text, key)),
            })
        };
        let count = usize::from(self.lever.is_some())
            + usize::from(self.scale.is_some())
            + usize::from(self.gauge.is_some());
        if count != 1 {
            return fail(
                None,
                "a rig has one of [lever], [scale] and [gauge]",
                "keep the one that sets the force",
            );
        }
        // The first of some figures that is no limit.
        let no_limit = |figures: &[(&'static str, f64)]| {
            let wrong = figures.iter().find(|(_, v)| !(v.is_finite() && *v >= 0.0));
            wrong.map(|(key, _)| *key)
        };
        let tilt_key = if (0.0..=80.0).contains(&self.tilt_deg) {
            no_limit(&[("tilt_within_deg", self.tilt_within_deg)])
        } else {
            Some("tilt_deg")
        };
        if let Some(key) = tilt_key {
            return fail(
                Some(key),
                "tilt_deg must be from 0 to 80 degrees, its limits 0 or more",
                "give the angle between stylus and upright",
            );
        }
        let gravity_key = if (9.7..=9.9).contains(&self.gravity_m_s2) {
            no_limit(&[("gravity_within_m_s2", self.gravity_within_m_s2)])
        } else {
            Some("gravity_m_s2")
        };
        if let Some(key) = gravity_key {
            return fail(
                Some(key),
                "gravity_m_s2 must be between 9.7 and 9.9",
                "leave it out, or give the acceleration where the bench stands",
            );
        }
        if let Some(lever) = &self.lever {
            let arms = [
                ("nib_arm_mm", lever.nib_arm_mm),
                ("pan_arm_mm", lever.pan_arm_mm),
            ];
            let wrong = arms
                .iter()
                .find(|(_, arm)| !(arm.is_finite() && *arm > 0.0));
            if let Some((key, _)) = wrong {
                return fail(
                    Some(key),
                    "arms must be longer than 0 mm",
                    "measure them from the pivot",
                );
            }
            let within = [
                ("nib_arm_within_mm", lever.nib_arm_within_mm),
                ("pan_arm_within_mm", lever.pan_arm_within_mm),
                ("hook_within_mm", lever.hook_within_mm),
                ("beam_moment_within_g_mm", lever.beam_moment_within_g_mm),
                ("friction_within_gf", lever.friction_within_gf),
                ("mass_within_g", lever.mass_within_g.unwrap_or(0.0)),
                (
                    "scale_within_part",
                    lever
                        .calibration
                        .as_ref()
                        .map_or(0.0, |c| c.scale_within_part),
                ),
            ];
            let is_too_wide = lever.nib_arm_within_mm >= lever.nib_arm_mm;
            let wrong = no_limit(&within).or(is_too_wide.then_some("nib_arm_within_mm"));
            if let Some(key) = wrong {
                return fail(
                    Some(key),
                    "limits must be 0 or more, and that of the nib's arm below the arm",
                    "give how far each figure may be off to either side",
                );
            }
            if !lever.beam_moment_g_mm.is_finite() {
                return fail(
                    Some("beam_moment_g_mm"),
                    "beam_moment_g_mm must be a number",
                    "0 where the beam is balanced",
                );
            }
            if lever.mass_class.is_none() && lever.mass_within_g.is_none() {
                return fail(
                    Some("masses_g"),
                    "nothing says how well the masses are known",
                    "give mass_class = \"M1\" (E2 to M3), or mass_within_g for weighed ones",
                );
            }
            if !lever.masses_g.iter().all(|m| m.is_finite() && *m > 0.0) {
                return fail(
                    Some("masses_g"),
                    "masses must be above 0 g",
                    "write masses_g = [5, 10, 20, 20, 50]",
                );
            }
            if lever.calibration.is_some() && lever.line().is_none() {
                return fail(
                    Some("pairs_g"),
                    "the calibration has no line: it needs three pairs or more with different masses, and uncertainties above 0",
                    "write pairs_g = [[0, 4.1], [20, 64.0], [50, 153.8]]",
                );
            }
        }
        let of_scale = self.scale.as_ref().and_then(|scale| {
            no_limit(&[
                ("step_g", scale.step_g),
                ("within_part", scale.within_part),
                ("within_g", scale.within_g),
            ])
        });
        if let Some(key) = of_scale {
            return fail(
                Some(key),
                "figures of the scale must be 0 or more",
                "see its data sheet",
            );
        }
        let of_gauge = self.gauge.as_ref().and_then(|gauge| {
            no_limit(&[
                ("step_n", gauge.step_n),
                ("within_part", gauge.within_part),
                ("within_n", gauge.within_n),
            ])
        });
        if let Some(key) = of_gauge {
            return fail(
                Some(key),
                "figures of the gauge must be 0 or more",
                "see its data sheet",
            );
        }
        Ok(self)
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
            (Some(lever), _, _) => match &lever.calibration {
                Some(_) => "lever calibrated against a scale".to_owned(),
                None => format!(
                    "lever, masses at {} mm, nib at {} mm",
                    lever.pan_arm_mm, lever.nib_arm_mm
                ),
            },
            (_, Some(scale), _) => format!("scale under the tablet, steps of {} g", scale.step_g),
            (_, _, Some(gauge)) => format!("force gauge, steps of {} N", gauge.step_n),
            _ => String::new(),
        }
    }
}

impl Lever {
    /// Grams at the nib for grams on the pan, where the lever was calibrated.
    #[must_use]
    pub fn line(&self) -> Option<Line> {
        let calibration = self.calibration.as_ref()?;
        let weight = |u: f64| if u > 0.0 { u.powi(-2) } else { f64::NAN };
        let points: Vec<WeighedPoint> = calibration
            .pairs_g
            .iter()
            .map(|[x, y]| WeighedPoint {
                x: *x,
                y: *y,
                weight_x: weight(calibration.placed_u_g),
                weight_y: weight(calibration.scale_u_g),
            })
            .collect();
        york_line(&points)
    }
}

/// The line that sets a key, in bytes.
fn line_of(text: &str, key: &str) -> Option<Range<usize>> {
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        let set = line.trim_start().strip_prefix(key);
        if set.is_some_and(|rest| rest.trim_start().starts_with('=')) {
            return Some(start..start + line.trim_end().len());
        }
        start += line.len();
    }
    None
}
