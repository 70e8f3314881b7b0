//! Whatever the text: a target that rises from 0 to 1, or an error with a place and advice.
#![no_main]

use evenhand_inversion::{TargetProfile, TargetShape};

libfuzzer_sys::fuzz_target!(|text: &str| {
    match TargetProfile::parse(text, "fuzz.toml") {
        Err(faults) => assert!(faults.iter().all(|fault| !fault.remedy.text.is_empty())),
        Ok(target) => {
            if let TargetShape::Drawn(drawn) = target.shape {
                let mut before = 0.0;
                for step in 0..=100 {
                    let output = drawn.output(f64::from(step) / 100.0);
                    assert!((before..=1.0).contains(&output));
                    before = output;
                }
                assert_eq!(before, 1.0);
            }
        }
    }
});
