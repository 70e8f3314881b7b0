//! From a file's bytes to a measurement.

use std::io::Read as _;
use std::path::Path;

use sha2::{Digest, Sha256};

use crate::csv_read;
use crate::force::Force;
use crate::hold_angle::HoldAngle;
use crate::measurement::{ForceActs, Measurement};
use crate::read_error::ReadError;
use crate::selection::{InFile, SamplePlace, Wanted, select};
use crate::toml_read;

/// A larger file is refused unread.
pub const MOST_BYTES: u64 = 32 << 20;
/// More levels than this no reading has: 24 bits.
pub const MOST_LEVELS: u32 = 1 << 24;
/// More samples than this are refused: a bench has tens or hundreds, a recording of strokes is none.
pub const MOST_SAMPLES: usize = 10_000;

/// What a file itself may leave open.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ReadOptions {
    /// Number of levels of raw readings; the file's own word goes before.
    pub levels: Option<u32>,
    /// Samples to leave out, beside those that the file itself names.
    pub exclude: Vec<SamplePlace>,
    /// Samples with which a seating begins that the file does not declare.
    pub new_seatings: Vec<SamplePlace>,
    /// Whether the file holds outputs measured behind a map: its column may then be called
    /// `output_percent`, `output` or `output_raw` as well.
    pub outputs: bool,
}

/// Where a measurement came from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Source {
    /// The file as it was named.
    pub name: String,
    /// SHA-256 of its bytes, lower-case hexadecimal.
    pub sha256: String,
}

/// Reads a measurement from a file.
///
/// # Errors
/// A file that cannot be read, is too large, or is no measurement; see [`ReadError`].
pub fn read_measurement(
    path: &Path,
    options: &ReadOptions,
) -> Result<(Measurement, Source), ReadError> {
    let name = path.display().to_string();
    let unreadable = |error: std::io::Error| {
        let help = match error.kind() {
            std::io::ErrorKind::NotFound => "check the name and the folder",
            std::io::ErrorKind::PermissionDenied => "allow reading it, or copy it elsewhere",
            _ => "copy it to a local disk and try again",
        };
        ReadError::of_file(&name, format!("the file could not be read: {error}"), help)
    };
    let meta = std::fs::metadata(path).map_err(unreadable)?;
    if meta.is_dir() {
        return Err(ReadError::of_file(
            &name,
            "this is a folder",
            "name a file in it",
        ));
    }
    // A device or a pipe could go on for ever.
    if !meta.is_file() {
        return Err(ReadError::of_file(
            &name,
            "this is no ordinary file",
            "save the readings to a file and name that",
        ));
    }
    let too_large = |bytes: u64| {
        ReadError::of_file(
            &name,
            format!(
                "the file holds {} MiB, but a measurement may hold at most {} MiB",
                bytes >> 20,
                MOST_BYTES >> 20
            ),
            "check that this is a measurement; split a long recording",
        )
    };
    if meta.len() > MOST_BYTES {
        return Err(too_large(meta.len()));
    }
    let mut bytes = Vec::new();
    // A file may grow while it is read.
    std::fs::File::open(path)
        .and_then(|file| file.take(MOST_BYTES + 1).read_to_end(&mut bytes))
        .map_err(unreadable)?;
    if bytes.len() as u64 > MOST_BYTES {
        return Err(too_large(bytes.len() as u64));
    }
    parse_measurement(&name, &bytes, options)
}

/// Reads a measurement from bytes. The form is told by the name's ending (`.toml`, `.csv`, `.tsv`,
/// `.txt`), otherwise by the content.
///
/// # Errors
/// Bytes that are no measurement; see [`ReadError`].
pub fn parse_measurement(
    name: &str,
    bytes: &[u8],
    options: &ReadOptions,
) -> Result<(Measurement, Source), ReadError> {
    let text = decode(name, bytes)?;
    if text.trim().is_empty() {
        return Err(ReadError::of_file(
            name,
            "the file is empty",
            "write a header such as force_gf,reported_percent and one line for each sample",
        ));
    }
    let ending = Path::new(name)
        .extension()
        .map(std::ffi::OsStr::to_ascii_lowercase);
    let is_toml = match ending.as_ref().and_then(|e| e.to_str()) {
        Some("toml") => true,
        Some("csv" | "tsv" | "txt") => false,
        _ => looks_like_toml(text),
    };
    let (mut measurement, mut exclude) = if is_toml {
        toml_read::read(name, text, options)?
    } else {
        csv_read::read(name, text, options)?
    };
    for name in [
        &mut measurement.stylus.model,
        &mut measurement.stylus.unit,
        &mut measurement.bench.name,
    ] {
        *name = name.take().map(|name| shown(&name));
    }
    let asked = |by: &'static str, places: &[SamplePlace]| -> Vec<Wanted> {
        let wanted = |place: &SamplePlace| Wanted {
            by,
            place: *place,
            span: None,
        };
        places.iter().map(wanted).collect()
    };
    exclude.extend(asked("--exclude", &options.exclude));
    let new_seatings = asked("--new-seating", &options.new_seatings);
    let file = InFile { name, text };
    select(&file, &mut measurement, &exclude, &new_seatings)?;
    along_stylus(name, &mut measurement)?;
    let sha256 = sha256_hex(bytes);
    Ok((
        measurement,
        Source {
            name: name.to_owned(),
            sha256,
        },
    ))
}

/// SHA-256 of bytes, lower-case hexadecimal.
#[must_use]
pub fn sha256_hex(bytes: &[u8]) -> String {
    Sha256::digest(bytes)
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

/// Tilted further than this, next to nothing of the force acts along the stylus.
const MOST_TILT_DEG: f64 = 85.0;

/// Turns forces on the surface into forces along the stylus, where the file gives those.
fn along_stylus(name: &str, measurement: &mut Measurement) -> Result<(), ReadError> {
    if measurement.bench.force_acts == ForceActs::AlongStylus {
        return Ok(());
    }
    let tilt = measurement.bench.tilt_deg.and_then(|tilt| {
        (0.0..=MOST_TILT_DEG)
            .contains(&tilt)
            .then(|| HoldAngle::from_degrees(90.0 - tilt))
            .flatten()
    });
    let Some(held) = tilt else {
        return Err(ReadError::of_file(
            name,
            match measurement.bench.tilt_deg {
                None => "forces that act on the surface, without a tilt".to_owned(),
                Some(tilt) => format!("forces that act on the surface, with a tilt of {tilt}°"),
            },
            format!(
                "give the angle between stylus and upright, tilt_deg, from 0 to {MOST_TILT_DEG}"
            ),
        ));
    };
    let Measurement {
        samples, excluded, ..
    } = measurement;
    for sample in samples.iter_mut().chain(excluded) {
        sample.force = Force::from_gf(sample.force.gf() * held.axial_part());
    }
    Ok(())
}

/// A TOML measurement has a table somewhere; a CSV header has none before it.
fn looks_like_toml(text: &str) -> bool {
    text.lines()
        .map(str::trim)
        .find(|line| !line.is_empty() && !line.starts_with('#'))
        .is_some_and(|line| line.starts_with('['))
}

/// The text of a file: UTF-8, with or without a byte order mark.
fn decode<'a>(name: &str, bytes: &'a [u8]) -> Result<&'a str, ReadError> {
    const SAVE_AS: &str = "save it as plain text in UTF-8";
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return Err(ReadError::of_file(name, "the file is UTF-16 text", SAVE_AS));
    }
    let line_of = |at: usize| 1 + bytes[..at].iter().filter(|byte| **byte == b'\n').count();
    if let Some(at) = bytes.iter().position(|byte| *byte == 0) {
        return Err(ReadError::of_file(
            name,
            format!(
                "the file is binary, not text (a zero byte in line {})",
                line_of(at)
            ),
            "name a CSV or TOML file",
        ));
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    std::str::from_utf8(bytes).map_err(|error| {
        let line = line_of(error.valid_up_to());
        ReadError::of_file(name, format!("line {line} is not UTF-8 text"), SAVE_AS)
    })
}

/// A name as it can be shown: what would steer a terminal or turn the direction of writing is marked instead.
fn shown(name: &str) -> String {
    let steers =
        |c: char| c.is_control() || matches!(c, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    name.chars()
        .map(|c| if steers(c) { '\u{fffd}' } else { c })
        .collect()
}
