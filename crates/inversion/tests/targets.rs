//! Targets, the ideal map and the figures of an achieved response, against closed forms.

#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop there"
)]

use evenhand_curve::{Curve, Point, Polyline};
use evenhand_inversion::{Target, TargetError, TargetShape, achieved, ideal_map};
use evenhand_measurement::Force;
use proptest::prelude::*;

fn gf(force: f64) -> Force {
    Force::from_gf(force)
}

fn line(points: &[(f64, f64)]) -> Polyline {
    Polyline::new(points.iter().copied().map(Point::from).collect()).unwrap()
}

#[test]
fn shapes_by_their_formulas() {
    let target = |shape: &TargetShape| Target::new(gf(10.0), gf(160.0), shape.clone()).unwrap();
    for (shape, output) in [
        (TargetShape::Linear, 0.2),
        (TargetShape::Power(2.0), 0.04),
        // Half-way in ratio: 40 lies between 10 and 160 as 1 : 4 : 16.
        (TargetShape::Logarithmic, 0.5),
    ] {
        let off = target(&shape).output(gf(40.0)) - output;
        assert!(off.abs() < 1e-15, "{shape}");
        assert_eq!(target(&shape).output(gf(10.0)), 0.0);
        assert_eq!(target(&shape).output(gf(160.0)), 1.0);
        assert_eq!(shape.to_string().parse::<TargetShape>().unwrap(), shape);
    }
}

#[test]
fn what_is_no_target_says_so() {
    let empty = Target::new(gf(50.0), gf(50.0), TargetShape::Linear);
    assert!(matches!(empty, Err(TargetError::EmptyRange { .. })));
    let zero = Target::new(gf(0.0), gf(50.0), TargetShape::Logarithmic);
    assert!(matches!(zero, Err(TargetError::LogarithmOfZero { .. })));
    for text in " straight power power: power:-1 power:nan power:1e9 linear:2".split(' ') {
        let error = text.parse::<TargetShape>().unwrap_err();
        assert!(error.help().contains("power:0.7"), "{text}: {error}");
    }
}

/// Reading = √part of the span and output = part: the ideal map is the square.
#[test]
fn the_ideal_map_of_a_root_is_a_square() {
    let points: Vec<(f64, f64)> = (0..=2000)
        .map(|i| f64::from(i) / 2000.0)
        .map(|z| (20.0 + 200.0 * z * z, z))
        .collect();
    let response = line(&[&[(0.0, 0.0)], &points[..]].concat());
    let target = Target::new(gf(20.0), gf(220.0), TargetShape::Linear).unwrap();
    let ideal = ideal_map(&response, &target).unwrap();
    for step in 0..=100 {
        let x = f64::from(step) / 100.0;
        let found = ideal.value(x);
        assert!((found - x * x).abs() < 1e-6, "{found} at {x}");
    }
    // Through the identity instead of the ideal map the error is largest at √part − part = 1/4.
    let figures = achieved(&response, &line(&[(0.0, 0.0), (1.0, 1.0)]), &target);
    assert!((figures.max_error - 0.25).abs() < 1e-6, "{figures:?}");
    assert!((figures.worst_at.gf() - 70.0).abs() < 1.0, "{figures:?}");
    // ∫ (√z − z)² dz over 0..1 = 1/2 − 4/5 + 1/3.
    let expected = (0.5 - 0.8 + 1.0 / 3.0_f64).sqrt();
    assert!((figures.rms_error - expected).abs() < 1e-5, "{figures:?}");
}

#[test]
fn a_light_at_below_the_onset_is_a_vertical_step() {
    let response = line(&[(0.0, 0.0), (30.0, 0.0), (130.0, 1.0)]);
    let target = Target::new(gf(10.0), gf(110.0), TargetShape::Linear).unwrap();
    let ideal = ideal_map(&response, &target).unwrap();
    let (least, most) = ideal.band(0.0);
    assert_eq!(least, 0.0);
    assert!((most - 0.2).abs() < 1e-12, "{most}");
    assert_eq!(ideal.band(0.9).1, 1.0);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    /// Forward after inverse: the ideal map gives the target at every force.
    #[test]
    fn the_ideal_map_gives_the_target(
        onset in 0.0..40.0_f64, span in 50.0..800.0_f64, bend in 0.3..3.0_f64,
        light in 0.0..0.3_f64, full in 0.5..1.0_f64, exponent in 0.4..2.5_f64, at in 0.0..1.0_f64,
    ) {
        let mut points = vec![Point::new(0.0, 0.0)];
        points.extend((0..=400).map(|i| f64::from(i) / 400.0).map(|z| Point::new(onset + 1e-6 + span * z, z.powf(bend))));
        let response = Polyline::new(points).unwrap();
        let target = Target::new(gf(onset + light * span), gf(onset + full * span), TargetShape::Power(exponent)).unwrap();
        let ideal = ideal_map(&response, &target).unwrap();
        let force = onset + (light + at * (full - light)) * span;
        let wanted = target.output(gf(force));
        prop_assert!((ideal.value(response.value(force)) - wanted).abs() < 2e-3, "{} against {wanted}", ideal.value(response.value(force)));
        for pair in ideal.points().windows(2) {
            prop_assert!(pair[0].x <= pair[1].x && pair[0].y <= pair[1].y);
        }
    }
}
