//! What a file is refused with.

use evenhand_text::Faults;

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
