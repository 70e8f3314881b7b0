//! Whatever the bytes: strokes in order of time, or faults with a remedy and nothing that steers a terminal.
#![no_main]

use evenhand_strokes::{Levels, PressUnit, read_stroke_table};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    let levels = Levels {
        set: None,
        of_stylus: Some(1024),
    };
    match read_stroke_table("fuzz.csv", bytes, levels) {
        Err(faults) => {
            for fault in faults.iter() {
                assert!(!fault.found.is_empty() && fault.remedy != Default::default(), "{fault}");
                assert!(evenhand_text::is_clean(&fault.to_string()), "{fault}");
            }
        }
        Ok((strokes, read_as)) => {
            assert!(!strokes.is_empty());
            assert!(evenhand_text::is_clean(&read_as.in_words()));
            for stroke in &strokes.strokes {
                assert!(!stroke.points.is_empty());
                for pair in stroke.points.windows(2) {
                    assert!(pair[0].time_s <= pair[1].time_s);
                }
                for point in &stroke.points {
                    assert!(point.press >= 0.0);
                    assert!(strokes.press_unit == PressUnit::ForceGf || point.press <= 1.0);
                }
            }
        }
    }
});
