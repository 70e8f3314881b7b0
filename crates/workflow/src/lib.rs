//! What the command line and the editor share: from files and requests to fits, maps and their files.
//!
//! ```
//! use evenhand_fitting::Settings;
//! use evenhand_measurement::ReadOptions;
//! use evenhand_workflow::{FailureKind, fitted, measurement};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let folder = tempfile::tempdir()?;
//! let file = folder.path().join("bench.csv");
//! std::fs::write(&file, "force_gf,reported_percent\n5,0\n10,0\n60,25\n110,50\n160,75\n210,100\n250,100\n")?;
//! let read = measurement(&file, &ReadOptions::default())?;
//! let fit = fitted(&read, &Settings::default())?;
//! assert!((fit.saturation.interval().ok_or("full scale")?.estimate.gf() - 210.0).abs() < 10.0);
//!
//! // What goes wrong names the file and says what to do.
//! let failure = measurement(&folder.path().join("none.csv"), &ReadOptions::default()).err().ok_or("no such file")?;
//! assert_eq!(failure.kind, FailureKind::BadInput);
//! # Ok(())
//! # }
//! ```
//!
//! [`measurement`] reads, [`fitted`] fits; a [`Job`] adds the map that a request is built into and gives the
//! [`MapFile`] that is saved. [`exported`] and [`card_picture`] write a map for a receiver,
//! [`save_picture`] pictures. Everything that can go wrong is a [`Failure`] with what to do about it.
//!
//! [`find_measurements`] and [`collect`] read and fit many measurements at once.
//!
//! Out of scope: how results are shown; failures excepted, which every program reports in one way.

mod collection;
mod converted_table;
mod converting;
mod curve_table;
mod edited;
mod exporting;
mod failure;
mod failure_report;
mod input;
mod interval;
mod job;
mod limits;
mod loads;
mod map_file;
mod map_keys;
mod rebuilt;
mod recording;
mod saving;
mod sentences;
mod stage;
mod targets;
mod threads;
mod wording;

pub use collection::{Collection, ExcludedFile, FileList, Skipped, collect, find_measurements};
pub use converting::{Converted, ConvertedRow, converted};
pub use edited::{Contradiction, contradictions, edit_warning};
pub use exporting::{card_picture, exported};
pub use failure::{Failure, FailureDetail, FailureKind};
pub use failure_report::{
    BAD_INPUT, CANNOT, FaultJson, exit_code, failure_json, failure_text, faults_of,
};
pub use input::{Read, fit_failure, fitted, measurement, receiver, receiver_file};
pub use interval::OpenInterval;
pub use job::{
    HandSource, Job, Tuned, broken, from_folder, recorded, reopened, reopened_with, saved_request,
    saved_stage, unchanged,
};
pub use limits::{LEVELS, RESAMPLES};
pub use map_file::{
    AchievedTable, FORMAT, HandTable, IdealTable, MapFile, MapTable, SettingsTable, SourceTable,
    StrokesTable, StylusTable, TunedTable, VERSION,
};
pub use rebuilt::{Change, Differences, Rebuilt, rebuilt};
pub use recording::{Recorded, read as read_recording};
pub use saving::{PictureForm, check_target, picture_by_ending, picture_form, save_picture};
pub use sentences::{mixed_places, name};
pub use stage::resolve_stage;
pub use targets::{
    from_file as target_from_file, resolve as resolve_target, resolve_file as resolve_target_file,
};
pub use threads::start_threads;
pub use wording::Wording;
