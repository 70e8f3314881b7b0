//! Which force to place next.
//!
//! First a coarse ladder up to full scale: each rung 2.4 times the one before, beyond 1 kgf 1.25 times, so that a
//! stylus of unknown range is never pressed much harder than it needs. Then, among the forces that can be placed, the one
//! whose reading is foretold to shrink the widest interval most: resamples of the fit give the joint covariance
//! of onset, saturation, curve and the readings to come, and a reading with its scatter takes from a figure's
//! variance cov²/(var + σ²), as conditioning a normal distribution does (any text on linear filtering).

use evenhand_fitting::{BENCH_GAIN, Fit};
use evenhand_measurement::{Force, ForceBudget, Measurement};
use nalgebra::DMatrix;
use statrs::distribution::{ContinuousCDF as _, Normal};

/// A rung of the ladder over the one before.
const RUNG: f64 = 2.4;
/// From this force on rungs are shorter, gf: common practice, no source.
const CAREFUL_GF: f64 = 1000.0;
/// Such a rung over the one before.
const CAREFUL_RUNG: f64 = 1.25;
/// A rung this many times as large as it should be is a leap.
const LEAP: f64 = 2.0;
/// The last rung is at least this much more than the one before.
const MORE: f64 = 1.01;
/// A force this little below a rung, part of it, is that rung: masses know nothing of whole gf.
const AS_NEAR: f64 = 1e-4;
/// The first force above 0, gf.
const FIRST_GF: f64 = 5.0;
/// Readings this near to full scale end the ladder.
const FULL: f64 = 1.0 - 1e-3;
/// Scatter of readings and of placed forces where nothing better is known (as the fit assumes).
const READING: f64 = 0.004;
const PLACED: ForceBudget = ForceBudget {
    gain: BENCH_GAIN,
    offset_gf: 0.0,
    scatter_gf: 0.4,
    scatter_part: 0.002,
};
/// Where the curve is looked at besides its ends, parts of the span.
const CURVE: [f64; 7] = [0.05, 0.15, 0.3, 0.45, 0.6, 0.75, 0.9];
/// More readings than this are not foretold.
const MOST_FORETOLD: usize = 100;
/// Most forces that are weighed against each other.
const MOST_CANDIDATES: usize = 240;

/// Half widths of intervals to reach.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PrecisionGoal {
    /// Of the onset force, gf.
    pub onset_gf: f64,
    /// Of the saturation force, part of it.
    pub saturation_part: f64,
    /// Of the reading anywhere on the curve, 0..1.
    pub curve: f64,
}

impl Default for PrecisionGoal {
    /// 3 gf, 1.5 % and 1.5 %: what a careful bench of common parts reaches in some twenty readings.
    fn default() -> Self {
        Self {
            onset_gf: 3.0,
            saturation_part: 0.015,
            curve: 0.015,
        }
    }
}

/// How forces are planned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PlanSettings {
    /// Never more than this, gf.
    pub limit_gf: f64,
    /// What has to be reached.
    pub goal: PrecisionGoal,
}

/// What a force is placed for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Objective {
    /// To find where the stylus responds and where it ends.
    Ladder,
    /// To narrow the onset.
    Onset,
    /// To narrow the saturation.
    Saturation,
    /// To narrow the curve between.
    Curve,
}

impl Objective {
    /// The word.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Ladder => "ladder",
            Self::Onset => "onset",
            Self::Saturation => "saturation",
            Self::Curve => "curve",
        }
    }
}

/// What to do next.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Step {
    /// Place a force.
    Place {
        /// The force, gf: one of the candidates.
        force_gf: f64,
        /// What for.
        objective: Objective,
        /// Readings that are foretold to reach the goal, this one counted; `None` where too many are, or
        /// where nothing can be foretold yet.
        remaining: Option<usize>,
        /// Where the ladder takes far more than a rung, as nothing between can be made: from where, gf.
        large_step_from_gf: Option<f64>,
    },
    /// The goal is reached.
    Reached,
    /// Full scale was not seen up to the limit; more force is not proposed.
    Limit {
        /// The largest force to choose from, gf.
        largest_gf: f64,
    },
    /// What all forces of the bench share is wider than the goal; no reading can narrow it.
    BenchTooCoarse {
        /// The figure that cannot be had.
        objective: Objective,
    },
    /// There is nothing to choose from.
    NoForces,
}

/// The next of the forces in `candidates` (gf), given what has been measured and its fit, where there is one.
#[must_use]
pub fn next_force(
    measurement: Option<&Measurement>,
    fit: Option<&Fit>,
    candidates: &[f64],
    settings: &PlanSettings,
) -> Step {
    let mut forces: Vec<f64> = candidates
        .iter()
        .copied()
        .filter(|force| (0.0..=settings.limit_gf).contains(force))
        .collect();
    forces.sort_by(f64::total_cmp);
    forces.dedup();
    if forces.is_empty() {
        return Step::NoForces;
    }
    let samples = measurement.map_or(&[][..], |m| &m.samples);
    let highest = samples.iter().map(|s| s.reading).fold(0.0, f64::max);
    let last = samples.iter().map(|s| s.force.gf()).fold(-1.0, f64::max);
    if highest < FULL {
        return match rung(&forces, last) {
            Some(force_gf) => Step::Place {
                force_gf,
                objective: Objective::Ladder,
                remaining: None,
                large_step_from_gf: (force_gf > LEAP * wanted(last)).then_some(last.max(0.0)),
            },
            None => Step::Limit { largest_gf: last },
        };
    }
    let Some(fit) = fit else {
        // Full scale at a few forces and no fit: what lies between them is missing.
        let least_full = samples
            .iter()
            .filter(|s| s.reading >= FULL)
            .map(|s| s.force.gf())
            .fold(f64::INFINITY, f64::min);
        let below = forces.iter().rfind(|force| **force < 0.6 * least_full);
        return below.map_or(Step::NoForces, |force| Step::Place {
            force_gf: *force,
            objective: Objective::Ladder,
            remaining: None,
            large_step_from_gf: None,
        });
    };
    let budget = measurement.and_then(|m| m.bench.budget).unwrap_or(PLACED);
    adaptive(fit, &forces, &budget, settings)
}

/// The next rung of the ladder after the largest force that was placed.
fn wanted(last: f64) -> f64 {
    // Nothing placed reads nothing: the ladder begins above 0.
    let wide = FIRST_GF.max(RUNG * last);
    // Few styluses and hands go there, and makers' limits lie near: one goes carefully.
    if wide > CAREFUL_GF {
        CAREFUL_GF.max(CAREFUL_RUNG * last)
    } else {
        wide
    }
}

/// The first force that is not below the next rung.
fn rung(forces: &[f64], last: f64) -> Option<f64> {
    let wanted = wanted(last);
    forces
        .iter()
        .copied()
        .find(|force| *force >= (1.0 - AS_NEAR) * wanted)
        .or_else(|| {
            let largest = forces.last().copied();
            largest.filter(|force| *force > MORE * last)
        })
}

/// A figure with its goal.
struct Target {
    objective: Objective,
    /// Variance that all forces of the bench share.
    shared: f64,
    goal: f64,
}

fn adaptive(fit: &Fit, forces: &[f64], budget: &ForceBudget, settings: &PlanSettings) -> Step {
    let Some(saturation) = fit.saturation.estimate().map(Force::gf) else {
        return Step::Limit {
            largest_gf: forces.last().copied().unwrap_or(0.0),
        };
    };
    let z = Normal::standard().inverse_cdf(0.5 + fit.settings.confidence / 2.0);
    // Well beyond saturation a reading says nothing.
    let top = 1.2 * saturation;
    let mut candidates: Vec<f64> = forces.iter().copied().filter(|f| *f <= top).collect();
    if candidates.len() > MOST_CANDIDATES {
        let step = candidates.len().div_ceil(MOST_CANDIDATES);
        candidates = candidates.into_iter().step_by(step).collect();
    }
    if candidates.is_empty() {
        return Step::NoForces;
    }
    let along: Vec<f64> = CURVE
        .iter()
        .map(|part| {
            let onset = fit.onset.estimate.gf();
            onset + part * (saturation - onset)
        })
        .collect();
    let asked: Vec<Force> = along
        .iter()
        .chain(&candidates)
        .map(|force| Force::from_gf(*force))
        .collect();
    let slope = |force: f64| {
        let step = 0.01 * saturation;
        let at = |force: f64| fit.response.reading(Force::from_gf(force.max(0.0)));
        (at(force + step) - at(force - step)) / (2.0 * step)
    };
    let shared = |force: f64| (budget.gain * force).hypot(budget.offset_gf);
    let mut targets = vec![
        Target {
            objective: Objective::Onset,
            shared: shared(fit.onset.estimate.gf()).powi(2),
            goal: settings.goal.onset_gf,
        },
        Target {
            objective: Objective::Saturation,
            shared: shared(saturation).powi(2),
            goal: settings.goal.saturation_part * saturation,
        },
    ];
    targets.extend(along.iter().map(|force| Target {
        objective: Objective::Curve,
        shared: (slope(*force) * shared(*force)).powi(2),
        goal: settings.goal.curve,
    }));
    for target in &targets {
        if z * target.shared.sqrt() >= target.goal {
            return Step::BenchTooCoarse {
                objective: target.objective,
            };
        }
    }
    let mut covariance = covariance(fit, &asked);
    let noise: Vec<f64> = candidates
        .iter()
        .map(|force| {
            let placed = budget.scatter_gf.hypot(budget.scatter_part * force);
            let reading = READING.max(fit.residual_rms);
            reading.powi(2) + (slope(*force) * placed).powi(2)
        })
        .collect();
    let first = targets.len();
    let ratio = |covariance: &DMatrix<f64>, index: usize| {
        let target = &targets[index];
        z * (covariance[(index, index)] + target.shared).sqrt() / target.goal
    };
    let mut chosen: Option<(f64, Objective)> = None;
    for count in 0..MOST_FORETOLD {
        let worst =
            (0..first).max_by(|a, b| ratio(&covariance, *a).total_cmp(&ratio(&covariance, *b)));
        let Some(worst) = worst.filter(|index| ratio(&covariance, *index) > 1.0) else {
            return chosen.map_or(Step::Reached, |(force_gf, objective)| Step::Place {
                force_gf,
                objective,
                remaining: Some(count),
                large_step_from_gf: None,
            });
        };
        // What all figures that are still too wide would gain, each by how far it is from its goal.
        let gain = |place: usize| -> f64 {
            let column = first + place;
            let spread = covariance[(column, column)] + noise[place];
            (0..first)
                .filter(|index| ratio(&covariance, *index) > 1.0)
                .map(|index| {
                    let taken = covariance[(index, column)].powi(2) / spread;
                    taken * (z / targets[index].goal).powi(2)
                })
                .sum()
        };
        let place = (0..candidates.len())
            .max_by(|a, b| gain(*a).total_cmp(&gain(*b)))
            .unwrap_or(0);
        chosen.get_or_insert((candidates[place], targets[worst].objective));
        let column = first + place;
        let spread = covariance[(column, column)] + noise[place];
        let taken = covariance.column(column).into_owned();
        covariance -= &taken * taken.transpose() / spread;
    }
    chosen.map_or(Step::NoForces, |(force_gf, objective)| Step::Place {
        force_gf,
        objective,
        remaining: None,
        large_step_from_gf: None,
    })
}

/// Covariance of onset, saturation and the readings at forces over the resamples of a fit.
fn covariance(fit: &Fit, forces: &[Force]) -> DMatrix<f64> {
    let draws = fit.draws(forces);
    let size = forces.len() + 2;
    let mut rows = DMatrix::zeros(draws.len(), size);
    for (index, draw) in draws.iter().enumerate() {
        rows[(index, 0)] = draw.onset.gf();
        rows[(index, 1)] = draw.saturation.map_or(0.0, Force::gf);
        for (place, reading) in draw.readings.iter().enumerate() {
            rows[(index, place + 2)] = *reading;
        }
    }
    let count = draws.len().max(2) as f64;
    for mut column in rows.column_iter_mut() {
        let mean = column.sum() / count;
        column.add_scalar_mut(-mean);
    }
    rows.tr_mul(&rows) / (count - 1.0)
}
