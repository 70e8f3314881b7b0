//! `evenhand fit`.

use std::fmt::Write as _;

use evenhand_fitting::{Fit, FitError, Saturation, Settings, fit};
use evenhand_measurement::Force;
use evenhand_text::clean;
use evenhand_workflow::{Failure, exit_code, failure_text};
use serde_json::Value;

use crate::args::FitArgs;
use crate::chart::chart;
use crate::fraction::Fraction;
use crate::input::{self, Read};
use crate::json::{bounds_object, fit_object, force_at, pretty};
use crate::output::Output;
use crate::picture;
use crate::text;

/// The spline and the nearest closed forms are named.
const SHAPES_SHOWN: usize = 3;

/// Fits, draws where asked to, and tells; a measurement without a rise still says what bounds it has.
pub(crate) fn run(args: &FitArgs, output: &Output) -> Result<u8, Failure> {
    let chart = match &args.chart {
        Some(out) => Some((out, picture::form(out, args.force, &[&args.file])?)),
        None => None,
    };
    let read = input::measurement(&args.file, &args.read)?;
    let settings = input::settings(&args.intervals);
    match fit(&read.measurement, &settings) {
        Ok(fit) => {
            if let Some((out, form)) = chart {
                picture::save(args, out, form, &read, &fit)?;
            }
            print(&read, &fit, &readings(args), output)?;
            Ok(0)
        }
        Err(error) if error.is_bad_input() => Err(input::fit_failure(&error, &read.source.name)),
        Err(error) => {
            if output.json {
                output.data(&pretty(&bounds(&read, &readings(args), &settings, &error)))?;
            }
            let failure = input::fit_failure(&error, &read.source.name);
            output.error_text(&failure_text(&failure, output.error_color()));
            Ok(exit_code(&failure))
        }
    }
}

/// Readings whose force is asked for, 0..1.
fn readings(args: &FitArgs) -> Vec<f64> {
    args.at.iter().copied().map(Fraction::value).collect()
}

fn print(read: &Read, fit: &Fit, at: &[f64], output: &Output) -> Result<(), Failure> {
    let warnings = text::warnings(read, Some(fit));
    if output.json {
        return output.data(&pretty(&fit_object(read, fit, at, &warnings)));
    }
    output.people(&summary(read, fit, at))?;
    if output.chart_allowed() {
        output.people(&chart(&read.measurement, fit))?;
    }
    for warning in &warnings {
        output.warn(&text::warning_line(&read.source.name, warning));
    }
    Ok(())
}

fn summary(read: &Read, fit: &Fit, at: &[f64]) -> String {
    let measurement = &read.measurement;
    let confidence = fit.settings.confidence;
    let mut out = String::new();
    let _ = writeln!(
        out,
        "{} ({}: {}, {})",
        text::name(measurement, &read.source.name),
        clean(&read.source.name),
        text::count(measurement.samples.len(), "sample"),
        text::count(measurement.used_seatings().len(), "seating"),
    );
    let _ = writeln!(
        out,
        "  read as           {}",
        read.source.read_as.in_words()
    );
    let _ = writeln!(
        out,
        "  onset force       {}",
        text::interval(&fit.onset, confidence)
    );
    match &fit.saturation {
        Saturation::Reached(found) => {
            let _ = writeln!(
                out,
                "  saturation force  {}",
                text::interval(found, confidence)
            );
        }
        Saturation::NotReached { above } => {
            let _ = writeln!(
                out,
                "  saturation force  not reached: above {} (reading {:.1} % there)",
                text::gf(above.gf()),
                100.0 * fit.response.reading(*above),
            );
        }
    }
    forces_at(&mut out, fit, at);
    if let Some(span) = &fit.span {
        let _ = writeln!(
            out,
            "  span              {}",
            text::interval(span, confidence)
        );
    }
    let class = fit
        .saturation_class
        .map_or("unknown", evenhand_fitting::SaturationClass::as_str);
    let _ = writeln!(out, "  saturation class  {class}");
    let _ = writeln!(
        out,
        "  residual          {:>8.2} %   of full scale, root mean square",
        100.0 * fit.residual_rms
    );
    shapes(&mut out, fit);
    if fit.seatings.len() > 1 {
        for seating in &fit.seatings {
            let _ = writeln!(
                out,
                "  seating {:<9} {:>8.2} %   force gain, drawn towards 0",
                seating.index,
                100.0 * (seating.force_gain - 1.0),
            );
        }
    }
    directions(&mut out, fit);
    for sample in &measurement.excluded {
        let _ = writeln!(
            out,
            "  left out          line {}: {} reading {:.2} %",
            sample.line,
            text::gf(sample.force.gf()),
            100.0 * sample.reading
        );
    }
    out
}

/// The forces at which the response passes the readings asked for.
fn forces_at(out: &mut String, fit: &Fit, at: &[f64]) {
    for reading in at {
        let label = format!("force at {} %", text::percent(*reading));
        let found = force_at(fit, *reading);
        let words = match (&found, &fit.saturation) {
            (Some(found), _) => text::interval(found, fit.settings.confidence),
            (None, Saturation::NotReached { above }) => {
                format!("not reached: above {}", text::gf(above.gf()))
            }
            (None, Saturation::Reached(_)) => "unknown".to_owned(),
        };
        let _ = writeln!(out, "  {label:<17} {words}");
    }
}

/// Which shape was taken, how well the nearest others foretell, and why.
fn shapes(out: &mut String, fit: &Fit) {
    let shown: Vec<String> = fit
        .shape
        .scores
        .iter()
        .take(SHAPES_SHOWN)
        .map(|score| {
            format!(
                "{} {:.2} %",
                score.form.as_str(),
                100.0 * score.leave_one_out_rms
            )
        })
        .collect();
    let _ = writeln!(
        out,
        "  shape             {}; error on samples left out: {}\n                    {}",
        fit.shape.name(),
        shown.join(", "),
        fit.shape.reason(),
    );
}

/// What raising and lowering the force, and repeating it, show.
fn directions(out: &mut String, fit: &Fit) {
    if let Some(found) = &fit.hysteresis {
        let _ = writeln!(
            out,
            "  hysteresis        {:>8.2} %   of full scale at most, at {} (line {})",
            100.0 * found.largest,
            text::gf(found.force.gf()),
            found.line,
        );
    }
    if let Some(gain) = fit.unloading_gain {
        let _ = writeln!(
            out,
            "  unloading         {:>8.2} %   force gain against loading, whose curve is given",
            100.0 * (gain - 1.0),
        );
    }
    if let Some(found) = &fit.repeatability {
        let direction = found
            .direction
            .map_or_else(String::new, |d| format!(" {}", d.as_str()));
        let _ = writeln!(
            out,
            "  repeatability     {:>8.2} %   of full scale at most, at {}{direction}",
            100.0 * found.largest_range,
            text::gf(found.force.gf()),
        );
    }
}

/// What a measurement without a rise still says.
fn bounds(read: &Read, at: &[f64], settings: &Settings, error: &FitError) -> Value {
    let sides: (Option<Force>, Option<Force>) = match error {
        FitError::NeverResponds { largest } => (Some(*largest), None),
        FitError::AlwaysFull { least } => (None, Some(*least)),
        _ => (None, None),
    };
    bounds_object(
        read,
        sides,
        at,
        settings.confidence,
        &text::warnings(read, None),
        &error.to_string(),
    )
}
