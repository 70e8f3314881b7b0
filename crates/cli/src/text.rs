//! Sentences and numbers for people.

use evenhand_fitting::{Fit, ForceInterval};
use evenhand_measurement::{Measurement, Suspicion, suspicions};

use crate::input::Read;
use crate::json::WarningJson;

/// A force with as many digits as a hand or a scale can tell.
pub(crate) fn gf(value: f64) -> String {
    let places = if value.abs() < 100.0 { 2 } else { 1 };
    format!("{value:.places$} gf")
}

/// A number of items with its noun.
pub(crate) fn count(number: usize, noun: &str) -> String {
    format!("{number} {noun}{}", if number == 1 { "" } else { "s" })
}

pub(crate) fn interval(found: &ForceInterval, confidence: f64) -> String {
    format!(
        "{:>10}   {} % interval {} to {}",
        gf(found.estimate.gf()),
        percent(confidence),
        gf(found.low.gf()),
        gf(found.high.gf()),
    )
}

/// A part as percent, without needless digits.
pub(crate) fn percent(part: f64) -> String {
    let text = format!("{:.3}", 100.0 * part);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// The stylus by name, or the file.
pub(crate) fn name(measurement: &Measurement, file: &str) -> String {
    match (&measurement.stylus.model, &measurement.stylus.unit) {
        (Some(model), Some(unit)) => format!("{model} {unit}"),
        (Some(model), None) => model.clone(),
        _ => file.to_owned(),
    }
}

/// Everything a reader should know: what looks suspicious in the measurement, then what the fit found.
pub(crate) fn warnings(read: &Read, fit: Option<&Fit>) -> Vec<WarningJson> {
    let suspicious = suspicions(&read.measurement).into_iter().map(
        |Suspicion {
             line,
             message,
             advice,
             ..
         }| WarningJson {
            line,
            message,
            advice,
        },
    );
    let fitted = fit
        .into_iter()
        .flat_map(|fit| &fit.warnings)
        .map(|warning| WarningJson {
            line: warning.line,
            message: warning.message.clone(),
            advice: warning.advice.clone(),
        });
    suspicious.chain(fitted).collect()
}

/// A warning as one line for people.
pub(crate) fn warning_line(file: &str, warning: &WarningJson) -> String {
    let place = warning
        .line
        .map_or_else(|| file.to_owned(), |line| format!("{file}:{line}"));
    format!("{place}: {}; {}", warning.message, warning.advice)
}
