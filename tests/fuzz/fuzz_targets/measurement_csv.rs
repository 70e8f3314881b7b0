//! Measurements as CSV.
#![no_main]

mod measurement;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| measurement::survives("fuzz.csv", bytes));
