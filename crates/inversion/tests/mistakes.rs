//! Simulated mistakes: maps that do what was promised pass, and the true cause of a failure comes first.

#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop there"
)]

use evenhand_curve::{Curve, MonotonePath, Point, Polyline};
use evenhand_inversion::{Cause, Check, MapPrediction, verify};
use evenhand_receiver::{MapCurve, MapInterpolation, compile, profile};
use rand::{Rng, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution as _, Normal};

const READING_NOISE: f64 = 0.004;

/// A response of one of several families, force in gf → reading.
fn response(rng: &mut ChaCha8Rng, family: u32, onset: f64, saturation: f64) -> Polyline {
    let bend = rng.random_range(0.6..1.4);
    let points = (0..=600).map(|step| {
        let force = 1.3 * saturation * f64::from(step) / 600.0;
        let part = ((force - onset) / (saturation - onset)).clamp(0.0, 1.0);
        let reading = match family % 3 {
            0 => part.powf(bend),
            1 => (1.0 - (-2.0 * bend * part).exp()) / (1.0 - (-2.0 * bend).exp()),
            _ => part * (1.0 + 0.4 * bend * (1.0 - part) * (2.0 * part - 1.0)),
        };
        Point::new(force, reading.clamp(0.0, 1.0))
    });
    let mut level = 0.0_f64;
    Polyline::new(
        points
            .map(|p| {
                level = level.max(p.y);
                Point::new(p.x, level)
            })
            .collect(),
    )
    .unwrap()
}

/// A map for a linear climb up to part of the saturation force, with the response it is for.
struct Bench {
    response: Polyline,
    family: u32,
    onset: f64,
    saturation: f64,
    map: evenhand_receiver::Compiled,
}

fn bench(rng: &mut ChaCha8Rng, number: u32) -> Bench {
    let receivers = "segments-8 segments-5 segments-9 power segments-8-percent";
    let receivers: Vec<&str> = receivers.split(' ').collect();
    let family = rng.random_range(0..3);
    let (onset, saturation) = (rng.random_range(3.0..15.0), rng.random_range(150.0..700.0));
    let response = response(rng, family, onset, saturation);
    let (light, full) = (onset + 2.0, saturation * rng.random_range(0.55..0.9));
    let points = response
        .points()
        .iter()
        .map(|p| Point::new(p.y, ((p.x - light) / (full - light)).clamp(0.0, 1.0)));
    let mut path: Vec<Point> = vec![Point::new(0.0, 0.0)];
    path.extend(points);
    path.push(Point::new(1.0, 1.0));
    path.dedup();
    let ideal = MonotonePath::new(path).unwrap();
    let receiver = profile(receivers[number as usize % receivers.len()]).unwrap();
    let map = compile(receiver, &ideal).unwrap();
    Bench {
        response,
        family,
        onset,
        saturation,
        map,
    }
}

fn through(
    map: &dyn Fn(f64) -> f64,
    response: &Polyline,
    rng: &mut ChaCha8Rng,
    bench: &Bench,
) -> Vec<Check> {
    let normal = Normal::new(0.0, 1.0).unwrap();
    let count = rng.random_range(10..=20);
    let gain = 1.0 + 0.003 * normal.sample(rng);
    (0..count)
        .map(|index| {
            let force_gf = bench.onset
                + (bench.saturation - bench.onset) * (f64::from(index) + 0.5) / f64::from(count);
            let placed = force_gf * (gain + 0.002 * normal.sample(rng)) + 0.4 * normal.sample(rng);
            let clean = response.value(placed);
            let noisy = if clean <= 0.0 || clean >= 1.0 {
                clean
            } else {
                (clean + READING_NOISE * normal.sample(rng)).clamp(0.0, 1.0)
            };
            // Outputs are read to a tenth of a percent.
            let output = (1000.0 * map(noisy).clamp(0.0, 1.0)).round() / 1000.0;
            Check { force_gf, output }
        })
        .collect()
}

fn predicted<'a>(bench: &'a Bench, band: &'a dyn Fn(f64) -> (f64, f64)) -> MapPrediction<'a> {
    MapPrediction {
        response: &bench.response,
        band,
        reading_noise: READING_NOISE,
        output_rounding: 5e-4,
        confidence: 0.95,
        points: &bench.map.control_points,
        interpolation: bench.map.interpolation,
        exponent: bench.map.exponent,
        map: &bench.map.curve,
        before: None,
        after: None,
    }
}

#[test]
fn maps_that_do_as_promised_pass() {
    let mut rng = ChaCha8Rng::seed_from_u64(7);
    let mut passed = 0;
    for number in 0..200 {
        let bench = bench(&mut rng, number);
        let value = |x: f64| bench.map.curve.value(x);
        let checks = through(&value, &bench.response, &mut rng, &bench);
        let band = |force: f64| {
            let reading = bench.response.value(force);
            (reading - 0.006, reading + 0.006)
        };
        passed += u32::from(verify(&predicted(&bench, &band), &checks).passed);
    }
    assert!(passed >= 194, "{passed} of 200");
}

#[test]
fn a_verdict_has_the_confidence_of_the_fit_and_95_percent_at_least() {
    let mut rng = ChaCha8Rng::seed_from_u64(3);
    let bench = bench(&mut rng, 0);
    let checks = through(
        &|x| bench.map.curve.value(x),
        &bench.response,
        &mut rng,
        &bench,
    );
    let band = |force: f64| (bench.response.value(force), bench.response.value(force));
    for (of_fit, expected) in [(0.5, 0.95), (0.99, 0.99)] {
        let prediction = MapPrediction {
            confidence: of_fit,
            ..predicted(&bench, &band)
        };
        assert_eq!(verify(&prediction, &checks).confidence, expected);
    }
}

/// A stylus that takes 40 gf more at every reading: at half of 300 gf some 1.3 times the force.
#[test]
fn a_stylus_that_takes_more_force_is_told_so() {
    let mut rng = ChaCha8Rng::seed_from_u64(5);
    let bench = loop {
        let bench = bench(&mut rng, 0);
        if (250.0..350.0).contains(&bench.saturation) {
            break bench;
        }
    };
    let shifted = bench.response.points().iter();
    let shifted = shifted.map(|p| Point::new(p.x + 40.0, p.y)).collect();
    let worn = Polyline::new(shifted).unwrap();
    let checks = through(&|x| bench.map.curve.value(x), &worn, &mut rng, &bench);
    let band = |force: f64| {
        let reading = bench.response.value(force);
        (reading - 0.006, reading + 0.006)
    };
    let verdict = verify(&predicted(&bench, &band), &checks);
    let ratio = verdict.causes.iter().find_map(|found| match found.cause {
        Cause::StylusChanged { force_ratio } => Some(force_ratio),
        _ => None,
    });
    let ratio = ratio.unwrap();
    assert!((1.1..1.5).contains(&ratio), "{ratio}");
}

#[test]
fn the_true_cause_of_a_failure_comes_first() {
    let mut rng = ChaCha8Rng::seed_from_u64(11);
    let (mut failed, mut first) = (0, 0);
    let mut by_cause = std::collections::BTreeMap::new();
    for number in 0..1000 {
        let bench = bench(&mut rng, number);
        let map = &bench.map;
        let mistake = number / 5 % 5;
        let mut worn = None;
        let (name, value): (&str, Box<dyn Fn(f64) -> f64>) = match mistake {
            0 => ("not-applied", Box::new(|x| x)),
            1 => (
                "applied-twice",
                Box::new(|x| map.curve.value(map.curve.value(x))),
            ),
            2 => ("swapped-axes", Box::new(|y| map.curve.inverse(y))),
            3 => {
                if map.interpolation != MapInterpolation::Linear {
                    continue;
                }
                let kinds = [
                    MapInterpolation::MonotoneCubic,
                    MapInterpolation::NaturalCubic,
                    MapInterpolation::CatmullRom,
                ];
                let kind = kinds[number as usize % 3];
                let Ok(other) = MapCurve::new(kind, &map.control_points, None) else {
                    continue;
                };
                ("wrong-interpolation", Box::new(move |x| other.value(x)))
            }
            _ => {
                let mut ratio: f64 = rng.random_range(1.12..1.5);
                if rng.random_bool(0.5) {
                    ratio = 1.0 / ratio;
                }
                let (onset, saturation) = (bench.onset * ratio, bench.saturation * ratio);
                worn = Some(response(&mut rng, bench.family, onset, saturation));
                ("stylus-changed", Box::new(|x| map.curve.value(x)))
            }
        };
        let stylus = worn.as_ref().unwrap_or(&bench.response);
        let checks = through(&*value, stylus, &mut rng, &bench);
        let band = |force: f64| {
            let reading = bench.response.value(force);
            (reading - 0.006, reading + 0.006)
        };
        let verdict = verify(&predicted(&bench, &band), &checks);
        if verdict.passed {
            continue;
        }
        failed += 1;
        let mut causes = verdict.causes.iter().map(|explained| explained.cause);
        let found = causes.find(|cause| *cause != Cause::AsPredicted).unwrap();
        let right = found.as_str() == name;
        first += u32::from(right);
        let count: &mut (u32, u32) = by_cause.entry(name).or_default();
        count.0 += u32::from(right);
        count.1 += 1;
    }
    assert!(failed > 500, "{failed}");
    for (name, (right, all)) in &by_cause {
        let is_enough = 20 * right >= 19 * all;
        assert!(is_enough, "{name}: {right} of {all}; {by_cause:?}");
    }
    assert!(20 * first >= 19 * failed, "{first} of {failed}");
}
