//! The part of `tests/peers` that Evenhand does: simulated benches for all, and its own times on them.
//!
//! `cargo bench -p evenhand-tests --bench peers -- FOLDER` writes the measurements with their truths to
//! FOLDER, times the fits, and leaves what it found in FOLDER/evenhand.json. `tests/peers/fits.py` calls
//! it and does the same work with others.

#[path = "../../crates/fitting/benches/study/bench.rs"]
mod bench;
#[path = "../../crates/fitting/benches/study/truth.rs"]
mod truth;

use std::error::Error;
use std::fmt::Write as _;
use std::path::PathBuf;
use std::time::Instant;

use bench::Plan;
use evenhand_fitting::{Settings, fit};
use evenhand_measurement::{Force, Measurement, write_csv};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use truth::Truth;

const SEED: u64 = 20_261_125;
const BENCHES: usize = 1000;
/// Benches whose files and truths are written, for the others to fit.
const WRITTEN: usize = 200;
/// Even steps of a true curve.
const TRUTH_STEPS: u32 = 200;
/// Repeats of a single fit; the median counts.
const REPEATS: usize = 21;

fn main() -> Result<(), Box<dyn Error>> {
    // cargo itself adds --bench.
    let Some(folder) = std::env::args().skip(1).find(|arg| !arg.starts_with("--")) else {
        return Ok(());
    };
    let folder = PathBuf::from(folder);
    std::fs::create_dir_all(&folder)?;
    let plan = Plan::all()[0];
    let mut random = ChaCha8Rng::seed_from_u64(SEED);
    let benches: Vec<(Truth, Measurement)> = (0..BENCHES)
        .map(|_| {
            let truth = Truth::draw(&mut random);
            let measurement = plan.measure(&truth, &mut random);
            (truth, measurement)
        })
        .collect();
    for (number, (truth, measurement)) in benches.iter().take(WRITTEN).enumerate() {
        std::fs::write(
            folder.join(format!("{number:03}.csv")),
            write_csv(measurement),
        )?;
        std::fs::write(folder.join(format!("{number:03}.truth.csv")), curve(truth))?;
    }

    let typical = benches
        .iter()
        .position(|(_, m)| m.samples.len() == 40 && m.seatings.len() == 1)
        .ok_or("no bench with 40 samples")?;
    if typical >= WRITTEN {
        return Err("the typical bench is not among those written".into());
    }
    let one = |resamples| median_seconds(&benches[typical].1, resamples);
    let (few, many) = (one(Settings::LEAST_RESAMPLES), one(1000));
    let begin = Instant::now();
    for (_, measurement) in &benches {
        fit(measurement, &settings(Settings::LEAST_RESAMPLES))?;
    }
    let all = begin.elapsed().as_secs_f64();

    let mut rows = String::new();
    for (truth, measurement) in benches.iter().take(WRITTEN) {
        let found = fit(measurement, &settings(Settings::LEAST_RESAMPLES))?;
        let saturation = found.saturation.estimate().map_or(f64::NAN, Force::gf);
        let squares: f64 = forces(truth)
            .map(|f| (found.response.reading(Force::from_gf(f)) - truth.reading(f)).powi(2))
            .sum();
        let rms = (squares / f64::from(TRUTH_STEPS + 1)).sqrt();
        let comma = if rows.is_empty() { "" } else { "," };
        let onset = found.onset.estimate.gf();
        write!(rows, "{comma}[{onset},{saturation},{rms}]")?;
    }
    std::fs::write(
        folder.join("evenhand.json"),
        format!(
            "{{\"typical\":{typical},\"one\":{few},\"resampled\":{many},\"benches\":{all},\"found\":[{rows}]}}\n"
        ),
    )?;
    Ok(())
}

fn settings(resamples: usize) -> Settings {
    Settings {
        resamples,
        ..Settings::default()
    }
}

fn median_seconds(measurement: &Measurement, resamples: usize) -> f64 {
    let mut times: Vec<f64> = (0..REPEATS)
        .map(|_| {
            let begin = Instant::now();
            let found = fit(measurement, &settings(resamples));
            let seconds = begin.elapsed().as_secs_f64();
            std::hint::black_box(&found);
            seconds
        })
        .collect();
    times.sort_by(f64::total_cmp);
    times[REPEATS / 2]
}

fn forces(truth: &Truth) -> impl Iterator<Item = f64> {
    let end = 1.05 * truth.saturation;
    (0..=TRUTH_STEPS).map(move |i| end * f64::from(i) / f64::from(TRUTH_STEPS))
}

fn curve(truth: &Truth) -> String {
    let mut text = format!(
        "# onset = {}\n# saturation = {}\n",
        truth.onset, truth.saturation
    );
    for force in forces(truth) {
        text += &format!("{force},{}\n", truth.reading(force));
    }
    text
}
