//! How often intervals hold on responses of kinds that no family of the model has.
//!
//! `cargo bench -p evenhand-fitting --bench odd` prints the tables of the crate's documentation;
//! `-- 50 15` makes 50 benches of each scatter and only those of 15 samples, `-- 50 knee` only those kinds.

#[expect(dead_code, reason = "the studies share their parts")]
mod study {
    pub(crate) mod bench;
    pub(crate) mod figures;
    pub(crate) mod odd;
    pub(crate) mod quantile;
    pub(crate) mod truth;
}

use evenhand_fitting::{Fit, ForceInterval, Settings, fit};
use rand::{Rng, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rayon::prelude::*;
use study::odd::{Kind, Scatter, Setup};
use study::quantile::quantile;
use study::truth::Truth;

const SEED: u64 = 20_261_127;
const BENCHES: u64 = 50;
const RESAMPLES: usize = 400;
const SAMPLES: [usize; 3] = [15, 30, 60];
/// Readings whose forces are judged.
const READINGS: [f64; 2] = [0.01, 0.99];
/// Places at which bands are judged.
const PLACES: u32 = 400;

/// What is told of every row.
const COLUMNS: &str = "onset held, % | width, gf | error | saturation held, % | width, % | error | \
    force at 1 % held, % | width | error | force at 99 % held, % | width | error | band holds, % |";

/// Least force in gf with a reading between 0 and 1.
fn force_at(truth: &Truth, reading: f64) -> f64 {
    let (mut low, mut high) = (truth.onset, truth.saturation);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if truth.reading(middle) < reading {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}

/// What one bench gave.
#[derive(Clone, Copy)]
struct Outcome {
    onset: Judged,
    saturation: Option<Judged>,
    force_at: [Option<Judged>; 2],
    band: f64,
}

/// Whether an interval held, how wide it is and how far off its estimate, all in the same unit.
#[derive(Clone, Copy)]
struct Judged {
    held: bool,
    width: f64,
    error: f64,
}

fn judged(found: &ForceInterval, truth: f64, unit: f64) -> Judged {
    let (low, high) = (found.low.gf(), found.high.gf());
    Judged {
        held: low <= truth && truth <= high,
        width: (high - low) / unit,
        error: (found.estimate.gf() - truth).abs() / unit,
    }
}

fn outcome(truth: &Truth, found: &Fit) -> Outcome {
    let percent = 0.01 * truth.saturation;
    let rows = found.curve();
    let places: Vec<f64> = (0..=PLACES)
        .map(|i| 1.05 * truth.saturation * f64::from(i) / f64::from(PLACES))
        .collect();
    let held = places.iter().filter(|force| {
        let after = rows.partition_point(|row| row.force.gf() < **force);
        let reading = truth.reading(**force);
        let row = &rows[after.min(rows.len() - 1)];
        let before = &rows[after.saturating_sub(1)];
        let part = if row.force > before.force {
            ((**force - before.force.gf()) / (row.force.gf() - before.force.gf())).clamp(0.0, 1.0)
        } else {
            1.0
        };
        let low = before.low + part * (row.low - before.low);
        let high = before.high + part * (row.high - before.high);
        low - 1e-9 <= reading && reading <= high + 1e-9
    });
    let saturation = found.saturation.interval();
    Outcome {
        onset: judged(&found.onset, truth.onset, 1.0),
        saturation: saturation.map(|s| judged(&s, truth.saturation, percent)),
        force_at: READINGS.map(|reading| {
            let found = found.force_at(reading)?;
            Some(judged(&found, force_at(truth, reading), percent))
        }),
        band: held.count() as f64 / places.len() as f64,
    }
}

/// A share in percent with the upper end of its 95 % interval (Wilson, J. Am. Stat. Ass. 22, 1927).
fn share(held: usize, of: usize) -> String {
    let (n, z) = (of.max(1) as f64, 1.96_f64);
    let p = held as f64 / n;
    let middle = (p + z * z / (2.0 * n)) / (1.0 + z * z / n);
    let half = z / (1.0 + z * z / n) * (p * (1.0 - p) / n + z * z / (4.0 * n * n)).sqrt();
    let mark = if middle + half < 0.85 { " **" } else { "" };
    format!("{:.1}{mark}", 100.0 * p)
}

fn column(found: &[Judged]) -> String {
    let held = found.iter().filter(|j| j.held).count();
    let median = |of: fn(&Judged) -> f64| {
        let values: Vec<f64> = found.iter().map(of).collect();
        quantile(&values, 0.5)
    };
    let (width, error) = (median(|j| j.width), median(|j| j.error));
    format!("{} | {width:.2} | {error:.2}", share(held, found.len()))
}

fn row(name: &str, found: &[Outcome]) -> String {
    let onset: Vec<Judged> = found.iter().map(|o| o.onset).collect();
    let saturation: Vec<Judged> = found.iter().filter_map(|o| o.saturation).collect();
    let at = |k: usize| -> Vec<Judged> { found.iter().filter_map(|o| o.force_at[k]).collect() };
    let band = 100.0 * found.iter().map(|o| o.band).sum::<f64>() / found.len() as f64;
    format!(
        "| {name} | {} | {} | {} | {} | {band:.1} |",
        column(&onset),
        column(&saturation),
        column(&at(0)),
        column(&at(1)),
    )
}

fn benches(
    setup: Setup,
    count: u64,
    gains: fn(&mut ChaCha8Rng) -> Vec<f64>,
    declared: bool,
) -> Vec<Outcome> {
    (0..count)
        .into_par_iter()
        .filter_map(|number| {
            let mut random = ChaCha8Rng::seed_from_u64(SEED);
            random.set_stream(number);
            let truth = setup.kind.draw(&mut random);
            let gains = gains(&mut random);
            let measurement = setup.measure(&truth, &gains, declared, &mut random);
            let settings = Settings {
                resamples: RESAMPLES,
                seed: number,
                ..Settings::default()
            };
            let found = fit(&measurement, &settings).ok()?;
            Some(outcome(&truth, &found))
        })
        .collect()
}

#[expect(clippy::print_stdout, reason = "a study is there to print its tables")]
fn main() {
    let numbers: Vec<u64> = std::env::args().filter_map(|a| a.parse().ok()).collect();
    let count = numbers.first().copied().unwrap_or(BENCHES);
    let asked = |samples: usize| numbers.len() < 2 || numbers[1..].contains(&(samples as u64));
    let names: Vec<String> = std::env::args().skip(1).collect();
    let kinds: Vec<Kind> = Kind::ALL
        .into_iter()
        .filter(|k| {
            let named = |n: &&String| n.chars().next().is_some_and(char::is_alphabetic);
            let mut named = names.iter().filter(named).peekable();
            named.peek().is_none() || named.any(|n| k.name().contains(n.as_str()))
        })
        .collect();
    println!(
        "{count} benches of each kind, scatter and number of samples, {RESAMPLES} resamples, seed {SEED}"
    );
    println!("| response | samples | scatter | {COLUMNS}");
    println!("|{}", " --- |".repeat(16));
    let mut by_scatter = Vec::new();
    for kind in kinds {
        let mut all: Vec<(Scatter, Outcome)> = Vec::new();
        for samples in SAMPLES.into_iter().filter(|s| asked(*s)) {
            let mut mixed = Vec::new();
            for scatter in Scatter::ALL {
                let setup = Setup {
                    kind,
                    scatter,
                    samples,
                };
                let found = benches(setup, count, |_| vec![1.0], true);
                all.extend(found.iter().map(|outcome| (scatter, *outcome)));
                mixed.extend(found);
            }
            let name = format!("{} | {samples} | all", kind.name());
            println!("{}", row(&name, &mixed));
        }
        for scatter in Scatter::ALL {
            let own = all.iter().filter(|(s, _)| *s == scatter);
            let own: Vec<Outcome> = own.map(|(_, outcome)| *outcome).collect();
            let name = format!("{} | all | {}", kind.name(), scatter.name());
            by_scatter.push(row(&name, &own));
        }
    }
    for row in by_scatter {
        println!("{row}");
    }
    if numbers.len() >= 2 {
        return;
    }
    println!();
    println!("| two mountings that err by 3 % each | {COLUMNS}");
    println!("|{}", " --- |".repeat(14));
    let gains = |random: &mut ChaCha8Rng| {
        (0..2)
            .map(|_| 1.0 + 0.03 * random.sample::<f64, _>(rand_distr::StandardNormal))
            .collect()
    };
    for declared in [true, false] {
        let mut all = Vec::new();
        use Kind::{FlatEnd, GentleStart, Plain, SteepKnee};
        for kind in [Plain, SteepKnee, GentleStart, FlatEnd] {
            let setup = Setup {
                kind,
                scatter: Scatter::Even,
                samples: 40,
            };
            let found = benches(setup, 4 * count, gains, declared);
            let word = if declared { "declared" } else { "undeclared" };
            println!("{}", row(&format!("{}, {word}", kind.name()), &found));
            all.extend(found);
        }
        println!("{}", row("**all**", &all));
    }
}
