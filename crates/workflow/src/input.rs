//! Reading what a command was pointed at, with failures that say where and what.

use std::path::{Path, PathBuf};

use evenhand_fitting::{Fit, FitError, Settings, fit};
use evenhand_measurement::{Measurement, ReadOptions, Source, read_measurement};
use evenhand_receiver::Profile;
use evenhand_text::{quoted, read_utf8};

use crate::failure::Failure;

/// A measurement that was read, with where it came from.
pub struct Read {
    /// The file it was read from; its name in `source` is for people only.
    pub path: PathBuf,
    /// The measurement.
    pub measurement: Measurement,
    /// Where the measurement came from.
    pub source: Source,
}

/// Reads a measurement.
///
/// # Errors
/// A file that cannot be read or is no measurement.
pub fn measurement(path: &Path, options: &ReadOptions) -> Result<Read, Failure> {
    let (measurement, source) = read_measurement(path, options)?;
    Ok(Read {
        path: path.to_path_buf(),
        measurement,
        source,
    })
}

/// A receiver file larger than this is none.
const MOST_PROFILE_BYTES: u64 = 1 << 20;

/// The receiver that a name or a file stands for.
///
/// # Errors
/// A name that no receiver has, and everything that is wrong with a file.
pub fn receiver(name_or_file: &str) -> Result<Profile, Failure> {
    if let Some(profile) = evenhand_receiver::profile(name_or_file) {
        return Ok(profile.clone());
    }
    let path = Path::new(name_or_file);
    let looks_like_file = path.extension().is_some() || name_or_file.contains(['/', '\\']);
    if !looks_like_file && !path.exists() {
        let names: Vec<String> = evenhand_receiver::shipped()
            .iter()
            .map(|p| p.name().to_owned())
            .collect();
        return Err(Failure::bad_input(
            format!("there is no receiver {}", quoted(name_or_file)),
            format!(
                "choose one of {}, or give the path of a receiver file",
                names.join(", ")
            ),
        ));
    }
    receiver_file(path)
}

/// The receiver in a file.
///
/// # Errors
/// A file that cannot be read, and everything that is wrong with it.
pub fn receiver_file(path: &Path) -> Result<Profile, Failure> {
    let text = read_utf8(path, "a receiver file", MOST_PROFILE_BYTES)?;
    Ok(Profile::parse(&text, &path.display().to_string())?)
}

/// Fits what was read.
pub fn fitted(read: &Read, settings: &Settings) -> Result<Fit, Failure> {
    fit(&read.measurement, settings).map_err(|error| fit_failure(&error, &read.source.name))
}

/// A measurement that cannot be fitted, as a failure.
#[must_use]
pub fn fit_failure(error: &FitError, file: &str) -> Failure {
    let message = format!("{file}: {error}");
    if error.is_bad_input() {
        Failure::bad_input(message, error.help()).in_file(file)
    } else {
        Failure::cannot(message, error.help()).in_file(file)
    }
}
