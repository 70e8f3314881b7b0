//! Whatever the text: strokes in order of time, or an error with a place.
#![no_main]

use evenhand_strokes::{Pressing, read_stroke_table};

libfuzzer_sys::fuzz_target!(|text: &str| {
    match read_stroke_table(text, Some(1024)) {
        Err(error) => assert!(!error.help.is_empty() && error.span.end <= text.len()),
        Ok(strokes) => {
            assert!(!strokes.is_empty());
            for stroke in &strokes.strokes {
                assert!(!stroke.points.is_empty());
                for pair in stroke.points.windows(2) {
                    assert!(pair[0].time_s <= pair[1].time_s);
                }
                for point in &stroke.points {
                    assert!(point.press >= 0.0);
                    assert!(strokes.pressing == Pressing::ForceGf || point.press <= 1.0);
                }
            }
        }
    }
});
