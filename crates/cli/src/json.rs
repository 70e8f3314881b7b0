//! The objects that `--json` prints. A number that is not finite becomes null.

use evenhand_fitting::{Fit, ForceInterval, Saturation, SaturationClass};
use evenhand_measurement::{Direction, Force, Measurement};
use evenhand_text::json_escaped;
use evenhand_workflow::{OpenInterval, Read};
use serde::Serialize;
use serde_json::{Value, json};

/// A warning as scripts read it.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct Warning {
    pub(crate) line: Option<usize>,
    pub(crate) message: String,
    pub(crate) advice: String,
}

/// The force at which the response passes a reading; none where it does not get there within the forces
/// measured, even if a single sample did.
pub(crate) fn force_at(fit: &Fit, reading: f64) -> Option<ForceInterval> {
    fit.force_at(reading).filter(|_| fit.reaches(reading))
}

/// A force that lies between these, as far as is known.
fn between(low: Option<Force>, high: Option<Force>) -> OpenInterval {
    OpenInterval {
        estimate: None,
        low: low.map(Force::gf),
        high: high.map(Force::gf),
    }
}

/// The force at which the response passes a reading, a fraction of full scale.
fn force_at_object(reading: f64, force: OpenInterval) -> Value {
    json!({
        "reading": reading,
        "estimate": force.estimate,
        "low": force.low,
        "high": force.high,
    })
}

/// What `fit --json` prints, with the forces at `at` (readings, fractions of full scale).
pub(crate) fn fit_object(read: &Read, fit: &Fit, at: &[f64], warnings: &[Warning]) -> Value {
    let measurement = &read.measurement;
    let (saturation, above) = match fit.saturation {
        Saturation::Reached(interval) => (interval.into(), None),
        Saturation::NotReached { above } => (between(Some(above), None), Some(above)),
    };
    let force_at = |reading: &f64| {
        let found = force_at(fit, *reading);
        force_at_object(
            *reading,
            found.map_or(between(above, None), OpenInterval::from),
        )
    };
    json!({
        "stylus": stylus(measurement),
        "samples": measurement.samples.len(),
        "read_as": read.source.read_as,
        "onset_force_gf": OpenInterval::from(fit.onset),
        "saturation_force_gf": saturation_object(saturation, above.is_none()),
        "force_at": at.iter().map(force_at).collect::<Vec<_>>(),
        "span_gf": OpenInterval::from(fit.span),
        "saturation_class": fit.saturation_class.map(SaturationClass::as_str),
        "confidence": fit.settings.confidence,
        "curve": fit.curve().iter().map(|row| json!({
            "force_gf": row.force.gf(),
            "reported": row.reported,
            "low": row.low,
            "high": row.high,
        })).collect::<Vec<_>>(),
        "residual_rms": fit.residual_rms,
        "shape": {
            "name": fit.shape.name(),
            "reason": fit.shape.reason(),
            // How each shape predicts samples that it was not fitted to.
            "candidates": fit.shape.scores.iter().map(|score| json!({
                "name": score.form.as_str(),
                "leave_one_out_rms": score.leave_one_out_rms,
                "advantage": score.advantage,
                "advantage_error": score.advantage_error,
            })).collect::<Vec<_>>(),
        },
        "seatings": fit.seatings.iter().map(|seating| json!({
            "index": seating.index,
            "force_gain": seating.force_gain,
        })).collect::<Vec<_>>(),
        // A change that the file does not declare; nothing was done about it.
        "seating_change": fit.seating_change.map(|change| json!({
            "line": change.place.line,
            "place": change.place.to_string(),
            "force_gain": change.gain,
            "score": change.score,
        })),
        "unloading_gain": fit.unloading_gain,
        "hysteresis": fit.hysteresis.map(|found| json!({
            "largest": found.largest,
            "force_gf": found.force.gf(),
            "line": found.line,
        })),
        "repeatability": fit.repeatability.map(|found| json!({
            "largest_range": found.largest_range,
            "force_gf": found.force.gf(),
            "direction": found.direction.map(Direction::as_str),
        })),
        "excluded": excluded(measurement),
        "warnings": warnings,
    })
}

/// What `fit --json` prints of a measurement that has no rise: on which side of its forces the onset or the
/// saturation lies, and why there is no curve.
pub(crate) fn bounds_object(
    read: &Read,
    (onset_above, saturation_below): (Option<Force>, Option<Force>),
    at: &[f64],
    confidence: f64,
    warnings: &[Warning],
    reason: &str,
) -> Value {
    let measurement = &read.measurement;
    let bounds = between(onset_above, saturation_below);
    let nothing: [Value; 0] = [];
    json!({
        "stylus": stylus(measurement),
        "samples": measurement.samples.len(),
        "read_as": read.source.read_as,
        "onset_force_gf": bounds,
        "saturation_force_gf": saturation_object(bounds, saturation_below.is_some()),
        "force_at": at.iter().map(|reading| force_at_object(*reading, bounds)).collect::<Vec<_>>(),
        "span_gf": OpenInterval::OPEN,
        "saturation_class": null,
        "confidence": confidence,
        "curve": nothing,
        "residual_rms": null,
        "shape": null,
        "seatings": measurement.seatings.iter().map(|seating| json!({
            "index": seating.index,
            "force_gain": 1.0,
        })).collect::<Vec<_>>(),
        "seating_change": null,
        "unloading_gain": null,
        "hysteresis": null,
        "repeatability": null,
        "excluded": excluded(measurement),
        "warnings": warnings,
        "reason": reason,
    })
}

fn saturation_object(force: OpenInterval, reached: bool) -> Value {
    json!({
        "estimate": force.estimate,
        "low": force.low,
        "high": force.high,
        "reached": reached,
    })
}

fn stylus(measurement: &Measurement) -> Value {
    let stylus = &measurement.stylus;
    json!({ "model": stylus.model, "unit": stylus.unit, "levels": stylus.levels })
}

/// Samples that were left out.
fn excluded(measurement: &Measurement) -> Vec<Value> {
    let object = |sample: &evenhand_measurement::Sample| {
        json!({
            "line": sample.line,
            "force_gf": sample.force.gf(),
            "reported": sample.reading,
        })
    };
    measurement.excluded.iter().map(object).collect()
}

pub(crate) fn pretty<T: Serialize>(value: &T) -> String {
    // The objects hold strings and finite numbers only; there is nothing that could fail.
    serde_json::to_string_pretty(value)
        .map_or_else(|_| String::new(), |text| json_escaped(&text) + "\n")
}
