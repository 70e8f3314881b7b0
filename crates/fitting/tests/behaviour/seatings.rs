//! Changes of seating that a file does not declare, and directions that it does.

use crate::cases::{ladder, measurement, pass};
use evenhand_fitting::{Settings, fit};
use evenhand_measurement::{Direction, Measurement, Sample, Seating};

fn two_passes(gain: f64) -> Vec<Sample> {
    let shape = |z: f64| z.powf(0.7);
    let mut samples = pass(ladder(16, 0.0), shape, 1.0, 2);
    samples.extend(pass(ladder(16, 0.5), shape, gain, 18));
    samples
}

fn settings() -> Settings {
    Settings {
        resamples: Settings::LEAST_RESAMPLES,
        ..Settings::default()
    }
}

#[test]
fn a_change_is_found_where_it_happened_and_nothing_is_done_about_it() {
    for gain in [0.95, 1.05] {
        let found = fit(&measurement(two_passes(gain)), &settings()).unwrap();
        let change = found.seating_change.unwrap();
        assert_eq!(change.place.line, 18, "{change:?}");
        assert!((change.gain / gain - 1.0).abs() < 0.015, "{change:?}");
        assert_eq!(found.seatings.len(), 1);
        let warned = found.warnings.iter().find(|w| w.line == Some(18)).unwrap();
        assert!(
            warned.advice.setting == Some(evenhand_text::Setting::NewSeating("18".to_owned())),
            "{}",
            warned.advice.text
        );
    }
}

#[test]
fn no_change_is_called_without_one() {
    let found = fit(&measurement(two_passes(1.0)), &settings()).unwrap();
    assert_eq!(found.seating_change, None);
    // One pass shares no forces between its halves: nothing can be told from it.
    let single = pass(ladder(32, 0.0), |z| z.powf(0.7), 1.0, 2);
    let found = fit(&measurement(single), &settings()).unwrap();
    assert_eq!(found.seating_change, None);
}

/// None, one that is about as likely as not, and one that is found: intervals allow for each by its probability.
#[test]
fn a_change_widens_by_how_likely_it_is() {
    let width = |gain: f64| {
        let settings = Settings {
            resamples: 400,
            ..Settings::default()
        };
        let found = fit(&measurement(two_passes(gain)), &settings).unwrap();
        let saturation = found.saturation.interval().unwrap();
        saturation.high.gf() - saturation.low.gf()
    };
    let widths = [1.0, 1.008, 1.012].map(width);
    let [none, perhaps, found] = widths;
    assert!(1.5 * none < perhaps && perhaps < 0.8 * found, "{widths:?}");
}

#[test]
fn a_declared_change_becomes_a_gain() {
    let mut declared = measurement(two_passes(1.05));
    for sample in &mut declared.samples[16..] {
        sample.seating = 1;
    }
    declared.seatings.push(Seating {
        index: 7,
        direction: None,
    });
    let found = fit(&declared, &settings()).unwrap();
    assert_eq!(found.seating_change, None);
    assert_eq!(found.seatings[1].index, 7);
    let ratio = found.seatings[1].force_gain / found.seatings[0].force_gain;
    assert!((ratio - 1.05).abs() < 0.01, "{ratio}");
}

#[test]
fn unloading_is_told_apart_and_the_curve_is_that_of_loading() {
    let shape = |z: f64| z.powf(0.7);
    let mut samples = pass(ladder(18, 0.0), shape, 1.0, 2);
    for sample in &mut samples {
        sample.direction = Some(Direction::Loading);
    }
    let mut lowered = pass(ladder(18, 0.0), shape, 1.04, 20);
    lowered.reverse();
    for sample in &mut lowered {
        sample.direction = Some(Direction::Unloading);
    }
    let loading = fit(&measurement(samples.clone()), &settings()).unwrap();
    assert_eq!(loading.unloading_gain, None);
    assert_eq!(loading.hysteresis, None);
    samples.extend(lowered);
    let both: Measurement = measurement(samples);
    let found = fit(&both, &settings()).unwrap();
    let gain = found.unloading_gain.unwrap();
    assert!((gain - 1.04).abs() < 0.01, "{gain}");
    assert!(found.hysteresis.unwrap().largest > 0.01);
    assert_eq!(found.seating_change, None);
    let moved =
        found.saturation.estimate().unwrap().gf() / loading.saturation.estimate().unwrap().gf();
    assert!((moved - 1.0).abs() < 0.01, "{moved}");
}

#[test]
fn a_seating_without_samples_counts_for_nothing() {
    let samples = pass(ladder(24, 0.0), |z| z.powf(0.7), 1.0, 2);
    let plain = fit(&measurement(samples.clone()), &settings()).unwrap();
    let mut emptied = measurement(samples);
    for sample in &mut emptied.samples {
        sample.seating = 1;
    }
    emptied.seatings.insert(
        0,
        Seating {
            index: 5,
            direction: None,
        },
    );
    let found = fit(&emptied, &settings()).unwrap();
    assert_eq!(found.saturation, plain.saturation);
    assert_eq!(found.onset, plain.onset);
    assert_eq!(found.seatings.len(), 1);
    assert_eq!(found.seatings[0].index, 1);
}

#[test]
fn directions_that_are_seatings_are_told_of() {
    let mut both = measurement(two_passes(1.04));
    both.seatings.push(Seating {
        index: 2,
        direction: Some(Direction::Unloading),
    });
    for sample in &mut both.samples[16..] {
        sample.seating = 1;
        sample.direction = Some(Direction::Unloading);
    }
    // The first seating says nothing of its direction, which counts as loading throughout.
    let found = fit(&both, &settings()).unwrap();
    assert!(found.unloading_gain.is_some() && found.hysteresis.is_some());
    let told = |w: &evenhand_fitting::FitWarning| w.message.contains("no seating holds both");
    assert!(found.warnings.iter().any(told), "{:?}", found.warnings);
}
