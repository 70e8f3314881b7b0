//! Which shape is taken, and what a slip may do.

use crate::cases::{ladder, measurement, pass};
use evenhand_fitting::{Form, Settings, fit};
use evenhand_measurement::Force;

#[test]
fn a_closed_form_that_foretells_better_shares_the_response() {
    let straight = measurement(pass(ladder(50, 0.0), |z| z, 1.0, 2));
    let found = fit(&straight, &Settings::default()).unwrap();
    let closed = found.shape.closed.expect("a straight rise needs no spline");
    let score = |form| {
        let of = |s: &&evenhand_fitting::ShapeScore| s.form == form;
        *found.shape.scores.iter().find(of).unwrap()
    };
    let (taken, line) = (score(closed), score(Form::Line));
    assert!(taken.advantage > taken.advantage_error);
    assert!(taken.advantage >= line.advantage);
    assert!(line.leave_one_out_rms < 1.2 * score(Form::Spline).leave_one_out_rms);
    assert!(found.shape.reason().contains(closed.as_str()));
}

#[test]
fn a_table_of_firmware_is_left_to_the_spline() {
    let kinked = |z: f64| {
        if z < 0.2 {
            3.0 * z
        } else if z < 0.7 {
            0.6 + 0.2 * (z - 0.2)
        } else {
            0.7 + (z - 0.7)
        }
    };
    let found = fit(
        &measurement(pass(ladder(50, 0.0), kinked, 1.0, 2)),
        &Settings::default(),
    )
    .unwrap();
    assert_eq!(found.shape.closed, None, "{:?}", found.shape.scores);
    let spline = found.shape.scores[0];
    assert_eq!(spline.form, Form::Spline);
    for other in &found.shape.scores[1..] {
        assert!(
            spline.leave_one_out_rms < other.leave_one_out_rms,
            "{other:?}"
        );
    }
}

#[test]
fn a_slip_is_named_and_moves_little() {
    let clean = measurement(pass(ladder(36, 0.0), |z| z.powf(0.8), 1.0, 2));
    let mut slipped = clean.clone();
    let at = 17;
    slipped.samples[at].reading += 0.2;
    let settings = Settings::default();
    let (clean, slipped) = (
        fit(&clean, &settings).unwrap(),
        fit(&slipped, &settings).unwrap(),
    );
    let line = Some(at + 2);
    let warned = slipped.warnings.iter().find(|w| w.line == line).unwrap();
    assert!(warned.message.contains("kept"), "{}", warned.message);
    assert_eq!(warned.advice.setting, Some(evenhand_text::Setting::Exclude));
    assert!(clean.warnings.iter().all(|w| w.line != line));
    // Less than the intervals of the clean fit, everywhere.
    for step in 0..=56 {
        let force = Force::from_gf(5.0 * f64::from(step));
        let moved = slipped.response.reading(force) - clean.response.reading(force);
        assert!(moved.abs() < 0.005, "{moved} at {force}");
    }
    let onset = slipped.onset.estimate;
    assert!(
        clean.onset.low <= onset && onset <= clean.onset.high,
        "{onset} outside {:?}",
        clean.onset
    );
}

#[test]
fn every_number_of_threads_gives_the_same_bytes() {
    let measurement = measurement(pass(ladder(30, 0.0), f64::sqrt, 1.0, 2));
    let settings = Settings {
        resamples: 200,
        ..Settings::default()
    };
    let on = |threads| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
        let found = pool
            .unwrap()
            .install(|| fit(&measurement, &settings))
            .unwrap();
        format!(
            "{:?} {:?} {:?} {:?}",
            found.onset,
            found.saturation,
            found.span,
            found.curve()
        )
    };
    let one = on(1);
    for threads in [2, 3, 7] {
        assert_eq!(on(threads), one, "{threads} threads");
    }
    let other = Settings {
        seed: 2,
        ..settings
    };
    let again = fit(&measurement, &other).unwrap();
    assert_ne!(
        format!("{:?}", again.onset),
        one[..format!("{:?}", again.onset).len()]
    );
}

#[test]
fn readings_that_scatter_at_the_limits_move_neither_end() {
    let settings = Settings::default();
    let quiet = measurement(pass(ladder(50, 0.0), |z| z, 1.0, 2));
    let quiet = fit(&quiet, &settings).unwrap();
    // Every other reading at rest and at full scale stands a little off its limit.
    let mut restless = measurement(pass(ladder(50, 0.0), |z| z, 1.0, 2));
    for sample in restless.samples.iter_mut().step_by(2) {
        if sample.reading <= 0.0 {
            sample.reading = 0.0005;
        } else if sample.reading >= 1.0 {
            sample.reading = 0.9995;
        }
    }
    let restless = fit(&restless, &settings).unwrap();
    let ends = |found: &evenhand_fitting::Fit| {
        let saturation = found.saturation.interval().unwrap();
        (found.onset, saturation)
    };
    let (onset, saturation) = ends(&restless);
    let (quiet_onset, quiet_saturation) = ends(&quiet);
    assert!(
        (onset.estimate.gf() - quiet_onset.estimate.gf()).abs() < 1.0,
        "{onset:?}"
    );
    let moved = saturation.estimate.gf() / quiet_saturation.estimate.gf() - 1.0;
    assert!(moved.abs() < 0.005, "{saturation:?}");
    assert!(saturation.low.gf() <= 250.0 && 250.0 <= saturation.high.gf());
    assert!(restless.warnings.is_empty(), "{:?}", restless.warnings);
}

#[test]
fn a_huge_slip_does_not_silence_the_choice() {
    let mut slipped = measurement(pass(ladder(50, 0.0), |z| z, 1.0, 2));
    slipped.samples[5].reading = 0.99;
    let found = fit(&slipped, &Settings::default()).unwrap();
    for score in &found.shape.scores {
        assert!(
            score.advantage.is_finite() && score.advantage_error.is_finite(),
            "{score:?}"
        );
    }
    assert!(found.shape.closed.is_some(), "{:?}", found.shape.scores);
}
