//! Whatever the text: a profile that survives being written, or an error with a place and advice.
#![no_main]

use evenhand_receiver::Profile;

libfuzzer_sys::fuzz_target!(|text: &str| {
    match Profile::parse(text, "fuzz.toml") {
        Err(faults) => assert!(faults.iter().all(|fault| !fault.remedy.text.is_empty())),
        Ok(profile) => {
            let again = Profile::parse(&profile.to_toml(), "again.toml").unwrap();
            assert_eq!(again, profile);
        }
    }
});
