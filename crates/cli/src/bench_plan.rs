//! `evenhand bench plan`.

use std::fmt::Write as _;

use evenhand_bench::{
    AvailableForce, BEFORE_WEIGHTS, LoadRecipe, PlanSettings, PrecisionGoal, Rig, Step,
    large_limit, making, next_force, placeable, step_caution, step_in_words,
};
use evenhand_fitting::fit;
use evenhand_text::gf;
use evenhand_workflow::{CANNOT, Failure};
use serde::Serialize;

use crate::args::PlanArgs;
use crate::input;
use crate::json::pretty;
use crate::output::Output;

#[derive(Serialize)]
struct Plan {
    /// `apply`, `enough`, `limit`, `bench-limit` or `no-forces`.
    step: &'static str,
    force_gf: Option<f64>,
    /// Masses to hang, or what the scale or gauge should show, as the column `placed` has it.
    load: Option<String>,
    aim: Option<&'static str>,
    /// Readings left, this one counted; null where that is not predicted.
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
    let rig = args.rig.as_deref().map(Rig::read).transpose()?;
    let forces = placeable(rig.as_ref(), limit)?;
    let settings = PlanSettings {
        limit_gf: limit,
        goal: PrecisionGoal {
            onset_gf: args.onset_within.gf(),
            saturation_part: args.saturation_within.value(),
            curve: args.curve_within.value(),
        },
    };
    let measurement = read.as_ref().map(|read| &read.measurement);
    let fitted = measurement.and_then(|m| fit(m, &input::settings(&args.intervals)).ok());
    let candidates: Vec<f64> = forces.iter().map(|one| one.force_gf).collect();
    let step = next_force(measurement, fitted.as_ref(), &candidates, &settings);
    let mut object = object(&step, &forces, &settings, measurement.is_none());
    let notes = rig.iter().flat_map(Rig::notes);
    object.cautions.extend(notes.map(|note| note.to_string()));
    if output.json {
        output.data(&pretty(&object))?;
    } else {
        let mut text = format!("{}\n", object.reason);
        for caution in &object.cautions {
            let _ = writeln!(text, "  {caution}");
        }
        output.people(&text)?;
    }
    Ok(match step {
        Step::Place { .. } | Step::Reached => 0,
        Step::Limit { .. } | Step::BenchTooCoarse { .. } | Step::NoForces => CANNOT,
    })
}

fn object(step: &Step, forces: &[AvailableForce], settings: &PlanSettings, is_first: bool) -> Plan {
    let limit_gf = settings.limit_gf;
    let mut cautions = Vec::new();
    if is_first {
        cautions.push(BEFORE_WEIGHTS.to_owned());
    }
    cautions.extend(large_limit(limit_gf).map(str::to_owned));
    let mut found = Plan {
        step: "apply",
        force_gf: None,
        load: None,
        aim: None,
        remaining: None,
        limit_gf,
        reason: step_in_words(step, settings, forces),
        cautions,
    };
    match step {
        Step::Place {
            force_gf,
            objective,
            remaining,
            ..
        } => {
            let making = making(*force_gf, forces);
            let how = making
                .and_then(LoadRecipe::in_words)
                .map_or_else(String::new, |words| format!(" ({words})"));
            found.reason = format!("place {}{how}: {}", gf(*force_gf), found.reason);
            found.cautions.extend(step_caution(step, limit_gf));
            found.force_gf = Some(*force_gf);
            found.load = making.and_then(LoadRecipe::written);
            found.aim = Some(objective.as_str());
            found.remaining = *remaining;
        }
        Step::Reached => found.step = "enough",
        Step::Limit { .. } => found.step = "limit",
        Step::BenchTooCoarse { objective } => {
            found.step = "bench-limit";
            found.aim = Some(objective.as_str());
        }
        Step::NoForces => found.step = "no-forces",
    }
    found
}
