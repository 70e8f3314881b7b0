//! `cargo bench -p evenhand-fitting --bench speed`.

use evenhand_fitting::{Settings, fit};
use evenhand_measurement::{Measurement, ReadOptions, Seating, parse_measurement};

fn main() {
    divan::main();
}

/// Samples of a smooth rise with a ripple that stands for noise.
fn samples(count: u32) -> Measurement {
    let mut text = String::from("force_gf,reported_percent\n");
    for step in 0..count {
        let force = 240.0 * f64::from(step) / f64::from(count);
        let part = ((force - 8.0) / 200.0).clamp(0.0, 1.0);
        let ripple = if (0.01..0.99).contains(&part) {
            0.3 * (7.0 * force).sin()
        } else {
            0.0
        };
        text += &format!("{force},{:.2}\n", 100.0 * part.powf(0.8) + ripple);
    }
    match parse_measurement("bench.csv", text.as_bytes(), &ReadOptions::default()) {
        Ok((measurement, _)) => measurement,
        Err(error) => panic!("{error}"),
    }
}

#[divan::bench(args = [50, 200, 1000], sample_count = 20)]
fn fit_forty_samples(bencher: divan::Bencher<'_, '_>, resamples: usize) {
    let measurement = samples(40);
    let settings = Settings {
        resamples,
        ..Settings::default()
    };
    bencher.bench(|| fit(divan::black_box(&measurement), &settings));
}

#[divan::bench(args = [8, 40, 400, 10_000], sample_count = 10)]
fn fit_samples(bencher: divan::Bencher<'_, '_>, count: u32) {
    let measurement = samples(count);
    let settings = Settings {
        resamples: Settings::LEAST_RESAMPLES,
        ..Settings::default()
    };
    bencher.bench(|| fit(divan::black_box(&measurement), &settings));
}

/// A ladder of ten forces for each of many seatings.
#[divan::bench(args = [2, 20, 60], sample_count = 5)]
fn fit_seatings(bencher: divan::Bencher<'_, '_>, seatings: usize) {
    let mut measurement = samples(600);
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
    bencher.bench(|| fit(divan::black_box(&measurement), &Settings::default()));
}
