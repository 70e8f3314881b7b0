//! Sentences and numbers for people.

use evenhand_fitting::{Fit, ForceInterval};
use evenhand_measurement::{Suspicion, suspicions};

pub(crate) use evenhand_text::{count, gf, percent};
pub(crate) use evenhand_workflow::name;

use evenhand_workflow::Wording;

use crate::input::Read;
use crate::json::Warning;

pub(crate) fn interval(found: &ForceInterval, confidence: f64) -> String {
    format!(
        "{:>10}   {} % interval {} to {}",
        gf(found.estimate.gf()),
        percent(confidence),
        gf(found.low.gf()),
        gf(found.high.gf()),
    )
}

/// Everything a reader should know: what looks suspicious in the measurement, then what the fit found.
pub(crate) fn warnings(read: &Read, fit: Option<&Fit>) -> Vec<Warning> {
    let suspicious = suspicions(&read.measurement).into_iter().map(
        |Suspicion {
             line,
             message,
             advice,
             ..
         }| Warning {
            line,
            message,
            advice,
        },
    );
    let fitted = fit
        .into_iter()
        .flat_map(|fit| &fit.warnings)
        .map(|warning| Warning {
            line: warning.line,
            message: warning.message.clone(),
            advice: Wording::CommandLine.remedy(&warning.advice),
        });
    suspicious.chain(fitted).collect()
}

/// A warning as one line for people.
pub(crate) fn warning_line(file: &str, warning: &Warning) -> String {
    let place = warning
        .line
        .map_or_else(|| file.to_owned(), |line| format!("{file}:{line}"));
    format!("{place}: {}; {}", warning.message, warning.advice)
}
