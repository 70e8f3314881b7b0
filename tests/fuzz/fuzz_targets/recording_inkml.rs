//! Whatever the text: strokes with places, readings and times that are numbers, or an error with a place.
#![no_main]

use evenhand_strokes::{Mapping, PressUnit, read_inkml};

libfuzzer_sys::fuzz_target!(|text: &str| {
    if let Ok(mapping) = Mapping::parse(text) {
        let mut values = vec![("F".to_owned(), 0.5), ("X".to_owned(), -1.0)];
        mapping.apply(&mut values);
    }
    match read_inkml(text).and_then(|recording| recording.strokes(Some(1024))) {
        Err(fault) => {
            assert!(!fault.found.is_empty() && fault.remedy != Default::default(), "{fault}");
            assert!(evenhand_text::is_clean(&fault.to_string()), "{fault}");
            let span = fault.place.and_then(|place| place.span);
            assert!(span.is_none_or(|span| span.end <= text.len()));
        }
        Ok(strokes) => {
            assert!(!strokes.is_empty());
            for point in strokes.strokes.iter().flat_map(|stroke| &stroke.points) {
                assert!(point.press >= 0.0);
                assert!(strokes.press_unit == PressUnit::ForceGf || point.press <= 1.0);
            }
        }
    }
});
