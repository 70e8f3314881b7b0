//! What the remarks of a table of samples say.

use evenhand_text::{Fault, Remark, clean, folded, quoted};

use crate::columns::FORCE_UNITS;
use crate::measurement::{Bench, ForceActs, ForceBudget, Measurement, ReadAt};
use crate::options::MOST_LEVELS;
use crate::selection::SampleRequest;

/// Checks a remark of a table of samples by itself.
///
/// # Errors
/// A value that its key cannot have.
pub fn check_remark(remark: &Remark) -> Result<(), Box<Fault>> {
    match remark.key {
        "exclude" => excluded(remark).map(|_| ()),
        "seating" => seating(remark).map(|_| ()),
        _ => take(remark, &mut Measurement::default()),
    }
}

/// The number of the seating that begins with a remark.
pub(crate) fn seating(remark: &Remark) -> Result<i64, Box<Fault>> {
    remark.value.parse().map_err(|_| {
        Box::new(Fault::at(
            remark.place.clone(),
            quoted(&remark.value),
            "the number of a seating",
            "write a whole number, such as # seating = 2",
        ))
    })
}

/// The samples that `exclude = 12, 17` names.
pub(crate) fn excluded(remark: &Remark) -> Result<Vec<SampleRequest>, Box<Fault>> {
    remark
        .value
        .split(',')
        .map(|part| match part.parse() {
            Ok(place) => Ok(SampleRequest {
                place,
                at: Some(remark.place.clone()),
            }),
            Err(_) => Err(Box::new(Fault::at(
                remark.place.clone(),
                quoted(part.trim()),
                "the line of a sample",
                "write the lines of the samples, such as # exclude = 12, 17",
            ))),
        })
        .collect()
}

/// Takes a remark that counts once.
pub(crate) fn take(remark: &Remark, measurement: &mut Measurement) -> Result<(), Box<Fault>> {
    let Measurement { stylus, bench, .. } = measurement;
    let value = remark.value.as_str();
    let wrong = |expected: &str, remedy: String| {
        Box::new(Fault::at(
            remark.place.clone(),
            format!("{} = {}", remark.key, quoted(value)),
            expected,
            remedy,
        ))
    };
    let text = || Some(clean(value)).filter(|value| !value.is_empty());
    match remark.key {
        "model" => stylus.model = text(),
        "unit" => {
            let name = folded(value);
            if FORCE_UNITS.iter().any(|(unit, _)| *unit == name) {
                return Err(wrong(
                    "which stylus of its model it is",
                    "name the unit of forces in the header, such as force_n; # unit = 02 names a stylus"
                        .to_owned(),
                ));
            }
            stylus.unit = text();
        }
        "bench" => bench.name = text(),
        "date" => bench.date = text(),
        "lever" => bench.lever = text(),
        "notes" => bench.notes = text(),
        "levels" => match value.parse::<u32>() {
            Ok(levels) if (2..=MOST_LEVELS).contains(&levels) => stylus.levels = Some(levels),
            _ => {
                return Err(wrong(
                    "a number of levels",
                    format!(
                        "write a whole number from 2 to {MOST_LEVELS}, such as # levels = 8192"
                    ),
                ));
            }
        },
        "force_acts" => match ForceActs::from_word(value) {
            Some(acts) => bench.force_acts = Some(acts),
            None => {
                return Err(wrong(
                    "along-stylus or on-surface",
                    "write # force_acts = along-stylus, or on-surface with the tilt in degrees"
                        .to_owned(),
                ));
            }
        },
        "read_at" => match ReadAt::from_word(value) {
            Some(read_at) => bench.read_at = Some(read_at),
            None => {
                return Err(wrong(
                    "device, browser or program",
                    "write where readings were taken: # read_at = device".to_owned(),
                ));
            }
        },
        "tilt_deg" => match value.parse::<f64>() {
            Ok(tilt) if tilt.is_finite() => bench.tilt_deg = Some(tilt),
            _ => {
                return Err(wrong(
                    "a tilt",
                    "write degrees as a number, such as # tilt_deg = 30".to_owned(),
                ));
            }
        },
        key if key == Bench::SEATING_GAIN_U.0 => match value.parse::<f64>() {
            Ok(figure) if (0.0..=Bench::SEATING_GAIN_U.1).contains(&figure) => {
                bench.seating_gain_u = Some(figure);
            }
            _ => {
                return Err(wrong(
                    "a spread of gains",
                    format!("write a part of the force, such as # {key} = 0.01"),
                ));
            }
        },
        key => match value.parse::<f64>() {
            Ok(figure) if ForceBudget::accepts(key, figure) => {
                bench.budget.get_or_insert_default().set(key, figure);
            }
            _ => {
                return Err(wrong(
                    "a standard uncertainty",
                    format!("write a number, such as # {key} = 0.002"),
                ));
            }
        },
    }
    Ok(())
}
