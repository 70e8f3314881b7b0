//! What a file is refused with.

use std::fmt::Debug;

use evenhand_text::Faults;

use super::cases::{cases, changed, rows};

/// The lines and columns of faults that have a place.
pub(crate) fn places(faults: &Faults) -> Vec<(usize, usize)> {
    let places = faults.iter().filter_map(|fault| fault.place.as_ref());
    places.map(|place| (place.line, place.column)).collect()
}

/// Their lines alone.
pub(crate) fn lines(faults: &Faults) -> Vec<usize> {
    places(faults).iter().map(|place| place.0).collect()
}

/// There is one fault, at this place, which says this and has such a remedy.
#[track_caller]
pub(crate) fn assert_told(
    name: &str,
    faults: &Faults,
    place: (usize, usize),
    found: &str,
    remedy: &str,
) {
    assert_eq!(faults.count(), 1, "{name}: {faults:#?}");
    let told = faults.line().zip(faults.column());
    assert_eq!(told, Some(place), "{name}: {faults}");
    assert!(faults.to_string().contains(found), "{name}: {faults}");
    let told = &faults.first().remedy.text;
    assert!(told.contains(remedy), "{name}: {told}");
}

/// The same of every case of a list.
#[track_caller]
pub(crate) fn assert_cases<T: Debug>(list: &str, read: impl Fn(&[u8]) -> Result<T, Faults>) {
    for case in cases(list) {
        let faults = read(case.text.as_bytes()).expect_err(&case.text);
        assert_told(&case.text, &faults, case.place, &case.found, &case.remedy);
    }
}

/// Each change of a text that is right has one fault; a list of lines such as `this → that | line | what is told`.
#[track_caller]
pub(crate) fn assert_changes<T: Debug>(
    list: &str,
    right: &str,
    parse: impl Fn(&str) -> Result<T, Faults>,
) {
    for [changes, line, words] in rows(list) {
        let faults = parse(&changed(right, &changes)).expect_err(&changes);
        assert_one(&faults, line.parse().expect("a line"), &words);
    }
}

/// Line (0 of the whole file), what is wrong and what to do, of each fault.
pub(crate) fn told(faults: &Faults) -> Vec<(usize, String, String)> {
    faults
        .iter()
        .map(|fault| {
            let line = fault.place.as_ref().map_or(0, |place| place.line);
            (line, fault.to_string(), fault.remedy.text.clone())
        })
        .collect()
}

/// There is one fault, in this line, which says this and has a remedy.
#[track_caller]
pub(crate) fn assert_one(faults: &Faults, line: usize, words: &str) {
    let told = told(faults);
    assert_eq!(told.len(), 1, "{told:#?}");
    assert_eq!(told[0].0, line, "{told:#?}");
    assert!(told[0].1.contains(words), "{words}: {told:#?}");
    assert!(!told[0].2.is_empty(), "{told:#?}");
}
