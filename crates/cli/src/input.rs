//! Reading what a command was pointed at.

use std::path::Path;

use evenhand_fitting::Settings;
use evenhand_measurement::ReadOptions;
pub(crate) use evenhand_workflow::{Failure, Read, fit_failure, fitted, receiver};

use crate::args::{IntervalArgs, ReadArgs, TableArgs};

pub(crate) fn measurement(path: &Path, read: &ReadArgs) -> Result<Read, Failure> {
    evenhand_workflow::measurement(path, &options(read))
}

pub(crate) fn options(read: &ReadArgs) -> ReadOptions {
    ReadOptions {
        levels: read.levels,
        exclude: read.exclude.clone(),
        new_seatings: read.new_seating.clone(),
        columns: read.table.column.clone(),
        sheet: read.table.sheet.clone(),
        outputs: false,
    }
}

/// Outputs measured behind a map, in the form of a measurement.
pub(crate) fn checks(path: &Path, levels: Option<u32>, table: &TableArgs) -> Result<Read, Failure> {
    let options = ReadOptions {
        levels,
        columns: table.column.clone(),
        sheet: table.sheet.clone(),
        outputs: true,
        ..ReadOptions::default()
    };
    evenhand_workflow::measurement(path, &options)
}

pub(crate) fn settings(intervals: &IntervalArgs) -> Settings {
    Settings {
        resamples: intervals.resamples,
        confidence: intervals.confidence.value(),
        seed: intervals.seed,
    }
}
