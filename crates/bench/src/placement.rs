//! What was placed, and the force it makes at the nib.

use evenhand_measurement::ForceBudget;

use crate::budget::{Budget, Correlation, Input};
use crate::error::BenchError;
use crate::rig::{Gauge, Lever, Rig, STANDARD_GRAVITY, Scale};

/// Part of its weight that air carries of brass or steel, at most (1.2 kg/m³ against 8000 kg/m³); not corrected.
const BUOYANCY: f64 = 1.5e-4;
/// Newtons of a gram-force.
const NEWTONS_PER_GF: f64 = 9.806_65e-3;
/// More masses than this are not hung at once.
pub(crate) const MOST_MASSES: usize = 40;
/// The level of confidence of budgets.
pub(crate) const CONFIDENCE: f64 = 0.95;

/// A mass with the arm it hangs at, where that is not the pan's.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hung {
    /// Nominal mass, g.
    pub mass_g: f64,
    /// Its own arm, mm.
    pub arm_mm: Option<f64>,
}

/// What was placed.
#[derive(Clone, Debug, PartialEq)]
pub enum Placement {
    /// Nothing touches the stylus.
    Lifted,
    /// Masses on the lever; none where the beam alone presses.
    Masses(Vec<Hung>),
    /// What a scale shows, g, or a gauge, N.
    Shown(f64),
}

impl Placement {
    /// Reads `20+10`, `20@300+5@150`, `0`, `lifted`, or what a scale or gauge shows.
    ///
    /// # Errors
    /// Anything else.
    pub fn parse(text: &str, rig: &Rig) -> Result<Self, BenchError> {
        Self::of_parts(text, rig, |word, _| {
            let value = word.trim().parse::<f64>().ok();
            value.ok_or_else(|| rig.no_placement(text))
        })
    }

    /// As [`Placement::parse`], with each number read by `number`, which is told what it stands for.
    ///
    /// # Errors
    /// A number that `number` refuses, a negative or infinite one, and all else that the rig cannot take.
    pub fn of_parts<E: From<BenchError>>(
        text: &str,
        rig: &Rig,
        mut number: impl FnMut(&str, PlacedNumber) -> Result<f64, E>,
    ) -> Result<Self, E> {
        let text = text.trim();
        let fail = |help: &str| {
            E::from(BenchError::Placement {
                found: text.to_owned(),
                help: help.to_owned(),
            })
        };
        if text.to_lowercase() == "lifted" {
            return Ok(Self::Lifted);
        }
        let mut number = |word: &str, what| match number(word, what) {
            Ok(value) if value.is_finite() && value >= 0.0 => Ok(value),
            Ok(_) => Err(E::from(rig.no_placement(text))),
            Err(error) => Err(error),
        };
        let Some(lever) = &rig.lever else {
            return number(text, PlacedNumber::Shown).map(Self::Shown);
        };
        let mut masses = Vec::new();
        for word in text.split('+') {
            let (mass, arm) = match word.split_once('@') {
                Some((mass, arm)) => (mass, Some(arm)),
                None => (word, None),
            };
            let mass_g = number(mass, PlacedNumber::Mass)?;
            let arm_mm = arm.map(|arm| number(arm, PlacedNumber::Arm)).transpose()?;
            if arm_mm == Some(0.0) || mass_g > 1e5 || arm_mm.is_some_and(|arm| arm > 1e5) {
                return Err(E::from(rig.no_placement(text)));
            }
            if mass_g > 0.0 {
                masses.push(Hung { mass_g, arm_mm });
            }
        }
        if lever.pan_arm_mm.is_none() && masses.iter().any(|hung| hung.arm_mm.is_some()) {
            return Err(fail(
                "give pan_arm_mm in the rig, or hang it at the pan: a calibration tells of the pan alone",
            ));
        }
        if masses.len() > MOST_MASSES {
            return Err(fail("hang fewer masses, larger ones"));
        }
        Ok(Self::Masses(masses))
    }
}

/// What a number of a placement stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PlacedNumber {
    /// A mass, g.
    Mass,
    /// The arm of a mass, mm.
    Arm,
    /// What a scale shows, g, or a gauge, N.
    Shown,
}

impl Rig {
    /// The unit of loads: of masses and of what a scale shows `g`, of what a gauge shows `n`.
    #[must_use]
    pub const fn load_unit(&self) -> &'static str {
        if self.gauge.is_some() { "n" } else { "g" }
    }

    /// A text that is no placement on this rig, with what to write.
    #[must_use]
    pub fn no_placement(&self, text: &str) -> BenchError {
        let help = if self.lever.is_some() {
            "write masses in g, joined by +, each with its arm in mm after @ where it does not hang at the pan: 20+10, 20@300+5@150; 0 for the beam alone, lifted for nothing"
        } else {
            "write what the scale or gauge shows as a number of 0 or more, or lifted"
        };
        BenchError::Placement {
            found: text.to_owned(),
            help: help.to_owned(),
        }
    }
}

impl Rig {
    /// Force along the stylus in gf, with its budget. Lever: moments about the pivot, Σ mass·arm + beam over the
    /// arm of the nib (statics; weights pull straight down, the beam near level, where the cosine of its angle
    /// shortens all arms alike); scale and gauge: what they show. A stylus that leans takes the cosine of its
    /// tilt of a force that acts straight down.
    #[must_use]
    pub fn force(&self, placed: &Placement) -> Budget {
        match (placed, &self.lever, &self.scale, &self.gauge) {
            (Placement::Lifted, ..) => Budget::of(Vec::new(), CONFIDENCE, |_| 0.0),
            (Placement::Masses(masses), Some(lever), ..) => self.by_lever(lever, masses),
            (Placement::Shown(shown), _, Some(scale), _) => self.by_scale(scale, *shown),
            (Placement::Shown(shown), _, _, Some(gauge)) => by_gauge(gauge, *shown),
            // A placement of another kind of rig: nothing is known of it.
            _ => Budget::of(Vec::new(), CONFIDENCE, |_| f64::NAN),
        }
    }

    fn gravity(&self) -> Input {
        Input::within(
            "gravity",
            "m/s²",
            self.gravity_m_s2,
            self.gravity_within_m_s2,
            Correlation::SharedGain,
        )
    }

    fn tilt(&self) -> Input {
        Input::within(
            "tilt of the stylus",
            "°",
            self.tilt_deg,
            self.tilt_within_deg,
            Correlation::SharedGain,
        )
    }

    fn by_lever(&self, lever: &Lever, masses: &[Hung]) -> Budget {
        let mut inputs = vec![
            self.gravity(),
            self.tilt(),
            Input::within("air's lift", "part", 0.0, BUOYANCY, Correlation::SharedGain),
            Input::within(
                "friction",
                "gf",
                0.0,
                lever.friction_within_gf,
                Correlation::Independent,
            ),
        ];
        let fixed = inputs.len();
        let calibrated = lever.calibrated();
        if let Some(found) = &calibrated {
            let known = |name: &str, unit, value, standard, correlation| Input {
                name: name.to_owned(),
                unit,
                value,
                standard,
                freedom: found.freedom,
                correlation,
            };
            // About its centre of gravity slope and intercept would be independent; the covariance that is
            // left out here makes the budget no smaller for masses on one side of 0.
            inputs.push(known(
                "calibrated ratio",
                "1",
                found.line.slope,
                found.line.slope_error,
                Correlation::SharedGain,
            ));
            inputs.push(known(
                "calibrated beam",
                "g",
                found.line.intercept,
                found.line.intercept_error,
                Correlation::SharedOffset,
            ));
            inputs.push(known(
                "scatter of the calibration",
                "g",
                0.0,
                found.excess_g,
                Correlation::Independent,
            ));
            let gain = lever
                .calibration
                .as_ref()
                .map_or(0.0, |c| c.scale_within_part);
            inputs.push(Input::within(
                "gain of the scale",
                "1",
                1.0,
                gain,
                Correlation::SharedGain,
            ));
        } else {
            let nib_mm = lever.nib_arm_mm.unwrap_or(f64::NAN);
            let within = lever.nib_arm_within_mm.unwrap_or(f64::NAN);
            inputs.push(Input::within(
                "arm of the nib",
                "mm",
                nib_mm,
                within,
                Correlation::SharedGain,
            ));
            inputs.push(Input::within(
                "beam's own moment",
                "g·mm",
                lever.beam_moment_g_mm,
                lever.beam_moment_within_g_mm,
                Correlation::SharedOffset,
            ));
        }
        let arms_at = inputs.len();
        inputs.push(Input::within(
            "arms of masses",
            "mm",
            0.0,
            lever.pan_arm_within_mm.unwrap_or(0.0),
            Correlation::SharedGain,
        ));
        let first_mass = inputs.len();
        let pan_arm = lever.pan_arm_mm.unwrap_or(1.0);
        for hung in masses {
            let within = lever
                .mass_class
                .and_then(|class| class.largest_error_g(hung.mass_g))
                .or(lever.mass_within_g)
                .unwrap_or(0.001 * hung.mass_g);
            let name = format!("mass of {} g", hung.mass_g);
            inputs.push(Input::within(
                name,
                "g",
                hung.mass_g,
                within,
                Correlation::Independent,
            ));
            // Of a calibrated lever the pan's arm need not be known: it is the unit then.
            let arm = hung.arm_mm.unwrap_or(pan_arm);
            let name = format!("place of {} g", hung.mass_g);
            inputs.push(Input::within(
                name,
                "mm",
                arm,
                lever.hook_within_mm,
                Correlation::Independent,
            ));
        }
        Budget::of(inputs, CONFIDENCE, |x| {
            let (gravity, tilt, lift, friction) = (x[0], x[1], x[2], x[3]);
            let off = x[arms_at];
            let moment: f64 = x[first_mass..]
                .chunks(2)
                .map(|pair| pair[0] * (pair[1] + off))
                .sum();
            let grams = if calibrated.is_some() {
                // A mass elsewhere acts as one at the pan in the ratio of the arms.
                let (ratio, beam, scatter, gain) =
                    (x[fixed], x[fixed + 1], x[fixed + 2], x[fixed + 3]);
                (ratio * moment / (pan_arm + off) + beam + scatter) * gain
            } else {
                (moment + x[fixed + 1]) / x[fixed]
            };
            let down = grams * (gravity / STANDARD_GRAVITY) * (1.0 - lift) + friction;
            down * tilt.to_radians().cos()
        })
    }

    fn by_scale(&self, scale: &Scale, shown: f64) -> Budget {
        let inputs = vec![
            self.gravity(),
            self.tilt(),
            Input::within(
                "gain of the scale",
                "1",
                1.0,
                scale.within_part,
                Correlation::SharedGain,
            ),
            Input::within(
                "zero of the scale",
                "g",
                0.0,
                scale.within_g,
                Correlation::SharedOffset,
            ),
            // Half a step to either side (JCGM 100, F.2.2.1).
            Input::within(
                "step of the scale",
                "g",
                shown,
                scale.step_g / 2.0,
                Correlation::Independent,
            ),
        ];
        Budget::of(inputs, CONFIDENCE, |x| {
            (x[2] * x[4] + x[3]) * x[0] / STANDARD_GRAVITY * x[1].to_radians().cos()
        })
    }
}

fn by_gauge(gauge: &Gauge, shown: f64) -> Budget {
    let inputs = vec![
        Input::within(
            "gain of the gauge",
            "1",
            1.0,
            gauge.within_part,
            Correlation::SharedGain,
        ),
        Input::within(
            "zero of the gauge",
            "N",
            0.0,
            gauge.within_n,
            Correlation::SharedOffset,
        ),
        Input::within(
            "step of the gauge",
            "N",
            shown,
            gauge.step_n / 2.0,
            Correlation::Independent,
        ),
    ];
    Budget::of(inputs, CONFIDENCE, |x| {
        (x[0] * x[2] + x[1]) / NEWTONS_PER_GF
    })
}

/// What budgets of single forces say of a whole measurement: the largest common gain and offset, and a scatter
/// of each force that is nowhere smaller than its budget.
#[must_use]
pub fn force_budget(budgets: &[Budget]) -> ForceBudget {
    let placed = || budgets.iter().filter(|b| b.value > 0.0);
    let largest = placed().map(|b| b.value).fold(0.0, f64::max);
    // Gains show best where the force is large; near 0 they drown in rounding.
    let gain = placed()
        .filter(|b| b.value >= 0.1 * largest)
        .map(|b| b.standard_of(Correlation::SharedGain) / b.value)
        .fold(0.0, f64::max);
    let offset_gf = placed()
        .map(|b| b.standard_of(Correlation::SharedOffset))
        .fold(0.0, f64::max);
    let each = |b: &Budget| b.standard_of(Correlation::Independent);
    let scatter_gf = placed().map(each).fold(f64::INFINITY, f64::min);
    let scatter_gf = if scatter_gf.is_finite() {
        scatter_gf
    } else {
        0.0
    };
    let scatter_part = placed()
        .map(|b| (each(b).powi(2) - scatter_gf.powi(2)).max(0.0).sqrt() / b.value)
        .fold(0.0, f64::max);
    ForceBudget {
        gain,
        offset_gf,
        scatter_gf,
        scatter_part,
    }
}
