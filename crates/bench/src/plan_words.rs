//! The next force in words.

use evenhand_text::{count, gf, percent};
use thiserror::Error;

use crate::available::{AvailableForce, LoadRecipe, available_forces};
use crate::plan::{Objective, PlanSettings, Step};
use crate::rig::Rig;

/// Why a bench makes no force within a limit.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum NoForce {
    /// A lever without masses.
    #[error("the bench {bench} lists no masses, so nothing can be hung")]
    NoMasses {
        /// Its name.
        bench: String,
    },
    /// A lever whose beam alone is too heavy.
    #[error(
        "the beam of the bench {bench} alone presses with {}, more than the limit of {}",
        gf(*beam_gf),
        gf(*limit_gf)
    )]
    HeavyBeam {
        /// Its name.
        bench: String,
        /// The force of the beam, gf.
        beam_gf: f64,
        /// The limit, gf.
        limit_gf: f64,
    },
    /// A lever whose masses are too large, or press the other way.
    #[error("no mass of the bench {bench} makes a force above 0 and up to {}", gf(*limit_gf))]
    LargeMasses {
        /// Its name.
        bench: String,
        /// The limit, gf.
        limit_gf: f64,
    },
    /// A limit below all that can be set.
    #[error("no force can be set up to {}", gf(*limit_gf))]
    SmallLimit {
        /// The limit, gf.
        limit_gf: f64,
    },
}

impl NoForce {
    /// What to do about it.
    #[must_use]
    pub const fn help(&self) -> &'static str {
        match self {
            Self::NoMasses { .. } => {
                "list them under [lever], such as masses_g = [5, 10, 20, 20, 50]"
            }
            Self::HeavyBeam { .. } => "balance it, or see beam_moment_g_mm and the calibration",
            Self::LargeMasses { .. } => {
                "list smaller masses under [lever], and see the beam's moment"
            }
            Self::SmallLimit { .. } => "give a larger limit",
        }
    }
}

/// The forces that a bench can make up to a limit, or whole gf where none is given.
///
/// # Errors
/// A bench that makes no force above 0.
pub fn placeable(rig: Option<&Rig>, limit_gf: f64) -> Result<Vec<AvailableForce>, NoForce> {
    let found = available_forces(rig, limit_gf);
    if found.iter().any(|one| one.force_gf > 0.0) {
        return Ok(found);
    }
    let lever = rig.and_then(|rig| Some((rig, rig.lever()?)));
    let Some((rig, lever)) = lever else {
        return Err(NoForce::SmallLimit { limit_gf });
    };
    let bench = rig.name.clone();
    // The force of the lever with nothing on it.
    let beam_gf = rig.at_pan(&[]).map_or(0.0, |load| load.force().value);
    Err(if lever.masses_g.is_empty() {
        NoForce::NoMasses { bench }
    } else if beam_gf > limit_gf {
        NoForce::HeavyBeam {
            bench,
            beam_gf,
            limit_gf,
        }
    } else {
        NoForce::LargeMasses { bench, limit_gf }
    })
}

/// What a step is taken for, or why no further one is; `forces` are those it was chosen from.
#[must_use]
pub fn step_in_words(step: &Step, settings: &PlanSettings, forces: &[AvailableForce]) -> String {
    let goal = &settings.goal;
    match step {
        Step::Place {
            objective,
            remaining,
            ..
        } => {
            let why = match objective {
                Objective::Ladder => "to find where the stylus responds and where it is full",
                Objective::Onset => "its reading narrows the onset most",
                Objective::Saturation => "its reading narrows the saturation most",
                Objective::Curve => "its reading narrows the curve most",
            };
            let left = match (remaining, objective) {
                (Some(left), _) => format!(
                    "; about {} left for what is wished",
                    count(*left, "reading")
                ),
                (None, Objective::Ladder) => String::new(),
                (None, _) => "; more than 100 readings are left for what is wished".to_owned(),
            };
            format!("{why}{left}")
        }
        Step::Reached => format!(
            "stop: onset within {}, saturation within {} % and curve within {} % are reached",
            gf(goal.onset_gf),
            percent(goal.saturation_part),
            percent(goal.curve)
        ),
        Step::Limit { largest_gf } => {
            let by_masses = forces
                .last()
                .is_some_and(|one| matches!(one.recipe, LoadRecipe::Masses(_)));
            let what = if by_masses {
                "that the masses at hand make within the limit"
            } else {
                "within the limit"
            };
            format!(
                "stop: the stylus is not full at {}, the largest force {what} of {}; more is not proposed, so its saturation stays open",
                gf(*largest_gf),
                gf(settings.limit_gf)
            )
        }
        Step::BenchTooCoarse { objective } => format!(
            "stop: the wish for the {} is finer than what all forces of this bench share (arms, gravity, calibration); no reading can narrow that",
            objective.as_str()
        ),
        Step::NoForces => "there is no force to choose from below full scale".to_owned(),
    }
}

/// How a force is made, where it is one of those that can be.
#[must_use]
pub fn making(force_gf: f64, forces: &[AvailableForce]) -> Option<&LoadRecipe> {
    let found = forces
        .iter()
        .find(|one| (one.force_gf - force_gf).abs() < 1e-9);
    found.map(|one| &one.recipe)
}
