//! What is placed on a bench, as people write it.

use crate::error::BenchError;
use crate::lever::Lever;
use crate::rig::{Gauge, Rig, RigKind, Scale};

/// More masses than this are not hung at once.
pub(crate) const MOST_MASSES: usize = 40;
/// No mass in g and no arm in mm is larger.
const MOST: f64 = 1e5;

/// A mass with the arm it hangs at, where that is not the pan's.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HungMass {
    /// Nominal mass, g, above 0.
    pub mass_g: f64,
    /// Its own arm, mm, above 0.
    pub arm_mm: Option<f64>,
}

/// What is placed on a rig; only the rig makes it, so that it is one that the rig can take.
#[derive(Clone, Debug)]
pub struct Load<'r> {
    pub(crate) rig: &'r Rig,
    pub(crate) kind: LoadKind<'r>,
}

#[derive(Clone, Debug)]
pub(crate) enum LoadKind<'r> {
    /// Nothing touches the stylus.
    Lifted,
    /// Masses on the lever; none where the beam alone presses.
    Masses(&'r Lever, Vec<HungMass>),
    /// What the scale shows, g.
    Scale(&'r Scale, f64),
    /// What the gauge shows, N.
    Gauge(&'r Gauge, f64),
}

/// What a number of a load stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LoadNumber {
    /// A mass, g.
    Mass,
    /// The arm of a mass, mm.
    Arm,
    /// What a scale shows, g, or a gauge, N.
    Shown,
}

impl Rig {
    /// Reads `20+10`, `20@300+5@150`, `0`, `lifted`, or what a scale or gauge shows.
    ///
    /// # Errors
    /// Anything else.
    pub fn load(&self, text: &str) -> Result<Load<'_>, BenchError> {
        self.load_with(text, |word, _| {
            let value = word.trim().parse::<f64>().ok();
            value.ok_or_else(|| self.invalid_load(text))
        })
    }

    /// As [`Rig::load`], with each number read by `number`, which is told what it stands for.
    ///
    /// # Errors
    /// A number that `number` refuses, a negative or infinite one, and all else that the rig cannot take.
    pub fn load_with<E: From<BenchError>>(
        &self,
        text: &str,
        mut number: impl FnMut(&str, LoadNumber) -> Result<f64, E>,
    ) -> Result<Load<'_>, E> {
        let text = text.trim();
        let of_kind = |kind| Ok(Load { rig: self, kind });
        if text.to_lowercase() == "lifted" {
            return of_kind(LoadKind::Lifted);
        }
        let mut number = |word: &str, what| match number(word, what) {
            Ok(value) if value.is_finite() && value >= 0.0 => Ok(value),
            Ok(_) => Err(E::from(self.invalid_load(text))),
            Err(error) => Err(error),
        };
        let lever = match &self.kind {
            RigKind::Scale(scale) => {
                return of_kind(LoadKind::Scale(scale, number(text, LoadNumber::Shown)?));
            }
            RigKind::Gauge(gauge) => {
                return of_kind(LoadKind::Gauge(gauge, number(text, LoadNumber::Shown)?));
            }
            RigKind::Lever(lever) => lever,
        };
        let mut masses = Vec::new();
        for word in text.split('+') {
            let (mass, arm) = match word.split_once('@') {
                Some((mass, arm)) => (mass, Some(arm)),
                None => (word, None),
            };
            let mass_g = number(mass, LoadNumber::Mass)?;
            let arm_mm = arm.map(|arm| number(arm, LoadNumber::Arm)).transpose()?;
            if mass_g > MOST || arm_mm.is_some_and(|arm| arm == 0.0 || arm > MOST) {
                return Err(E::from(self.invalid_load(text)));
            }
            if mass_g > 0.0 {
                masses.push(HungMass { mass_g, arm_mm });
            }
        }
        let fail = |help: &'static str| Err(E::from(BenchError::load(text, help)));
        if lever.leverage.pan_arm_mm().is_none() && masses.iter().any(|hung| hung.arm_mm.is_some())
        {
            return fail(
                "give pan_arm_mm in the rig, or hang it at the pan: a calibration tells of the pan alone",
            );
        }
        if masses.len() > MOST_MASSES {
            return fail("hang fewer masses, larger ones");
        }
        of_kind(LoadKind::Masses(lever, masses))
    }

    /// A text that is no load on this rig, with what to write.
    #[must_use]
    pub fn invalid_load(&self, text: &str) -> BenchError {
        let help = if self.lever().is_some() {
            "write masses in g, joined by +, each with its arm in mm after @ where it does not hang at the pan: 20+10, 20@300+5@150; 0 for the beam alone, lifted for nothing"
        } else {
            "write what the scale or gauge shows as a number of 0 or more, or lifted"
        };
        BenchError::load(text, help)
    }

    /// Masses at the pan, g; `None` of a rig without a lever.
    #[must_use]
    pub fn at_pan(&self, masses_g: &[f64]) -> Option<Load<'_>> {
        let hung = masses_g.iter().map(|mass_g| HungMass {
            mass_g: *mass_g,
            arm_mm: None,
        });
        let kind = LoadKind::Masses(self.lever()?, hung.collect());
        Some(Load { rig: self, kind })
    }

    /// A load at which its scale or gauge shows a number; `None` of a rig with a lever.
    pub(crate) fn showing(&self, shown: f64) -> Option<Load<'_>> {
        let kind = match &self.kind {
            RigKind::Lever(_) => return None,
            RigKind::Scale(scale) => LoadKind::Scale(scale, shown),
            RigKind::Gauge(gauge) => LoadKind::Gauge(gauge, shown),
        };
        Some(Load { rig: self, kind })
    }
}

impl Load<'_> {
    /// A mass that hangs, g, though the rig does not list it, or not so often; `None` of a rig that lists nothing.
    #[must_use]
    pub fn unlisted_mass_g(&self) -> Option<f64> {
        let LoadKind::Masses(lever, hung) = &self.kind else {
            return None;
        };
        if lever.masses_g.is_empty() {
            return None;
        }
        let mut left = lever.masses_g.clone();
        for one in hung {
            let listed = left
                .iter()
                .position(|mass| (mass - one.mass_g).abs() < 1e-6);
            match listed {
                Some(index) => {
                    left.swap_remove(index);
                }
                None => return Some(one.mass_g),
            }
        }
        None
    }
}
