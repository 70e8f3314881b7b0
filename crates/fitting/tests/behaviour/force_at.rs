//! The force at which the response passes a reading, against responses whose inverse is known.

use std::f64::consts::PI;

use evenhand_fitting::{Fit, Settings, fit};
use evenhand_measurement::{Force, Measurement, Sample};

use crate::cases::measurement;

/// A rise with its inverse, both 0..1.
type Rise = (&'static str, fn(f64) -> f64, fn(f64) -> f64);

/// Straight, gentle at its beginning, steep there, gentle at both ends.
const RISES: [Rise; 4] = [
    ("line", |part| part, |reading| reading),
    ("square", |part| part * part, f64::sqrt),
    ("root", f64::sqrt, |reading| reading * reading),
    (
        "sine",
        |part| (0.5 * PI * part).sin().powi(2),
        |reading| 2.0 / PI * reading.sqrt().asin(),
    ),
];

/// Readings of a rise from 10 gf to 210 gf at every 5 gf up to `last`, rounded to 0.001 %.
fn rise(shape: fn(f64) -> f64, last: u32) -> Measurement {
    let sample = |(line, force): (usize, u32)| {
        let part = ((f64::from(force) - 10.0) / 200.0).clamp(0.0, 1.0);
        Sample {
            force: Force::from_gf(f64::from(force)),
            reading: (1e5 * shape(part)).round() / 1e5,
            seating: 0,
            direction: None,
            line,
        }
    };
    measurement((2..).zip((0..=last).step_by(5)).map(sample).collect())
}

fn fitted(shape: fn(f64) -> f64, last: u32) -> Fit {
    let settings = Settings {
        resamples: 200,
        ..Settings::default()
    };
    fit(&rise(shape, last), &settings).expect("a rise is fitted")
}

#[test]
fn force_at_a_reading_is_where_the_rise_passes_it() {
    for (name, shape, inverse) in RISES {
        let found = fitted(shape, 260);
        // What samples 5 gf apart leave open at a gentle or cornered end, in gf; between the ends less.
        for (reading, allowed) in [
            (0.01, 0.3),
            (0.1, 0.3),
            (0.5, 0.05),
            (0.9, 0.2),
            (0.99, 1.0),
        ] {
            let expected = 10.0 + 200.0 * inverse(reading);
            let at = found.force_at(reading).unwrap();
            let estimate = at.estimate.gf();
            assert!(
                (estimate - expected).abs() < allowed,
                "{name} at {reading}: {estimate} for {expected}"
            );
            assert!(
                at.low < at.estimate && at.estimate < at.high,
                "{name}: {at:?}"
            );
            assert!(
                at.low.gf() < expected + 0.3 && expected - 0.3 < at.high.gf(),
                "{name} at {reading}: {at:?} for {expected}"
            );
        }
    }
}

#[test]
fn force_at_more_than_was_seen_is_none() {
    // 70 % at the last force.
    let found = fitted(|part| part, 150);
    let last = found.response.last_force();
    let highest = found.response.reading(last);
    assert!((highest - 0.7).abs() < 0.01, "{highest}");
    assert!(found.reaches(highest) && found.reaches(0.0));
    assert!(!found.reaches(highest + 1e-9) && !found.reaches(-0.01) && !found.reaches(f64::NAN));
    let at = found.force_at(highest).expect("the response gets there");
    assert!((at.estimate.gf() - last.gf()).abs() < 1e-6, "{at:?}");
    for never in [0.7001, 1.0, -0.01, f64::NAN] {
        assert!(found.force_at(never).is_none(), "{never}");
    }
}

#[test]
fn force_at_what_one_outlier_read_is_not_reached() {
    let mut measurement = rise(|part| part, 110);
    let apart = measurement.samples.len() / 2;
    measurement.samples[apart].reading = 0.9;
    let settings = Settings {
        resamples: 200,
        ..Settings::default()
    };
    let found = fit(&measurement, &settings).expect("a rise is fitted");
    assert!(found.reaches(0.45) && !found.reaches(0.8));
}
