//! How near maps come to the target on the true stylus: `cargo bench -p evenhand-tests`.
//!
//! Simulated benches as in the fitting crate's coverage study; the map is compiled from the fit and
//! judged through the truth.

#[path = "../../crates/fitting/benches/study/bench.rs"]
mod bench;
#[path = "../../crates/fitting/benches/study/quantile.rs"]
mod quantile;
#[path = "../../crates/fitting/benches/study/truth.rs"]
mod truth;

use bench::Plan;
use evenhand_curve::{Curve, Interpolation, Knots, Point, Polyline};
use evenhand_fitting::{Fit, Saturation, Settings, fit};
use evenhand_inversion::{Target, TargetShape, ideal_map};
use evenhand_measurement::Force;
use evenhand_receiver::{compile, profile};
use quantile::quantile;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use truth::Truth;

const SEED: u64 = 20_260_309;
const BENCHES: usize = 400;
/// Wanted full output, as a part of the saturation force found.
const FULL_PARTS: [f64; 3] = [0.7, 0.85, 1.0];

#[expect(clippy::print_stdout, reason = "a study is there to print its table")]
fn main() {
    let plans = Plan::all();
    println!("worst |achieved − target| on the true stylus, % of full scale, median and p90");
    for full_part in FULL_PARTS {
        for points in [5, 9] {
            let mut random = ChaCha8Rng::seed_from_u64(SEED);
            let (mut ours, mut even) = (Vec::new(), Vec::new());
            for _ in 0..BENCHES {
                let truth = Truth::draw(&mut random);
                let measurement = plans[0].measure(&truth, &mut random);
                let settings = Settings {
                    resamples: 50,
                    ..Settings::default()
                };
                let Ok(found) = fit(&measurement, &settings) else {
                    continue;
                };
                let Some((target, map, plain)) = maps(&found, full_part, points) else {
                    continue;
                };
                ours.push(worst(&truth, &target, &map));
                even.push(worst(&truth, &target, &plain));
            }
            let [o5, o9] = [0.5, 0.9].map(|q| quantile(&ours, q));
            let [e5, e9] = [0.5, 0.9].map(|q| quantile(&even, q));
            println!(
                "full at {:>3.0} % of saturation, {points} points: {o5:.2} {o9:.2}; even spacing with PCHIP {e5:.2} {e9:.2}",
                100.0 * full_part
            );
        }
    }
}

/// Target, compiled map, and evenly spaced points of the same ideal map joined by a monotone cubic.
fn maps(found: &Fit, full_part: f64, points: u32) -> Option<(Target, Polyline, Knots)> {
    let Saturation::Reached(saturation) = found.saturation else {
        return None;
    };
    let full = Force::from_gf(full_part * saturation.estimate.gf());
    let target = Target::new(found.onset.high, full, TargetShape::Linear).ok()?;
    let path = ideal_map(found.response.curve(), &target).ok()?;
    let compiled = compile(profile(&format!("segments-{points}"))?, &path).ok()?;
    let corners = compiled
        .control_points
        .iter()
        .map(|p| Point::new(p.input, p.output))
        .collect();
    let even = (0..points)
        .map(|i| f64::from(i) / f64::from(points - 1))
        .map(|x| Point::new(x, path.value(x)))
        .collect();
    Some((
        target,
        Polyline::new(corners).ok()?,
        Knots::new(even, Interpolation::MonotoneCubic).ok()?,
    ))
}

fn worst(truth: &Truth, target: &Target, map: &dyn Curve) -> f64 {
    let (light, full) = (target.light_at().gf(), target.full_at().gf());
    (0..=1000)
        .map(|i| light + (full - light) * f64::from(i) / 1000.0)
        .map(|force| map.value(truth.reading(force)) - target.output(Force::from_gf(force)))
        .fold(0.0, |worst, off| f64::max(worst, 100.0 * off.abs()))
}
