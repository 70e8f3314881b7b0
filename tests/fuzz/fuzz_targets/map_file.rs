//! Whatever the text: a map that survives being written and can be judged, or faults with advice and their places.
#![no_main]

use std::path::Path;

use evenhand_workflow::{MapFile, edit_warning};

libfuzzer_sys::fuzz_target!(|text: &str| {
    match MapFile::parse(text, "fuzz.toml") {
        Err(faults) => {
            for fault in faults.iter() {
                let words = |_: &_| "set it".to_owned();
                assert!(!fault.found.is_empty() && !fault.remedy.in_words(words).is_empty());
                if let Some(span) = fault.place.as_ref().and_then(|place| place.span.as_ref()) {
                    assert!(span.end <= text.len());
                }
            }
        }
        Ok(map) => {
            let _ = edit_warning(Path::new("fuzz.toml"), &map);
            // A whole number beyond what TOML holds is refused when it is written.
            if let Ok(text) = map.to_toml() {
                assert_eq!(MapFile::parse(&text, "again.toml").unwrap(), map);
            }
        }
    }
});
