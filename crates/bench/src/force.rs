//! The force that a load makes at the nib, with its uncertainty budget.

use crate::budget::{Budget, Correlation, Input, InputKey, Inputs, Values};
use crate::lever::{Lever, Leverage};
use crate::load::{HungMass, Load, LoadKind};
use crate::rig::{Gauge, Rig, Scale};

/// Acceleration by which a gram-force is defined, m/s² (3rd CGPM, 1901).
const STANDARD_GRAVITY: f64 = 9.806_65;
/// Newtons of a gram-force.
const NEWTONS_PER_GF: f64 = 9.806_65e-3;
/// Fraction of its weight that air carries of brass or steel, at most (1.2 kg/m³ against 8000 kg/m³); not corrected.
const BUOYANCY: f64 = 1.5e-4;
/// The level of confidence of budgets.
const CONFIDENCE: f64 = 0.95;

impl Load<'_> {
    /// Force along the stylus in gf, with its budget. Lever: moments about the pivot, Σ mass·arm + beam over the
    /// arm of the nib (statics; weights pull straight down, the beam near level, where the cosine of its angle
    /// shortens all arms alike); scale and gauge: what they show. A stylus that leans takes the cosine of its
    /// tilt of a force that acts straight down.
    #[must_use]
    pub fn force(&self) -> Budget {
        match &self.kind {
            LoadKind::Lifted => Budget::of(Inputs::default(), CONFIDENCE, |_| 0.0),
            LoadKind::Masses(lever, masses) => by_lever(self.rig, lever, masses),
            LoadKind::Scale(scale, shown_g) => by_scale(self.rig, scale, *shown_g),
            LoadKind::Gauge(gauge, shown_n) => by_gauge(gauge, *shown_n),
        }
    }
}

/// Gravity and tilt, which a force that acts straight down depends on.
fn gravity_and_tilt(rig: &Rig, inputs: &mut Inputs) -> (InputKey, InputKey) {
    let gravity = inputs.shared_gain("gravity", "m/s²", rig.gravity_m_s2, rig.gravity_within_m_s2);
    let tilt = inputs.shared_gain("tilt of the stylus", "°", rig.tilt_deg, rig.tilt_within_deg);
    (gravity, tilt)
}

/// Grams at the nib for the moment of masses about the pivot, g·mm, and what all their arms are off by, mm.
type GramsAtNib = Box<dyn Fn(&Values, f64, f64) -> f64>;

fn by_lever(rig: &Rig, lever: &Lever, masses: &[HungMass]) -> Budget {
    let mut inputs = Inputs::default();
    let (gravity, tilt) = gravity_and_tilt(rig, &mut inputs);
    let lift = inputs.shared_gain("air's lift", "part", 0.0, BUOYANCY);
    let friction = inputs.independent("friction", "gf", 0.0, lever.friction_within_gf);
    // Of a calibrated lever the pan's arm need not be known: it is the unit then.
    let pan_arm = lever.leverage.pan_arm_mm().unwrap_or(1.0);
    let grams_at_nib = grams_at_nib(&lever.leverage, pan_arm, &mut inputs);
    let arms_off = inputs.shared_gain(
        "arms of masses",
        "mm",
        0.0,
        lever.leverage.pan_arm_within_mm(),
    );
    let hung: Vec<(InputKey, InputKey)> = masses
        .iter()
        .map(|hung| {
            let mass = inputs.independent(
                &format!("mass of {} g", hung.mass_g),
                "g",
                hung.mass_g,
                lever.mass_limit.of(hung.mass_g),
            );
            let arm = inputs.independent(
                &format!("place of {} g", hung.mass_g),
                "mm",
                hung.arm_mm.unwrap_or(pan_arm),
                lever.hook_within_mm,
            );
            (mass, arm)
        })
        .collect();
    Budget::of(inputs, CONFIDENCE, |x| {
        let off = x[arms_off];
        let moment: f64 = hung
            .iter()
            .map(|(mass, arm)| x[*mass] * (x[*arm] + off))
            .sum();
        let grams = grams_at_nib(x, moment, off);
        let down = grams * (x[gravity] / STANDARD_GRAVITY) * (1.0 - x[lift]) + x[friction];
        down * x[tilt].to_radians().cos()
    })
}

fn grams_at_nib(leverage: &Leverage, pan_arm: f64, inputs: &mut Inputs) -> GramsAtNib {
    match leverage {
        Leverage::Measured {
            arms,
            beam_moment_g_mm,
            beam_moment_within_g_mm,
        } => {
            let nib = inputs.shared_gain("arm of the nib", "mm", arms.nib_mm, arms.nib_within_mm);
            let beam = inputs.shared_offset(
                "beam's own moment",
                "g·mm",
                *beam_moment_g_mm,
                *beam_moment_within_g_mm,
            );
            Box::new(move |x, moment, _| (moment + x[beam]) / x[nib])
        }
        Leverage::Calibrated { calibration, .. } => {
            let mut fitted = |name: &str, unit, value, standard, correlation| {
                inputs.add(Input {
                    name: name.to_owned(),
                    unit,
                    value,
                    standard,
                    freedom: calibration.uncertainty_freedom(),
                    estimate: Some("pairs of the calibration"),
                    correlation,
                })
            };
            let line = &calibration.line;
            // About its centre of gravity slope and intercept would be independent; the covariance that is
            // left out here makes the budget no smaller for masses on one side of 0.
            let ratio = fitted(
                "calibrated ratio",
                "1",
                line.slope,
                line.slope_error,
                Correlation::SharedGain,
            );
            let beam = fitted(
                "calibrated beam",
                "g",
                line.intercept,
                line.intercept_error,
                Correlation::SharedOffset,
            );
            let scatter = fitted(
                "scatter of the calibration",
                "g",
                0.0,
                calibration.excess_g,
                Correlation::Independent,
            );
            let gain =
                inputs.shared_gain("gain of the scale", "1", 1.0, calibration.scale_within_part);
            // A mass elsewhere acts as one at the pan in the ratio of the arms.
            Box::new(move |x, moment, off| {
                (x[ratio] * moment / (pan_arm + off) + x[beam] + x[scatter]) * x[gain]
            })
        }
    }
}

fn by_scale(rig: &Rig, scale: &Scale, shown_g: f64) -> Budget {
    let mut inputs = Inputs::default();
    let (gravity, tilt) = gravity_and_tilt(rig, &mut inputs);
    let gain = inputs.shared_gain("gain of the scale", "1", 1.0, scale.within_part);
    let zero = inputs.shared_offset("zero of the scale", "g", 0.0, scale.within_g);
    // Half a step to either side (JCGM 100, F.2.2.1).
    let shown = inputs.independent("step of the scale", "g", shown_g, scale.step_g / 2.0);
    Budget::of(inputs, CONFIDENCE, |x| {
        let grams = x[gain] * x[shown] + x[zero];
        grams * x[gravity] / STANDARD_GRAVITY * x[tilt].to_radians().cos()
    })
}

fn by_gauge(gauge: &Gauge, shown_n: f64) -> Budget {
    let mut inputs = Inputs::default();
    let gain = inputs.shared_gain("gain of the gauge", "1", 1.0, gauge.within_part);
    let zero = inputs.shared_offset("zero of the gauge", "N", 0.0, gauge.within_n);
    let shown = inputs.independent("step of the gauge", "N", shown_n, gauge.step_n / 2.0);
    Budget::of(inputs, CONFIDENCE, |x| {
        (x[gain] * x[shown] + x[zero]) / NEWTONS_PER_GF
    })
}
