//! The part of `tests/peers/maps.py` that Evenhand does: ideal maps for all, and its own points and times.
//!
//! `cargo bench -p evenhand-tests --bench map_peers -- FOLDER` writes ideal maps of simulated styluses to
//! FOLDER and leaves its points in FOLDER/evenhand.json.

#[path = "../../crates/fitting/benches/study/truth.rs"]
mod truth;

use std::error::Error;
use std::fmt::Write as _;
use std::path::PathBuf;
use std::time::Instant;

use evenhand_curve::{Curve as _, MonotonePath, Point};
use evenhand_receiver::{compile, profile};
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use truth::Truth;

const SEED: u64 = 20_261_126;
const MAPS: usize = 40;
/// Even readings of a written map.
const READINGS: u32 = 499;
const RECEIVERS: [&str; 2] = ["segments-5", "segments-9"];
/// Repeats of a compilation; the median counts.
const REPEATS: usize = 11;

fn main() -> Result<(), Box<dyn Error>> {
    // cargo itself adds --bench.
    let Some(folder) = std::env::args().skip(1).find(|arg| !arg.starts_with("--")) else {
        return Ok(());
    };
    let folder = PathBuf::from(folder);
    std::fs::create_dir_all(&folder)?;
    let mut random = ChaCha8Rng::seed_from_u64(SEED);
    let mut rows = String::new();
    for number in 0..MAPS {
        let truth = Truth::draw(&mut random);
        let ideal = ideal(&truth)?;
        let text: String = ideal
            .points()
            .iter()
            .map(|p| format!("{},{}\n", p.x, p.y))
            .collect();
        std::fs::write(folder.join(format!("{number:03}.csv")), text)?;
        for receiver in RECEIVERS {
            let profile = profile(receiver).ok_or("no such receiver")?;
            let mut times = Vec::new();
            let mut compiled = compile(profile, &ideal)?;
            for _ in 0..REPEATS {
                let begin = Instant::now();
                compiled = compile(profile, &ideal)?;
                times.push(begin.elapsed().as_secs_f64());
            }
            times.sort_by(f64::total_cmp);
            let points: Vec<String> = compiled
                .control_points
                .iter()
                .map(|p| format!("[{},{}]", p.input, p.output))
                .collect();
            let comma = if rows.is_empty() { "" } else { "," };
            write!(
                rows,
                "{comma}{{\"map\":{number},\"most\":{},\"seconds\":{},\"points\":[{}]}}",
                receiver.trim_start_matches("segments-"),
                times[REPEATS / 2],
                points.join(",")
            )?;
        }
    }
    std::fs::write(folder.join("evenhand.json"), format!("[{rows}]\n"))?;
    Ok(())
}

/// A linear climb from just above the onset to seven tenths of the saturation force, at even readings.
fn ideal(truth: &Truth) -> Result<MonotonePath, Box<dyn Error>> {
    let (onset, saturation) = (truth.onset, truth.saturation);
    let (light, full) = (onset + 1.0, onset + 0.7 * (saturation - onset));
    let steps = 4000_u32;
    let mut points = vec![Point::new(0.0, 0.0)];
    for step in 0..=steps {
        let force = 1.05 * saturation * f64::from(step) / f64::from(steps);
        let output = ((force - light) / (full - light)).clamp(0.0, 1.0);
        points.push(Point::new(truth.reading(force).clamp(0.0, 1.0), output));
    }
    points.push(Point::new(1.0, 1.0));
    points.dedup();
    let path = MonotonePath::new(points)?;
    let even = (0..=READINGS).map(|step| f64::from(step) / f64::from(READINGS));
    let mut level = 0.0_f64;
    let mut read: Vec<Point> = even
        .map(|x| {
            level = level.max(path.value(x));
            Point::new(x, level)
        })
        .collect();
    // Peers are given the ends, as the receiver fixes them.
    read[0].y = 0.0;
    if let Some(last) = read.last_mut() {
        last.y = 1.0;
    }
    Ok(MonotonePath::new(read)?)
}
