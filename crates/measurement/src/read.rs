//! From a file's bytes to a measurement.

use std::path::Path;

use evenhand_text::{
    Fault, Faults, ReadAs, Setting, TableFile, clean, decode, quoted, read_bytes, sha256_hex,
};

use crate::columns::SAMPLES;
use crate::force::Force;
use crate::hold_angle::HoldAngle;
use crate::measurement::{ForceActs, Measurement};
use crate::options::{MOST_BYTES, ReadOptions};
use crate::selection::{SamplePlace, SampleRequest, Selection, select};
use crate::{table_read, toml_read};

/// Where a measurement came from, and how it was understood.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    /// The file as it was named.
    pub name: String,
    /// SHA-256 of its bytes, lower-case hexadecimal.
    pub sha256: String,
    /// What its columns and remarks were taken for.
    pub read_as: ReadAs,
}

/// Reads a measurement from a file.
///
/// # Errors
/// A file that cannot be read, is too large, or is no measurement, with all that is wrong with it.
pub fn read_measurement(
    path: &Path,
    options: &ReadOptions,
) -> Result<(Measurement, Source), Faults> {
    let bytes = read_bytes(path, "a measurement", MOST_BYTES)?;
    parse_measurement(&path.display().to_string(), &bytes, options)
}

/// Reads a measurement from bytes. The form is told by the name's ending (`.toml`, `.csv`, `.tsv`,
/// `.txt`), otherwise by the content.
///
/// # Errors
/// Bytes that are no measurement, with all that is wrong with them.
pub fn parse_measurement(
    name: &str,
    bytes: &[u8],
    options: &ReadOptions,
) -> Result<(Measurement, Source), Faults> {
    let ending = Path::new(name)
        .extension()
        .and_then(|ending| ending.to_str())
        .map(str::to_ascii_lowercase);
    let is_toml = match ending.as_deref() {
        Some("toml") => true,
        Some("csv" | "tsv" | "txt") => false,
        _ => looks_like_toml(bytes),
    };
    if let (true, Some(sheet)) = (is_toml, &options.sheet) {
        let found = format!("TOML, which has no sheet {}", quoted(sheet));
        return Err(Faults::one(name, Fault::of_file(found, Setting::NoSheet)));
    }
    let (mut measurement, mut exclude, read_as, text) = if is_toml {
        let (text, _) = decode(name, bytes)?;
        let (measurement, exclude, read_as) = toml_read::read(name, &text, options)?;
        (measurement, exclude, read_as, Some(text))
    } else {
        let file = TableFile::parse(name, bytes, options.sheet.as_deref(), SAMPLES.example)?;
        let (measurement, exclude, read_as) = table_read::read(&file, options)?;
        (
            measurement,
            exclude,
            read_as,
            file.text().map(str::to_owned),
        )
    };
    for word in [
        &mut measurement.stylus.model,
        &mut measurement.stylus.unit,
        &mut measurement.bench.name,
        &mut measurement.bench.date,
        &mut measurement.bench.lever,
        &mut measurement.bench.notes,
    ] {
        *word = word.take().map(|word| clean(&word));
    }
    let requests = |places: &[SamplePlace]| -> Vec<SampleRequest> {
        let request = |place: &SamplePlace| SampleRequest {
            place: *place,
            at: None,
        };
        places.iter().map(request).collect()
    };
    exclude.extend(requests(&options.exclude));
    let selection = Selection {
        exclude,
        new_seatings: requests(&options.new_seatings),
    };
    let mut faults = select(&mut measurement, &selection);
    faults.extend(along_stylus(&mut measurement));
    if let Some(faults) = Faults::of(name, text.as_deref(), faults) {
        return Err(faults);
    }
    let source = Source {
        name: name.to_owned(),
        sha256: sha256_hex(bytes),
        read_as,
    };
    Ok((measurement, source))
}

/// Tilted further than this, next to nothing of the force acts along the stylus.
const MOST_TILT_DEG: f64 = 85.0;

/// Turns forces on the surface into forces along the stylus, where the file gives those. A tilt without a word on
/// how forces act could mean either, and the forces differ by its cosine.
fn along_stylus(measurement: &mut Measurement) -> Option<Fault> {
    let tilt = measurement.bench.tilt_deg;
    match (measurement.bench.force_acts, tilt) {
        (Some(ForceActs::AlongStylus), _) | (None, None) => return None,
        (None, Some(0.0)) => return None,
        (None, Some(tilt)) => {
            return Some(Fault::of_file(
                format!("a tilt of {tilt}° without force_acts"),
                "say which force the file gives: force_acts = along-stylus, or on-surface for a scale under the tablet",
            ));
        }
        (Some(ForceActs::OnSurface), _) => {}
    }
    let held = tilt.and_then(|tilt| {
        (0.0..=MOST_TILT_DEG)
            .contains(&tilt)
            .then(|| HoldAngle::from_degrees(90.0 - tilt))
            .flatten()
    });
    let Some(held) = held else {
        return Some(Fault::of_file(
            match tilt {
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
    None
}

/// A TOML measurement has a table somewhere; a table has a header before any bracket.
fn looks_like_toml(bytes: &[u8]) -> bool {
    String::from_utf8_lossy(bytes)
        .lines()
        .map(|line| line.trim_start_matches('\u{feff}').trim())
        .find(|line| !line.is_empty() && !line.starts_with('#'))
        .is_some_and(|line| line.starts_with('['))
}
