//! `cargo bench -p evenhand-receiver`.

use evenhand_curve::{MonotonePath, Point};
use evenhand_receiver::{Profile, compile};

fn main() {
    divan::main();
}

/// An ideal map of 500 points: a light start, a bend, full output before the end.
fn ideal() -> MonotonePath {
    let points = (0..500)
        .map(|i| f64::from(i) / 499.0)
        .map(|x| {
            let part = ((x - 0.02) / 0.9).clamp(0.0, 1.0);
            Point::new(x, 0.6 * part.powf(2.2) + 0.4 * part.powf(0.8))
        })
        .collect();
    match MonotonePath::new(points) {
        Ok(path) => path,
        Err(error) => panic!("{error}"),
    }
}

fn profile(points: usize, grid: Option<u32>) -> Profile {
    let grid = grid.map_or_else(String::new, |steps| {
        format!("[grid]\ninput_steps = {steps}\noutput_steps = {steps}\n")
    });
    let text = format!(
        "name = \"bench\"\ntitle = \"Bench\"\n[curve]\nkind = \"points\"\ninterpolation = \"linear\"\npoints = {{ min = 2, max = {points} }}\n{grid}"
    );
    match Profile::parse(&text, "bench") {
        Ok(profile) => profile,
        Err(error) => panic!("{error}"),
    }
}

#[divan::bench(args = [5, 8, 9, 16, 32])]
fn without_grid(bencher: divan::Bencher<'_, '_>, points: usize) {
    let (ideal, profile) = (ideal(), profile(points, None));
    bencher.bench(|| compile(divan::black_box(&profile), divan::black_box(&ideal)));
}

#[divan::bench(args = [100, 255, 1000])]
fn eight_points_on_a_grid(bencher: divan::Bencher<'_, '_>, steps: u32) {
    let (ideal, profile) = (ideal(), profile(8, Some(steps)));
    bencher.bench(|| compile(divan::black_box(&profile), divan::black_box(&ideal)));
}

/// A grid of 16 bits either way, of which no memory holds every point.
#[divan::bench(args = [8, 64], sample_count = 10)]
fn on_a_fine_grid(bencher: divan::Bencher<'_, '_>, points: usize) {
    let (ideal, profile) = (ideal(), profile(points, Some(65_535)));
    bencher.bench(|| compile(divan::black_box(&profile), divan::black_box(&ideal)));
}

#[divan::bench(args = ["smooth-8", "power", "bezier", "table-256"], sample_count = 10)]
fn other_kinds(bencher: divan::Bencher<'_, '_>, name: &str) {
    let ideal = ideal();
    let Some(profile) = evenhand_receiver::profile(name) else {
        panic!("no receiver {name}");
    };
    bencher.bench(|| compile(divan::black_box(profile), divan::black_box(&ideal)));
}
