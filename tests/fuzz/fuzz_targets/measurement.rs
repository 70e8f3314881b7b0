//! Whatever the bytes: a measurement that survives being written and fitted, or an error with advice.

use evenhand_fitting::{Settings, fit};
use evenhand_measurement::{ReadOptions, parse_measurement, suspicions, write_csv, write_toml};

pub fn survives(name: &str, bytes: &[u8]) {
    match parse_measurement(name, bytes, &ReadOptions::default()) {
        Err(error) => assert!(!error.message().is_empty() && !error.help().is_empty()),
        Ok((measurement, _)) => {
            let _ = suspicions(&measurement);
            for (name, text) in
                [("again.csv", write_csv(&measurement)), ("again.toml", write_toml(&measurement))]
            {
                let (again, _) =
                    parse_measurement(name, text.as_bytes(), &ReadOptions::default()).unwrap();
                assert_eq!(again.samples.len(), measurement.samples.len());
            }
            if measurement.samples.len() < 40 {
                let _ = fit(&measurement, &Settings { resamples: 50, ..Settings::default() });
            }
        }
    }
}
