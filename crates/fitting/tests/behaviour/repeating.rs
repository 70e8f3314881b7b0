//! How estimates scatter over measurements of the same response, against a count of it.

use evenhand_fitting::{Fit, Settings, fit};
use rand::{Rng as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use rand_distr::StandardNormal;

use crate::cases::{ladder, measurement, pass};

const REPEATS: u64 = 60;

/// Fits of the same response from 10 gf to 250 gf, whose readings scatter by 0.4 % of full scale.
fn repeated(shape: fn(f64) -> f64) -> Vec<Fit> {
    (0..REPEATS)
        .map(|number| {
            let mut random = ChaCha8Rng::seed_from_u64(number);
            let mut samples = pass(ladder(24, 0.0), |_| 0.5, 1.0, 2);
            for sample in &mut samples {
                let part = ((sample.force.gf() - 10.0) / 240.0).clamp(0.0, 1.0);
                let is_inside = part > 0.0 && part < 1.0;
                let unit: f64 = random.sample(StandardNormal);
                let off = if is_inside { 0.004 * unit } else { 0.0 };
                sample.reading = (shape(part) + off).clamp(0.0, 1.0);
            }
            let settings = Settings {
                resamples: Settings::LEAST_RESAMPLES,
                ..Settings::default()
            };
            fit(&measurement(samples), &settings).expect("a rise is fitted")
        })
        .collect()
}

fn sd(values: &[f64]) -> f64 {
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    (values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (count - 1.0)).sqrt()
}

#[test]
fn estimates_scatter_as_they_say() {
    let knee = |z: f64| {
        if z < 0.25 {
            2.4 * z
        } else {
            0.6 + 0.4 / 0.75 * (z - 0.25)
        }
    };
    for (shape, name) in [
        (std::convert::identity as fn(f64) -> f64, "straight"),
        (knee, "knee"),
    ] {
        let fits = repeated(shape);
        let seen = |of: &dyn Fn(&Fit) -> f64| sd(&fits.iter().map(of).collect::<Vec<_>>());
        let stated = |of: &dyn Fn(&Fit) -> f64| {
            let mut all: Vec<f64> = fits.iter().map(of).collect();
            all.sort_by(f64::total_cmp);
            all[all.len() / 2]
        };
        let told = |fit: &Fit| fit.repeat_sd.expect("samples between the limits");
        // The standard deviation of 60 estimates is known to a tenth (JCGM 100, table E.1); what is stated is of first
        // order.
        for (seen, stated, what) in [
            (
                seen(&|fit| fit.onset.estimate.gf()),
                stated(&|fit| told(fit).onset_gf),
                "onset",
            ),
            (
                seen(&|fit| fit.saturation.estimate().map_or(f64::NAN, |s| s.gf())),
                stated(&|fit| told(fit).saturation_gf),
                "saturation",
            ),
            (
                seen(&|fit| fit.span.map_or(f64::NAN, |s| s.estimate.gf())),
                stated(&|fit| told(fit).span_gf),
                "span",
            ),
        ] {
            let ratio = seen / stated;
            assert!(
                (0.65..1.5).contains(&ratio),
                "{name}, {what}: {seen} gf, stated {stated} gf"
            );
        }
        assert!(fits.iter().all(|fit| told(fit).degrees_of_freedom > 5.0));
    }
}
