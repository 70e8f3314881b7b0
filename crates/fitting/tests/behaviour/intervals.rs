//! What intervals are made of: the errors that all forces share, what seatings leave open, what samples do not show.
//!
//! A normal error with standard deviation s widens a 95 % interval to at least 3.92 s (JCGM 100, G.1.2).

use evenhand_fitting::{Fit, FitError, ForceInterval, Settings, fit, repeatability};
use evenhand_measurement::{ForceBudget, Measurement, Seating};

use crate::cases::{ladder, measurement, pass};

const NORMAL_95: f64 = 3.92;

fn plain() -> Measurement {
    measurement(pass(ladder(32, 0.0), |z| z, 1.0, 2))
}

fn fitted(measurement: &Measurement) -> Fit {
    fit(measurement, &Settings::default()).expect("a rise is fitted")
}

fn width(found: &ForceInterval) -> f64 {
    found.high.gf() - found.low.gf()
}

/// Samples by turns in two seatings with the same gain.
fn two_seatings(stated: Option<f64>) -> Measurement {
    by_turns(2, stated)
}

/// Samples by turns in so many seatings with the same gain.
fn by_turns(seatings: usize, stated: Option<f64>) -> Measurement {
    let mut measurement = plain();
    measurement.seatings = (1..)
        .take(seatings)
        .map(|index| Seating {
            index,
            direction: None,
        })
        .collect();
    for (index, sample) in measurement.samples.iter_mut().enumerate() {
        sample.seating = index % seatings;
    }
    measurement.bench.seating_gain_u = stated;
    measurement
}

#[test]
fn offset_and_gain_that_all_forces_share_widen_intervals_as_they_are() {
    let mut with = plain();
    with.bench.budget = Some(ForceBudget {
        gain: 0.0,
        offset_gf: 4.0,
        scatter_gf: 0.4,
        scatter_part: 0.002,
    });
    let offset = fitted(&with);
    let least = 0.9 * NORMAL_95 * 4.0;
    assert!(width(&offset.onset) > least, "{:?}", offset.onset);
    let saturation = offset.saturation.interval().unwrap();
    assert!(width(&saturation) > least, "{saturation:?}");
    // An offset moves both ends alike: the span stays as it is.
    assert!(width(&offset.span.unwrap()) < least);

    with.bench.budget = Some(ForceBudget {
        gain: 0.03,
        offset_gf: 0.0,
        scatter_gf: 0.4,
        scatter_part: 0.002,
    });
    let gain = fitted(&with);
    let saturation = gain.saturation.interval().unwrap();
    let least = 0.9 * NORMAL_95 * 0.03 * 250.0;
    assert!(width(&saturation) > least, "{saturation:?}");
    assert!(width(&gain.force_at(0.5).unwrap()) > 0.5 * least);
}

#[test]
fn seatings_leave_their_common_error_open_as_far_as_the_bench_states() {
    let saturation = |stated| {
        let found = fitted(&two_seatings(stated));
        width(&found.saturation.interval().unwrap())
    };
    let exact = saturation(Some(0.0));
    // Two seatings: the mean of their gains is unknown by 4 %/√2.
    let least = 0.9 * NORMAL_95 * 0.04 / 2.0_f64.sqrt() * 250.0;
    let wide = saturation(Some(0.04));
    assert!(wide > least, "{wide} against {least}");
    assert!(exact < 0.5 * wide, "{exact} against {wide}");
    // Nothing stated: what is usual counts, though both seatings agree.
    let believed = saturation(None);
    assert!(
        exact < believed && believed < wide,
        "{exact} {believed} {wide}"
    );
}

#[test]
fn beyond_the_last_sample_of_an_unsaturated_response_anything_is_possible() {
    let low: Vec<f64> = ladder(32, 0.0).filter(|force| *force < 150.0).collect();
    let last = low[low.len() - 1];
    let found = fitted(&measurement(pass(low, |z| z, 1.0, 2)));
    let beyond: Vec<_> = found
        .curve()
        .into_iter()
        .filter(|row| row.force.gf() > last)
        .collect();
    assert!(!beyond.is_empty());
    for row in beyond {
        assert!((row.high - 1.0).abs() < 1e-15, "{row:?}");
        assert!(row.low < 0.7, "{row:?}");
    }
}

#[test]
fn intervals_that_resamples_cannot_carry_are_refused() {
    let with = |confidence, resamples| {
        let settings = Settings {
            confidence,
            resamples,
            ..Settings::default()
        };
        fit(&plain(), &settings).map(|_| ())
    };
    // One of 50 beyond each end of 95 %, one of 2000 beyond those of 99.9 %.
    assert_eq!(with(0.95, 50), Ok(()));
    assert_eq!(with(0.999, 2000), Ok(()));
    for (confidence, resamples, needed) in [(0.9999999, 50, 2e7), (0.999, 1999, 2000.0)] {
        let error = with(confidence, resamples).unwrap_err();
        let FitError::TooFewResamples { least, .. } = error else {
            panic!("{error:?}")
        };
        assert!((least / needed - 1.0).abs() < 1e-6, "{least}");
        assert!(error.is_bad_input());
    }
}

#[test]
fn forces_that_differ_by_nothing_are_one_force() {
    let mut alike = plain();
    for (index, sample) in alike.samples.iter_mut().enumerate() {
        sample.force = evenhand_measurement::Force::from_gf(100.0 + 1e-13 * index as f64);
    }
    let refused = fit(&alike, &Settings::default()).map(|_| ()).unwrap_err();
    assert!(
        matches!(refused, FitError::OneForce { samples: 32, .. }),
        "{refused:?}"
    );
}

#[test]
fn a_column_that_counts_samples_is_no_column_of_seatings() {
    let numbered = |each: usize| {
        let mut measurement = plain();
        let count = measurement.samples.len() / each;
        measurement.seatings = (0..count as i64)
            .map(|index| Seating {
                index,
                direction: None,
            })
            .collect();
        for (index, sample) in measurement.samples.iter_mut().enumerate() {
            sample.seating = index % count;
        }
        fit(&measurement, &Settings::quick()).map(|_| ())
    };
    assert_eq!(
        numbered(1),
        Err(FitError::TooManySeatings {
            seatings: 32,
            samples: 32
        })
    );
    assert_eq!(numbered(8), Ok(()));
}

#[test]
fn readings_at_a_limit_are_no_repeatability() {
    let mut repeated = plain();
    let first = repeated.samples[0];
    assert!(first.reading.abs() < 1e-15);
    repeated.samples.push(first);
    assert_eq!(repeatability(&repeated), None);
    let mut inside = repeated.samples[10];
    inside.reading += 0.02;
    repeated.samples.push(inside);
    let found = repeatability(&repeated).unwrap();
    assert!((found.largest_range - 0.02).abs() < 1e-12);
}

#[test]
fn a_gentle_end_is_wide_and_says_why() {
    let gentle = measurement(pass(ladder(30, 0.0), |z| z.powf(2.2), 1.0, 2));
    let found = fitted(&gentle);
    assert!(width(&found.onset) > 8.0, "{:?}", found.onset);
    assert!(found.onset.low.gf() < 10.0 && 10.0 < found.onset.high.gf());
    let says = |fit: &Fit, words: &str| fit.warnings.iter().any(|w| w.message.contains(words));
    assert!(says(&found, "leaves 0 gently"), "{:?}", found.warnings);
    assert!(!says(&found, "full scale gently"), "{:?}", found.warnings);
    let flat = measurement(pass(ladder(30, 0.0), |z| 1.0 - (1.0 - z).powf(2.2), 1.0, 2));
    let found = fitted(&flat);
    assert!(says(&found, "full scale gently"), "{:?}", found.warnings);
    let saturation = found.saturation.interval().unwrap();
    assert!(
        saturation.low.gf() < 250.0 && 250.0 < saturation.high.gf(),
        "{saturation:?}"
    );
    let found = fitted(&plain());
    assert!(!says(&found, "gently"), "{:?}", found.warnings);
    // So many samples show where even a gentle end is.
    let known = measurement(pass(ladder(400, 0.0), |z| z.powf(1.5), 1.0, 2));
    let found = fitted(&known);
    assert!(width(&found.onset) < 0.03 * 240.0, "{:?}", found.onset);
    assert!(!says(&found, "gently"), "{:?}", found.warnings);
}

#[test]
fn the_mean_of_many_seatings_is_better_known_than_one() {
    // Gains that spread by 8 %: the mean of n is unknown by 8 %/√n (any textbook), which drowns all else here.
    for seatings in [2, 4] {
        let found = fitted(&by_turns(seatings, Some(0.08)));
        let width = width(&found.saturation.interval().unwrap());
        let expected = NORMAL_95 * 0.08 * 250.0 / (seatings as f64).sqrt();
        assert!(
            (width / expected - 1.0).abs() < 0.2,
            "{seatings} seatings: {width} gf, expected {expected} gf"
        );
    }
}

#[test]
fn the_scatter_of_few_samples_is_known_badly() {
    // Of a scatter that few samples show, intervals are Student's: from 95 to 99.8 % they widen by more than a normal
    // law's 3.0902/1.9600 (tables of both).
    let width_at = |confidence: f64| {
        let settings = Settings {
            confidence,
            resamples: 20_000,
            ..Settings::default()
        };
        let found = fit(
            &measurement(pass(ladder(11, 0.0), |z| z, 1.0, 2)),
            &settings,
        );
        width(
            &found
                .expect("a rise is fitted")
                .force_at(0.5)
                .expect("half"),
        )
    };
    let ratio = width_at(0.998) / width_at(0.95);
    assert!(ratio > 1.75, "{ratio}");
}
