//! `evenhand bench plan`.

use std::fmt::Write as _;

use evenhand_bench::{Aim, PlanSettings, Reachable, Step, Wish, next_force, reachable};
use evenhand_fitting::fit;
use evenhand_workflow::{count, gf, percent, rig};
use serde::Serialize;

use crate::args::PlanArgs;
use crate::failure::{CANNOT, Failure};
use crate::input;
use crate::json::pretty;
use crate::output::Output;

/// What is said before the first weight, and again near the limit.
pub(crate) const BEFORE: &str = "before the first weight: loose weights fall, so guard the lever and your feet; do not load past the maker's limit for nib or glass";
/// From this part of the limit on a force is near to it.
pub(crate) const NEAR: f64 = 0.8;
/// From here on, in gf, only the maker's word counts.
const KILOGRAM_FORCE: f64 = 1000.0;

#[derive(Serialize)]
struct PlanJson {
    /// `place`, `reached`, `limit`, `bench-too-coarse` or `no-forces`.
    step: &'static str,
    force_gf: Option<f64>,
    /// Masses to hang, as a placement is written.
    placed: Option<String>,
    aim: Option<&'static str>,
    /// Readings left, this one counted; null where that is not foretold.
    remaining: Option<usize>,
    limit_gf: f64,
    reason: String,
    cautions: Vec<String>,
}

/// Says what to place next; ends with 1 where the wish cannot be had.
pub(crate) fn run(args: &PlanArgs, output: &Output) -> Result<u8, Failure> {
    let limit = args.limit.gf();
    let wide = |force: f64| force.is_finite() && force > 0.0;
    if !wide(limit) || !wide(args.onset_within.gf()) {
        return Err(Failure::bad_input(
            "limits and wishes must be above 0",
            "write forces such as --limit 1000gf --onset-within 3gf",
        ));
    }
    let read = match &args.measurement {
        Some(path) => Some(input::measurement(path, &args.read)?),
        None => None,
    };
    let forces: Vec<Reachable> = match &args.rig {
        Some(path) => {
            let rig = rig(path)?;
            let found = reachable(&rig, limit);
            if found.is_empty() {
                return Err(Failure::bad_input(
                    format!(
                        "{}: no masses at hand make a force up to {}",
                        path.display(),
                        gf(limit)
                    ),
                    "list masses_g under [lever], or leave --rig away for whole gf",
                ));
            }
            found
        }
        None => whole_gf(limit),
    };
    let settings = PlanSettings {
        limit_gf: limit,
        wish: Wish {
            onset_gf: args.onset_within.gf(),
            saturation_part: args.saturation_within,
            curve: args.curve_within,
        },
    };
    let measurement = read.as_ref().map(|read| &read.measurement);
    let fitted = measurement.and_then(|m| fit(m, &input::settings(&args.intervals)).ok());
    let candidates: Vec<f64> = forces.iter().map(|one| one.force_gf).collect();
    let step = next_force(measurement, fitted.as_ref(), &candidates, &settings);
    let told = told(&step, &forces, args, measurement.is_none());
    if output.json {
        output.data(&pretty(&told))?;
    } else {
        let mut text = format!("{}\n", told.reason);
        for caution in &told.cautions {
            let _ = writeln!(text, "  {caution}");
        }
        output.people(&text)?;
    }
    Ok(match step {
        Step::Place { .. } | Step::Reached => 0,
        Step::Limit | Step::BenchTooCoarse { .. } | Step::NoForces => CANNOT,
    })
}

/// Whole gf up to the limit, and no more than any bench needs.
pub(crate) fn whole_gf(limit: f64) -> Vec<Reachable> {
    const MOST: f64 = 20_000.0;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "above 0 and limited"
    )]
    let last = limit.min(MOST) as u32;
    (0..=last)
        .map(|force| Reachable {
            force_gf: f64::from(force),
            masses_g: Vec::new(),
        })
        .collect()
}

fn told(step: &Step, forces: &[Reachable], args: &PlanArgs, is_first: bool) -> PlanJson {
    let limit_gf = args.limit.gf();
    let mut found = PlanJson {
        step: "place",
        force_gf: None,
        placed: None,
        aim: None,
        remaining: None,
        limit_gf,
        reason: String::new(),
        cautions: Vec::new(),
    };
    if is_first {
        found.cautions.push(BEFORE.to_owned());
    }
    if limit_gf > KILOGRAM_FORCE {
        found.cautions.push(
            "the limit is beyond 1 kgf (9.8 N): go there only where the maker of the stylus and of the tablet allows it".to_owned(),
        );
    }
    match step {
        Step::Place {
            force_gf,
            aim,
            remaining,
        } => {
            let masses = forces
                .iter()
                .find(|one| one.force_gf.total_cmp(force_gf).is_eq())
                .filter(|_| args.rig.is_some());
            let hang =
                masses.map_or_else(String::new, |one| format!(" (hang {} g)", one.written()));
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
            found.reason = format!("place {}{hang}: {why}{left}", gf(*force_gf));
            if *force_gf >= NEAR * limit_gf {
                found.cautions.push(format!(
                    "this is near the limit of {}: stop if anything bends, creaks or slips",
                    gf(limit_gf)
                ));
            }
            found.force_gf = Some(*force_gf);
            found.placed = masses.map(Reachable::written);
            found.aim = Some(aim.as_str());
            found.remaining = *remaining;
        }
        Step::Reached => {
            found.step = "reached";
            found.reason = format!(
                "stop: onset within {}, saturation within {} % and curve within {} % are reached",
                gf(args.onset_within.gf()),
                percent(args.saturation_within),
                percent(args.curve_within)
            );
        }
        Step::Limit => {
            found.step = "limit";
            found.reason = format!(
                "stop: the stylus is not full at the largest force that can be placed up to the limit of {}; more is not proposed, so its saturation stays open",
                gf(limit_gf)
            );
        }
        Step::BenchTooCoarse { aim } => {
            found.step = "bench-too-coarse";
            found.aim = Some(aim.as_str());
            found.reason = format!(
                "stop: the wish for the {} is finer than what all forces of this bench share (arms, gravity, calibration); no reading can narrow that",
                aim.as_str()
            );
        }
        Step::NoForces => {
            found.step = "no-forces";
            found.reason = "there is no force to choose from below full scale".to_owned();
        }
    }
    found
}
