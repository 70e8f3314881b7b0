//! How far the output of the true stylus may be, against what is known in closed form.

#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop there"
)]

use evenhand_curve::Curve as _;
use evenhand_fitting::{Fit, Settings, fit};
use evenhand_inversion::{BuiltMap, CurveStage, MapRequest, NamedShape, TargetShape, build};
use evenhand_measurement::{Force, ForceBudget, ReadOptions, parse_measurement};
use evenhand_receiver::{ControlPoint, MapInterpolation, profile};

/// A straight rise from 10 gf to 410 gf, measured at `forces`, by a bench whose gain is known to `gain_u`.
fn straight(forces: impl Iterator<Item = u32>, gain_u: f64) -> Fit {
    let mut table = String::from("force_gf,reported_percent\n");
    for force in forces {
        let reading = (0.25 * (f64::from(force) - 10.0)).clamp(0.0, 100.0);
        table += &format!("{force},{reading}\n");
    }
    let (mut measurement, _) =
        parse_measurement("bench.csv", table.as_bytes(), &ReadOptions::default()).unwrap();
    measurement.bench.budget = Some(ForceBudget {
        gain: gain_u,
        offset_gf: 0.0,
        scatter_gf: 0.01,
        scatter_part: 0.0,
    });
    let settings = Settings {
        resamples: 1000,
        ..Settings::default()
    };
    fit(&measurement, &settings).unwrap()
}

fn request(light: f64, full: f64) -> MapRequest {
    MapRequest {
        full_at: Force::from_gf(full),
        light_at: Some(Force::from_gf(light)),
        target: NamedShape::new(TargetShape::Linear, "linear"),
        output_floor: 0.0,
        before: None,
        after: None,
        hold_angle: None,
    }
}

fn map(fit: &Fit, request: &MapRequest) -> BuiltMap {
    build(fit, request, profile("segments-16").unwrap(), None).unwrap()
}

#[test]
fn the_gain_of_a_bench_moves_the_worst_error_as_a_normal_law_says() {
    let fit = straight((0..=450).step_by(10), 0.04);
    let found = map(&fit, &request(20.0, 220.0)).stylus_error;
    // A gain that is off by g reads at full-at what belongs to 220·(1 − g) gf: the output lacks 220/200·|g|, and no
    // other force lacks more. Half of normal draws are within 0.6745 standard deviations, 95 of 100 within 1.96
    // (tables of the normal distribution). 400 draws leave a tenth of doubt.
    let unit = 0.04 * 220.0 / 200.0;
    for ratio in [found.median / (0.6745 * unit), found.high / (1.96 * unit)] {
        assert!((ratio - 1.0).abs() < 0.15, "{found:?}");
    }
}

#[test]
fn what_is_applied_before_and_after_the_map_counts() {
    let fit = straight((0..=450).step_by(10), 0.04);
    let plain = map(&fit, &request(20.0, 220.0)).stylus_error;
    let points = [(0.0, 0.0), (0.5, 0.25), (1.0, 1.0)].map(|(x, y)| ControlPoint::new(x, y));
    let halves = CurveStage::new(MapInterpolation::Linear, points.to_vec(), None).unwrap();
    // The map leaves out what the chain does, so the stylus is off by as much.
    for (before, after) in [(Some(halves.clone()), None), (None, Some(halves))] {
        let chained = MapRequest {
            before,
            after,
            ..request(20.0, 220.0)
        };
        let found = map(&fit, &chained).stylus_error;
        let (median, high) = (found.median - plain.median, found.high - plain.high);
        let is_near = median.abs() < 0.003 && high.abs() < 0.006;
        assert!(is_near, "{found:?} {plain:?}");
    }
}

#[test]
fn it_is_never_less_than_what_the_fitted_response_has() {
    let fit = straight((0..=450).step_by(10), 1e-6);
    // Four points for a bent target leave an error that no measurement lessens.
    let bent = MapRequest {
        target: NamedShape::new(TargetShape::Power(3.0), "power:3"),
        ..request(20.0, 220.0)
    };
    let built = build(&fit, &bent, profile("segments-4").unwrap(), None).unwrap();
    assert!(built.achieved.max_error > 0.02);
    assert!(built.stylus_error.high >= built.achieved.max_error);
    assert!(built.stylus_error.median <= built.stylus_error.high);
}

#[test]
fn few_samples_leave_open_whatever_lies_between_them() {
    // Readings of 0, 47.5 and 100 % only: at 50 gf anything from 0 to 47.5 % may be read.
    let fit = straight([0, 10, 200, 410, 450].into_iter(), 0.001);
    let bracket = fit.bracketed_reading(Force::from_gf(50.0));
    assert_eq!(bracket, Some((0.0, 0.475)));
    let built = map(&fit, &request(10.0, 400.0));
    // A stylus that reads nothing until just below 200 gf gives no output where nearly half is wanted.
    let wanted = 189.0 / 390.0;
    let lacking = wanted - built.compiled.curve.value(0.0);
    let error = built.stylus_error;
    assert!(error.high > lacking - 0.01, "{error:?}");
    let many = straight((0..=450).step_by(10), 0.001);
    assert_eq!(many.bracketed_reading(Force::from_gf(50.0)), None);
}

#[test]
fn full_output_far_from_full_at_is_told() {
    let fit = straight((0..=450).step_by(10), 0.001);
    // A Bézier whose ends are fixed is full where the stylus saturates, at 410 gf, whatever is wanted.
    let bezier = profile("bezier").unwrap();
    let built = build(&fit, &request(20.0, 220.0), bezier, None).unwrap();
    let found = built.full_output.unwrap().estimate.gf();
    assert!((found - 410.0).abs() < 3.0, "{found}");
    let told = |map: &BuiltMap| {
        let mut notes = map.notes.iter();
        notes.any(|(note, _)| note.contains("is full at"))
    };
    assert!(told(&built), "{:?}", built.notes);
    assert!(!told(&map(&fit, &request(20.0, 220.0))));
}
