//! The next force in words.

use evenhand_bench::{Aim, PlanSettings, Reachable, Step};

use crate::sentences::{count, gf, percent};

/// What a step is taken for, or why no further one is.
#[must_use]
pub fn step_in_words(step: &Step, settings: &PlanSettings) -> String {
    let wish = &settings.wish;
    match step {
        Step::Place { aim, remaining, .. } => {
            let why = match aim {
                Aim::Ladder => "to find where the stylus responds and where it is full",
                Aim::Onset => "its reading narrows the onset most",
                Aim::Saturation => "its reading narrows the saturation most",
                Aim::Curve => "its reading narrows the curve most",
            };
            let left = match (remaining, aim) {
                (Some(left), _) => format!(
                    "; about {} left for what is wished",
                    count(*left, "reading")
                ),
                (None, Aim::Ladder) => String::new(),
                (None, _) => "; more than 100 readings are left for what is wished".to_owned(),
            };
            format!("{why}{left}")
        }
        Step::Reached => format!(
            "stop: onset within {}, saturation within {} % and curve within {} % are reached",
            gf(wish.onset_gf),
            percent(wish.saturation_part),
            percent(wish.curve)
        ),
        Step::Limit => format!(
            "stop: the stylus is not full at the largest force that can be placed up to the limit of {}; more is not proposed, so its saturation stays open",
            gf(settings.limit_gf)
        ),
        Step::BenchTooCoarse { aim } => format!(
            "stop: the wish for the {} is finer than what all forces of this bench share (arms, gravity, calibration); no reading can narrow that",
            aim.as_str()
        ),
        Step::NoForces => "there is no force to choose from below full scale".to_owned(),
    }
}

/// What makes a force, among those that can be made.
#[must_use]
pub fn making(force_gf: f64, forces: &[Reachable]) -> Option<&Reachable> {
    forces
        .iter()
        .find(|one| (one.force_gf - force_gf).abs() < 1e-9)
}
