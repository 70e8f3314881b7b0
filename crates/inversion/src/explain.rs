//! How well each cause explains the checks.

use evenhand_curve::Curve;
use evenhand_receiver::{MapCurve, MapInterpolation};

use crate::cause::{Cause, CauseFit};
use crate::prediction::{Check, MapPrediction};

/// A lever put down again is off by about this part of the force (common practice, no source); every
/// cause may use it, at a price.
const SEATING_SD: f64 = 0.01;
/// Even the best model of outputs is off by this, fraction of full scale.
const MODEL_SD: f64 = 1.5e-3;
/// Degrees of freedom of Student's t: a check far off counts, but does not rule alone.
const FREEDOM: f64 = 4.0;
/// A changed stylus is three numbers: how much more force it takes, an offset, and how it bends.
const CHANGED_NUMBERS: f64 = 3.0;

/// Every cause that fits the map's kind, the best first.
pub(crate) fn ranked(
    prediction: &MapPrediction<'_>,
    checks: &[Check],
    quantile: f64,
) -> Vec<CauseFit> {
    let map = |x: f64| prediction.map.value(x);
    let twice = |x: f64| prediction.map.value(prediction.map.value(x));
    let swapped = |x: f64| prediction.map.inverse(x);
    let none = |x: f64| x;
    let mut causes = vec![
        seated(prediction, checks, quantile, Cause::AsPredicted, &map),
        seated(prediction, checks, quantile, Cause::NotApplied, &none),
        seated(prediction, checks, quantile, Cause::AppliedTwice, &twice),
        seated(prediction, checks, quantile, Cause::SwappedAxes, &swapped),
    ];
    for (interpolation, other) in others(prediction) {
        let cause = Cause::WrongInterpolation(interpolation);
        let value = |x: f64| other.value(x);
        causes.push(seated(prediction, checks, quantile, cause, &value));
    }
    causes.push(changed(prediction, checks, quantile, &map));
    causes.sort_by(|a, b| a.misfit.total_cmp(&b.misfit));
    causes
}

/// Other curves through the same points.
fn others(prediction: &MapPrediction<'_>) -> Vec<(MapInterpolation, MapCurve)> {
    let through = [
        MapInterpolation::Linear,
        MapInterpolation::MonotoneCubic,
        MapInterpolation::CatmullRom,
        MapInterpolation::NaturalCubic,
    ];
    let is_points = through.contains(&prediction.interpolation);
    let of = |kind: MapInterpolation| {
        MapCurve::new(kind, prediction.points, prediction.exponent).map(|curve| (kind, curve))
    };
    match prediction.interpolation {
        // A table that is read by steps differs by less than a reading's noise.
        MapInterpolation::Table | MapInterpolation::Power => Vec::new(),
        // The handles taken for points of the curve.
        MapInterpolation::CubicBezier => through.into_iter().filter_map(|k| of(k).ok()).collect(),
        _ if is_points => through
            .into_iter()
            .filter(|kind| *kind != prediction.interpolation)
            .filter_map(|kind| of(kind).ok())
            .collect(),
        _ => Vec::new(),
    }
}

struct Misfit {
    sum: f64,
    squares: f64,
}

/// Misfit where readings are `reading(force)` and the map is `map`.
fn misfit(
    prediction: &MapPrediction<'_>,
    checks: &[Check],
    quantile: f64,
    map: &dyn Fn(f64) -> f64,
    reading: impl Fn(f64) -> f64,
) -> Misfit {
    let mut total = Misfit {
        sum: 0.0,
        squares: 0.0,
    };
    for check in checks {
        let here = reading(check.force_gf).clamp(0.0, 1.0);
        let sd = prediction.reading_sd(check.force_gf, quantile);
        let output = prediction.through(map, here);
        let above = prediction.through(map, (here + sd).min(1.0)) - output;
        let below = output - prediction.through(map, (here - sd).max(0.0));
        let spread = above.abs().max(below.abs());
        let variance = spread.powi(2) + MODEL_SD.powi(2) + prediction.output_rounding.powi(2) / 3.0;
        let off = check.output - output;
        // Twice the negative logarithm of Student's density, apart from a constant.
        total.sum +=
            (FREEDOM + 1.0) * (1.0 + off * off / (FREEDOM * variance)).ln() + variance.ln();
        total.squares += off * off;
    }
    total
}

/// A cause with the one number that every seating has.
fn seated(
    prediction: &MapPrediction<'_>,
    checks: &[Check],
    quantile: f64,
    cause: Cause,
    map: &dyn Fn(f64) -> f64,
) -> CauseFit {
    const STEPS: i32 = 12;
    let mut best: Option<CauseFit> = None;
    for step in -STEPS..=STEPS {
        let sds = 3.0 * f64::from(step) / f64::from(STEPS);
        let gain = 1.0 + SEATING_SD * sds;
        let found = misfit(prediction, checks, quantile, map, |force| {
            prediction.response.value(force * gain)
        });
        let explained = explained(cause, &found, sds * sds, checks);
        if best.is_none_or(|held| explained.misfit < held.misfit) {
            best = Some(explained);
        }
    }
    best.unwrap_or(CauseFit {
        cause,
        misfit: f64::INFINITY,
        rms: f64::INFINITY,
    })
}

fn explained(cause: Cause, found: &Misfit, penalty: f64, checks: &[Check]) -> CauseFit {
    CauseFit {
        cause,
        misfit: found.sum + penalty,
        rms: (found.squares / checks.len().max(1) as f64).sqrt(),
    }
}

/// The stylus takes other forces than it did: reading′(F) = reading((F − offset) / ratio)^bend.
fn changed(
    prediction: &MapPrediction<'_>,
    checks: &[Check],
    quantile: f64,
    map: &dyn Fn(f64) -> f64,
) -> CauseFit {
    let reach = checks.iter().map(|c| c.force_gf).fold(1.0, f64::max);
    let judge = |at: &[f64; 3]| {
        let (ratio, offset, bend) = (at[0].exp(), at[1] * reach, at[2].exp());
        misfit(prediction, checks, quantile, map, |force| {
            prediction
                .response
                .value(((force - offset) / ratio).max(0.0))
                .clamp(0.0, 1.0)
                .powf(bend)
        })
    };
    let mut best = ([0.0; 3], judge(&[0.0; 3]));
    for ratio in [-0.7, -0.35, -0.15, 0.15, 0.35, 0.7] {
        for bend in [-0.3, 0.0, 0.3] {
            let at = [ratio, 0.0, bend];
            let found = judge(&at);
            if found.sum < best.1.sum {
                best = (at, found);
            }
        }
    }
    // Walks downhill along the axes with a shrinking stride.
    let scale = [1.0, 0.3, 1.0];
    let mut stride = 0.1;
    while stride > 1e-4 {
        let before = best.1.sum;
        for axis in 0..3 {
            for sign in [1.0, -1.0] {
                let mut at = best.0;
                at[axis] = (at[axis] + sign * stride * scale[axis]).clamp(-1.2, 1.2);
                let found = judge(&at);
                if found.sum < best.1.sum {
                    best = (at, found);
                }
            }
        }
        if best.1.sum >= before {
            stride *= 0.5;
        }
    }
    let (at, found) = best;
    let force = 0.5 * reach;
    let cause = Cause::StylusChanged {
        force_ratio: (at[0].exp() * force + at[1] * reach) / force,
    };
    // The price of fitted numbers (G. Schwarz, Ann. Statist. 6, 1978), and of a cause that could mimic
    // each of the others.
    let price = CHANGED_NUMBERS * (checks.len() as f64).ln() + 2.0;
    explained(cause, &found, price, checks)
}
