//! Names and cautions for people.

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

/// The stylus by name, or the file, as it can be shown.
pub fn name(measurement: &Measurement, file: &str) -> String {
    let name = match (&measurement.stylus.model, &measurement.stylus.unit) {
        (Some(model), Some(unit)) => format!("{model} {unit}"),
        (Some(model), None) => model.clone(),
        _ => file.to_owned(),
    };
    clean(&name)
}
