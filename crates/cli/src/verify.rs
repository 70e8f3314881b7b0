//! `evenhand verify`.

use std::fmt::Write as _;

use evenhand_curve::{Curve as _, Point, Polyline};
use evenhand_fitting::Fit;
use evenhand_inversion::{Cause, CauseFit, Check, MapPrediction, Verdict, verify};
use evenhand_measurement::ReadingUnit;
use evenhand_workflow::{CANNOT, Failure, MapFile, recorded, saved_stage, unchanged};
use serde_json::{Value, json};

use crate::args::VerifyArgs;
use crate::input::{self, Read};
use crate::json::pretty;
use crate::output::Output;
use crate::text::{self, gf, percent};

/// Fewer checks tell causes apart badly.
const FEW: usize = 6;
/// Differences of misfit below this are weak (A. E. Raftery, Sociol. Methodol. 25, 1995, calls 6 strong
/// for such a criterion; from memory).
const STRONG: f64 = 6.0;

pub(crate) fn run(args: &VerifyArgs, output: &Output) -> Result<u8, Failure> {
    let (saved, _) = MapFile::read(&args.map)?;
    let (source, options, settings) = recorded(&args.map, &saved)?;
    let read = evenhand_workflow::measurement(&source, &options)?;
    unchanged(&args.map, &saved, &source, &read)?;
    let fit = input::fitted(&read, &settings)?;
    let checks = input::checks(&args.checks, args.levels, &args.table)?;
    let verdict = judged(&saved, &fit, &checks).map_err(|reason| {
        Failure::bad_input(
            format!("{}: {reason}", args.map.display()),
            "make the map again from its measurement with `evenhand map`",
        )
    })?;
    // What a passed check may still hint at is no cause.
    let causes: Vec<&CauseFit> = verdict
        .causes
        .iter()
        .filter(|found| !verdict.passed && found.cause != Cause::AsPredicted)
        .collect();
    let warnings = warnings(&verdict, &causes);
    if output.json {
        output.data(&pretty(&json(&verdict, &causes, &warnings)))?;
    } else {
        let name = text::name(&read.measurement, &read.source.name);
        output.people(&text_of(&verdict, &causes, &name))?;
        for warning in &warnings {
            output.warn(&format!("{}: {warning}\n", args.checks.display()));
        }
    }
    Ok(if verdict.passed { 0 } else { CANNOT })
}

fn judged(saved: &MapFile, fit: &Fit, checks: &Read) -> Result<Verdict, String> {
    let map = saved.map.stage()?;
    let before = saved_stage(saved.before.as_ref())?;
    let after = saved_stage(saved.after.as_ref())?;
    let points = saved.map.points();
    let rows = fit.curve();
    let edge = |value: fn(&evenhand_fitting::CurveRow) -> f64| {
        let points = rows
            .iter()
            .map(|row| Point::new(row.force.gf(), value(row)))
            .collect();
        Polyline::new(points).map_err(|error| error.to_string())
    };
    let (low, high) = (edge(|row| row.low)?, edge(|row| row.high)?);
    let band = |force: f64| (low.value(force), high.value(force));
    let prediction = MapPrediction {
        response: fit.response.curve(),
        band: &band,
        reading_noise: fit.residual_rms,
        output_rounding: rounding(checks),
        confidence: fit.settings.confidence,
        points: &points,
        interpolation: map.interpolation,
        exponent: saved.map.exponent,
        map: &map.curve,
        before: before.as_ref().map(|stage| &stage.curve),
        after: after.as_ref().map(|stage| &stage.curve),
    };
    let checks: Vec<Check> = checks
        .measurement
        .samples
        .iter()
        .map(|sample| Check {
            force_gf: sample.force.gf(),
            output: sample.reading,
        })
        .collect();
    Ok(verify(&prediction, &checks))
}

/// Half of the step in which outputs were written down, as far as they show it: the coarsest up to one
/// percent that holds all of them between nothing and full.
fn rounding(checks: &Read) -> f64 {
    let measurement = &checks.measurement;
    if let (ReadingUnit::Raw, Some(levels)) =
        (measurement.bench.reading_unit, measurement.stylus.levels)
    {
        return 0.5 / f64::from(levels.max(2) - 1);
    }
    let outputs = measurement.samples.iter().map(|sample| sample.reading);
    let between: Vec<f64> = outputs
        .filter(|output| *output > 0.0 && *output < 1.0)
        .collect();
    let holds = |step: f64| {
        between.iter().all(|output| {
            let steps = output / step;
            (steps - steps.round()).abs() < 1e-6
        })
    };
    let steps = [0.01, 0.005, 1e-3, 5e-4, 1e-4];
    let step = steps
        .into_iter()
        .find(|step| !between.is_empty() && holds(*step));
    step.map_or(0.0, |step| 0.5 * step)
}

fn warnings(verdict: &Verdict, causes: &[&CauseFit]) -> Vec<String> {
    let mut warnings = Vec::new();
    if verdict.rows.len() < FEW {
        warnings.push(format!(
            "{} checks tell little; take {FEW} or more between light-at and full-at",
            verdict.rows.len()
        ));
    }
    if let [first, second, ..] = causes
        && second.misfit - first.misfit < STRONG
    {
        warnings.push(format!(
            "these checks hardly tell two causes apart ({}; {}): more of them between light-at and full-at will",
            first.cause, second.cause
        ));
    }
    warnings
}

fn json(verdict: &Verdict, causes: &[&CauseFit], warnings: &[String]) -> Value {
    json!({
        "passed": verdict.passed,
        "points": verdict.rows.iter().map(|row| json!({
            "force_gf": row.force_gf,
            "predicted": row.predicted,
            "low": row.low,
            "high": row.high,
            "measured": row.measured,
            "inside": row.is_inside(),
        })).collect::<Vec<_>>(),
        "outside": verdict.outside,
        "allowed_outside": verdict.allowed_outside,
        "confidence": verdict.confidence,
        "causes": causes.iter().map(|found| json!({
            "cause": found.cause.as_str(),
            "description": found.cause.to_string(),
            "advice": found.cause.advice(),
            "misfit": found.misfit,
            "rms": found.rms,
        })).collect::<Vec<_>>(),
        "warnings": warnings,
    })
}

fn text_of(verdict: &Verdict, causes: &[&CauseFit], name: &str) -> String {
    let mut text = String::new();
    let _ = writeln!(
        text,
        "{name}: {}\n",
        if verdict.passed {
            "the map does what was promised"
        } else {
            "the map does not do what was promised"
        }
    );
    let _ = writeln!(
        text,
        "       force   promised %   {} % interval   measured %",
        percent(verdict.confidence)
    );
    for row in &verdict.rows {
        let _ = writeln!(
            text,
            "  {:>10}   {:>10.2}   {:>6.2} to {:>6.2}   {:>10.2}{}",
            gf(row.force_gf),
            100.0 * row.predicted,
            100.0 * row.low,
            100.0 * row.high,
            100.0 * row.measured,
            match (row.is_inside(), row.is_far_off()) {
                (true, _) => "",
                (false, false) => "   outside",
                (false, true) => "   far outside",
            }
        );
    }
    let _ = writeln!(
        text,
        "\n  {} of {} outside; chance explains up to {}",
        verdict.outside,
        verdict.rows.len(),
        verdict.allowed_outside
    );
    if !causes.is_empty() {
        let _ = writeln!(text, "\nWhat explains these checks, the best first:");
        for (index, found) in causes.iter().enumerate() {
            let _ = writeln!(
                text,
                "  {}. {} (off by {:.2} % as a rule)",
                index + 1,
                found.cause,
                100.0 * found.rms
            );
            if index == 0 {
                let _ = writeln!(text, "     {}", found.cause.advice());
            }
        }
    }
    text
}
