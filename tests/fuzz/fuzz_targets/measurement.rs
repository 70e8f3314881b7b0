//! Whatever the bytes: a measurement that survives being written and fitted, or an error with advice.

use evenhand_fitting::{Settings, fit};
use evenhand_measurement::{Measurement, ReadOptions, parse_measurement, suspicions, write_csv, write_toml};

pub fn survives(name: &str, bytes: &[u8]) {
    match parse_measurement(name, bytes, &ReadOptions::default()) {
        Err(faults) => {
            for fault in faults.iter() {
                assert!(!fault.found.is_empty() && fault.remedy != Default::default(), "{fault}");
            }
        }
        Ok((measurement, _)) => {
            let _ = suspicions(&measurement);
            for (name, text) in
                [("again.csv", write_csv(&measurement)), ("again.toml", write_toml(&measurement))]
            {
                let (again, _) =
                    parse_measurement(name, text.as_bytes(), &ReadOptions::default()).unwrap();
                let bits = |measurement: &Measurement| {
                    let mut all: Vec<_> = measurement
                        .samples
                        .iter()
                        .map(|s| (s.force.gf().to_bits(), s.reading.to_bits()))
                        .collect();
                    all.sort_unstable();
                    all
                };
                assert_eq!(bits(&again), bits(&measurement));
                assert_eq!(again.labels, measurement.labels);
            }
            if measurement.samples.len() < 40 {
                let _ = fit(&measurement, &Settings { resamples: 50, ..Settings::default() });
            }
        }
    }
}
