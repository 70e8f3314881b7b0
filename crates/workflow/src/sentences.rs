//! Numbers and names for people.

use evenhand_measurement::{Measurement, ReadAt};
use evenhand_text::clean;

/// That readings of `first` and `second` were taken in different places, where both files say so: what lies between
/// may change them.
#[must_use]
pub fn mixed_places(
    first: (&str, Option<ReadAt>),
    second: (&str, Option<ReadAt>),
) -> Option<String> {
    let (here, there) = (first.1?, second.1?);
    (here != there).then(|| {
        format!(
            "readings of {} were taken at the {}, those of {} at the {}: what lies between may change them",
            first.0,
            here.word(),
            second.0,
            there.word()
        )
    })
}

/// A force with as many digits as a hand or a scale can tell.
pub fn gf(value: f64) -> String {
    let places = if value.abs() < 100.0 { 2 } else { 1 };
    format!("{value:.places$} gf")
}

/// A number of items with its noun.
pub fn count(number: usize, noun: &str) -> String {
    format!("{number} {noun}{}", if number == 1 { "" } else { "s" })
}

/// A part as percent, without needless digits.
pub fn percent(part: f64) -> String {
    short(100.0 * part, 3)
}

/// A number with so many decimals (1 or more), without needless ones.
pub fn short(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// The stylus by name, or the file, as it can be shown.
pub fn name(measurement: &Measurement, file: &str) -> String {
    let name = match (&measurement.stylus.model, &measurement.stylus.unit) {
        (Some(model), Some(unit)) => format!("{model} {unit}"),
        (Some(model), None) => model.clone(),
        _ => file.to_owned(),
    };
    clean(&name)
}
