//! Few samples, and samples of any kind: an answer that is wide, or a reason; never a panic.

use crate::cases::measurement;
use evenhand_fitting::{Saturation, Settings, fit};
use evenhand_measurement::{Direction, Force, Sample};
use proptest::prelude::*;

fn samples() -> impl Strategy<Value = Vec<Sample>> {
    let force =
        prop_oneof![3 => 0.0..600.0_f64, 1 => Just(0.0), 1 => Just(100.0), 1 => 1e-6..1e5_f64];
    let reading = prop_oneof![2 => 0.0..=1.0_f64, 1 => Just(0.0), 1 => Just(1.0)];
    let direction = prop_oneof![
        3 => Just(None),
        1 => Just(Some(Direction::Loading)),
        1 => Just(Some(Direction::Unloading)),
    ];
    prop::collection::vec((force, reading, direction), 3..=8).prop_map(|rows| {
        let sample = |(line, (force, reading, direction))| Sample {
            force: Force::from_gf(force),
            reading,
            seating: 0,
            direction,
            line,
        };
        (2..).zip(rows).map(sample).collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 120, ..ProptestConfig::default() })]

    #[test]
    fn answers_are_ordered_and_finite(samples in samples()) {
        let settings = Settings { resamples: Settings::LEAST_RESAMPLES, ..Settings::default() };
        let last = samples.iter().map(|s| s.force.gf()).fold(0.0, f64::max);
        if let Ok(found) = fit(&measurement(samples), &settings) {
            let mut intervals = vec![found.onset];
            match found.saturation {
                Saturation::Reached(interval) => intervals.push(interval),
                Saturation::NotReached { above } => prop_assert!((above.gf() - last).abs() < 1e-9),
            }
            intervals.extend(found.span);
            for interval in intervals {
                let [low, estimate, high] = [interval.low, interval.estimate, interval.high].map(Force::gf);
                prop_assert!(low.is_finite() && estimate.is_finite() && high.is_finite());
                prop_assert!(0.0 <= low && low <= estimate && estimate <= high, "{interval:?}");
            }
            let mut before = 0.0;
            for row in found.curve() {
                prop_assert!(row.low <= row.reported && row.reported <= row.high);
                prop_assert!((0.0..=1.0).contains(&row.low) && (0.0..=1.0).contains(&row.high));
                prop_assert!(row.reported >= before);
                before = row.reported;
            }
            if let Some(change) = found.seating_change {
                prop_assert!(change.gain.is_finite() && change.score.is_finite());
            }
        }
    }
}

#[test]
fn three_samples_say_no_more_than_they_bracket() {
    let sample = |line, gf, reading| Sample {
        force: Force::from_gf(gf),
        reading,
        seating: 0,
        direction: None,
        line,
    };
    let few = measurement(vec![
        sample(2, 10.0, 0.0),
        sample(3, 100.0, 0.5),
        sample(4, 300.0, 1.0),
    ]);
    let found = fit(&few, &Settings::default()).unwrap();
    assert!(found.onset.low.gf() <= 10.0 && found.onset.high.gf() >= 100.0);
    let Saturation::Reached(saturation) = found.saturation else {
        panic!("full scale was read")
    };
    assert!(saturation.low.gf() <= 100.0 && saturation.high.gf() >= 300.0);
    let span = found.span.unwrap();
    assert!(span.low.gf() <= 1.0 && span.high.gf() >= 289.0, "{span:?}");
    assert_eq!(found.shape.closed, None);
    assert!(!found.shape.enough);
}
