//! The next force in words.

use evenhand_bench::{
    AvailableForce, LoadRecipe, Objective, PlanSettings, Rig, Step, available_forces,
};

use crate::failure::Failure;
use crate::sentences::{count, gf, percent};

/// The forces that a bench can make up to a limit, or whole gf where none is given.
///
/// # Errors
/// A lever whose masses make no force.
pub fn placeable(rig: Option<&Rig>, limit_gf: f64) -> Result<Vec<AvailableForce>, Failure> {
    let found = available_forces(rig, limit_gf);
    if found.iter().any(|one| one.force_gf > 0.0) {
        return Ok(found);
    }
    let lever = rig.and_then(|rig| Some((&rig.name, rig.lever()?)));
    Err(match lever {
        Some((name, lever)) if lever.masses_g.is_empty() => Failure::bad_input(
            format!("the bench {name} lists no masses, so nothing can be hung"),
            "list them under [lever], such as masses_g = [5, 10, 20, 20, 50]",
        ),
        Some((name, _)) if beam_gf(rig) > limit_gf => Failure::bad_input(
            format!(
                "the beam of the bench {name} alone presses with {}, more than the limit of {}",
                gf(beam_gf(rig)),
                gf(limit_gf)
            ),
            "balance it, or see beam_moment_g_mm and the calibration",
        ),
        Some((name, _)) => Failure::bad_input(
            format!(
                "no mass of the bench {name} makes a force above 0 and up to {}",
                gf(limit_gf)
            ),
            "list smaller masses under [lever], and see the beam's moment",
        ),
        None => Failure::bad_input(
            format!("no force can be set up to {}", gf(limit_gf)),
            "give a larger limit",
        ),
    })
}

/// The force of a lever with nothing on it.
fn beam_gf(rig: Option<&Rig>) -> f64 {
    let beam = rig.and_then(|rig| rig.at_pan(&[]));
    beam.map_or(0.0, |load| load.force().value)
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
