//! `evenhand fit`.

use std::fmt::Write as _;

use evenhand_fitting::{Fit, FitError, Saturation, Settings, fit};
use evenhand_measurement::Force;

use crate::args::FitArgs;
use crate::chart::chart;
use crate::failure::Failure;
use crate::input::{self, Read};
use crate::json::{FitJson, pretty};
use crate::output::Output;
use crate::picture;
use crate::text;

/// Fits, draws where asked to, and tells; a measurement without a rise still says what bounds it has.
pub(crate) fn run(args: &FitArgs, output: &Output) -> Result<u8, Failure> {
    let chart = match &args.chart {
        Some(out) => Some((out, picture::form(out, args.force)?)),
        None => None,
    };
    let read = input::measurement(&args.file, args.read)?;
    let settings = input::settings(&args.intervals);
    match fit(&read.measurement, &settings) {
        Ok(fit) => {
            if let Some((out, form)) = chart {
                picture::save(args, out, form, &read, &fit)?;
            }
            told(&read, &fit, output)?;
            Ok(0)
        }
        Err(error) if error.is_bad_input() => Err(input::fit_failure(&error, &read.source.name)),
        Err(error) => {
            if output.json {
                output.data(&pretty(&bounds(&read, &settings, &error)))?;
            }
            let failure = input::fit_failure(&error, &read.source.name);
            output.error_text(&failure.to_text(output.error_color()));
            Ok(failure.code)
        }
    }
}

fn told(read: &Read, fit: &Fit, output: &Output) -> Result<(), Failure> {
    let warnings = text::warnings(read, Some(fit));
    if output.json {
        return output.data(&pretty(&FitJson::new(&read.measurement, fit, warnings)));
    }
    output.people(&summary(read, fit))?;
    if output.chart_allowed() {
        output.people(&chart(&read.measurement, fit))?;
    }
    for warning in &warnings {
        output.warn(&text::warning_line(&read.source.name, warning));
    }
    Ok(())
}

fn summary(read: &Read, fit: &Fit) -> String {
    let measurement = &read.measurement;
    let confidence = fit.settings.confidence;
    let mut out = String::new();
    let _ = writeln!(
        out,
        "{} ({}: {}, {})",
        text::name(measurement, &read.source.name),
        read.source.name,
        text::count(measurement.samples.len(), "sample"),
        text::count(measurement.seatings.len(), "seating"),
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
    let band = fit
        .span_band
        .map_or("unknown", evenhand_fitting::SpanBand::as_str);
    let _ = writeln!(out, "  span band         {band:>10}");
    let _ = writeln!(
        out,
        "  residual          {:>8.2} %   of full scale, root mean square",
        100.0 * fit.residual_rms
    );
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
    out
}

/// What a measurement without a rise still says.
fn bounds(read: &Read, settings: &Settings, error: &FitError) -> FitJson {
    let (above, below): (Option<Force>, Option<Force>) = match error {
        FitError::NeverResponds { largest } => (Some(*largest), None),
        FitError::AlwaysFull { least } => (None, Some(*least)),
        _ => (None, None),
    };
    FitJson::without_curve(
        &read.measurement,
        above,
        below,
        settings.confidence,
        text::warnings(read, None),
        error.to_string(),
    )
}
