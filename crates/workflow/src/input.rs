//! Reading what a command was pointed at, with failures that say where and what.

use std::path::Path;

use evenhand_fitting::{Fit, FitError, Settings, fit};
use evenhand_measurement::{Measurement, ReadOptions, Source, read_measurement};
use evenhand_receiver::{Profile, ProfileError};
use evenhand_text::SaveError;

use crate::failure::Failure;

/// A measurement that was read, with where it came from.
pub struct Read {
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
        measurement,
        source,
    })
}

fn profile_failure(error: &ProfileError, text: &str) -> Failure {
    let (file, line, column) = (error.file(), error.line(), error.column());
    let message = format!("{file}:{line}:{column}: {}", error.message());
    let mut failure = Failure::bad_input(message, error.help()).in_file(file);
    failure.line = Some(line);
    failure.column = Some(column);
    failure.at(Some(text), Some(error.span()))
}

/// A file that cannot be saved, as a failure.
#[must_use]
pub fn save_failure(error: &SaveError) -> Failure {
    Failure::bad_input(error.to_string(), error.remedy())
}

/// A small text file; `help` says what was expected.
pub fn read_text(path: &Path, most_bytes: u64, help: &str) -> Result<String, Failure> {
    let name = path.display().to_string();
    let unreadable = |error: &dyn std::fmt::Display| {
        Failure::bad_input(format!("{name}: the file could not be read: {error}"), help)
            .in_file(name.clone())
    };
    let meta = std::fs::metadata(path).map_err(|error| unreadable(&error))?;
    if !meta.is_file() {
        return Err(unreadable(&"it is not a file"));
    }
    if meta.len() > most_bytes {
        return Err(unreadable(&format!(
            "it holds {} bytes, {most_bytes} at most are read",
            meta.len()
        )));
    }
    let bytes = std::fs::read(path).map_err(|error| unreadable(&error))?;
    String::from_utf8(bytes).map_err(|_| unreadable(&"it is not UTF-8 text"))
}

/// A receiver file larger than this is none.
const MOST_PROFILE_BYTES: u64 = 1 << 20;

/// The receiver that a name or a file stands for.
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
            format!("there is no receiver `{name_or_file}`"),
            format!(
                "choose one of {}, or give the path of a receiver file",
                names.join(", ")
            ),
        ));
    }
    let text = read_text(
        path,
        MOST_PROFILE_BYTES,
        "give a receiver file; `evenhand receivers NAME` shows how one looks",
    )?;
    Profile::parse(&text, name_or_file).map_err(|error| profile_failure(&error, &text))
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
