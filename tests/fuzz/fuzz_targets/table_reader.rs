//! Tables of outputs with a chosen column: the reader of tables under another list of columns.
#![no_main]

use evenhand_measurement::{ReadOptions, parse_measurement};

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
    // The first line chooses a column, the rest is the table.
    let end = bytes.iter().position(|byte| *byte == b'\n').unwrap_or(bytes.len());
    let (chosen, table) = bytes.split_at(end);
    let options = ReadOptions {
        outputs: true,
        columns: vec![String::from_utf8_lossy(chosen).into_owned()],
        ..ReadOptions::default()
    };
    match parse_measurement("fuzz.csv", table, &options) {
        Err(faults) => {
            for fault in faults.iter() {
                assert!(!fault.found.is_empty() && fault.remedy != Default::default(), "{fault}");
                assert!(evenhand_text::is_clean(&fault.to_string()), "{fault}");
            }
        }
        Ok((measurement, source)) => {
            assert!(!measurement.samples.is_empty() || !measurement.excluded.is_empty());
            assert!(evenhand_text::is_clean(&source.read_as.in_words()));
            for sample in &measurement.samples {
                assert!((0.0..=1.0).contains(&sample.reading) && sample.force.gf() >= 0.0);
            }
        }
    }
});
