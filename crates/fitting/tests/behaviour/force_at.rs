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

#[test]
fn a_turn_between_two_samples_is_open_as_far_as_they_leave_it() {
    // Nearly dead from 20 gf on, 0.6 % at 100 gf; from a corner at 110 gf half a percent a gf. Between the samples at
    // 100 and 120 gf nothing says where the corner lies.
    let reading = |force: f64| match force {
        ..20.0 => 0.0,
        20.0..110.0 => 0.000_075 * (force - 20.0),
        _ => (0.006_75 + 0.005 * (force - 110.0)).min(1.0),
    };
    let samples = (0..18).map(|step| 20.0 * f64::from(step)).enumerate();
    let samples = samples.map(|(index, force)| Sample {
        force: Force::from_gf(force),
        reading: reading(force),
        seating: 0,
        direction: None,
        line: index + 2,
    });
    let measurement = measurement(samples.collect());
    let found = fit(&measurement, &Settings::default()).expect("a rise is fitted");
    let at_1 = found.force_at(0.01).expect("a reading within");
    assert!(at_1.low.gf() <= 100.0, "{at_1:?}");
    // Were the rise from the corner twice as steep as from 120 to 140 gf, 1 % a gf, it would begin
    // (5.675 − 1) gf before 120 gf.
    assert!((at_1.high.gf() - 115.3).abs() < 1.0, "{at_1:?}");
    // Further up both neighbours lie on the line.
    let at_50 = found.force_at(0.5).expect("a reading within");
    assert!(at_50.high.gf() - at_50.low.gf() < 8.0, "{at_50:?}");
}
