//! How level the test of likeness is and how often the bounds of the spread between units hold, on simulated units that
//! are measured and fitted: `cargo bench -p evenhand-population --bench likeness`. Prints the table in the crate's
//! documentation. An argument sets how many units are fitted of each kind.

#![expect(clippy::print_stdout, reason = "the table is what the bench is for")]

use evenhand_fitting::{Settings, fit};
use evenhand_measurement::{Force, Measurement, Sample, Seating};
use evenhand_population::{FittedMeasurement, ForceEstimate, Spread};
use rand::{Rng as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use rand_distr::StandardNormal;
use rayon::prelude::*;

const SEED: u64 = 20_261_127;
const UNITS: usize = 600;
const SIZES: [usize; 4] = [2, 3, 5, 10];
/// Scatter of each force and of each reading, as the fit's own study has them; the bench's gain is common to all units.
const FORCE_PART: f64 = 0.002;
const FORCE_GF: f64 = 0.4;
const READING: f64 = 0.004;
const ONSET: f64 = 10.0;
const SATURATION: f64 = 300.0;

/// What is measured.
#[derive(Clone, Copy)]
struct Kind {
    name: &'static str,
    samples: usize,
    shape: fn(f64) -> f64,
}

/// Steep up to a third, flat after it.
fn knee(z: f64) -> f64 {
    if z < 0.33 {
        2.2 * z
    } else {
        0.726 + 0.409 * (z - 0.33)
    }
}

const fn kind(name: &'static str, samples: usize, shape: fn(f64) -> f64) -> Kind {
    Kind {
        name,
        samples,
        shape,
    }
}

const KINDS: [Kind; 4] = [
    kind("bent, 12 samples", 12, |z| z.powf(0.7)),
    kind("bent, 30 samples", 30, |z| z.powf(0.7)),
    kind("knee, 12 samples", 12, knee),
    kind("knee, 30 samples", 30, knee),
];

fn main() {
    let units = std::env::args()
        .skip(1)
        .find_map(|word| word.parse().ok())
        .unwrap_or(UNITS);
    println!(
        "| response | units | freedom | p ≤ 1 % | p ≤ 5 % | p ≤ 10 % | D | estimate 0 | low above | high below |"
    );
    println!("|-|-|-|-|-|-|-|-|-|-|");
    for kind in KINDS {
        let figures: Vec<ForceEstimate> = (0..units)
            .into_par_iter()
            .filter_map(|number| measured(kind, number as u64))
            .collect();
        let mut freedoms: Vec<f64> = figures.iter().map(|figure| figure.freedom).collect();
        freedoms.sort_by(f64::total_cmp);
        for size in SIZES {
            row(kind.name, size, freedoms[freedoms.len() / 2], &figures);
        }
    }
}

/// A unit measured and fitted: its saturation force; none where it did not saturate.
fn measured(kind: Kind, number: u64) -> Option<ForceEstimate> {
    let mut random = ChaCha8Rng::seed_from_u64(SEED);
    random.set_stream(number);
    let mut normal = |spread: f64| spread * random.sample::<f64, _>(StandardNormal);
    let samples = (0..kind.samples)
        .map(|index| {
            let force = 1.2 * SATURATION * (index as f64 + 0.5) / kind.samples as f64;
            let placed = force * (1.0 + normal(FORCE_PART)) + normal(FORCE_GF);
            let z = ((placed - ONSET) / (SATURATION - ONSET)).clamp(0.0, 1.0);
            let inside = z > 0.0 && z < 1.0;
            let latent = (kind.shape)(z) / (kind.shape)(1.0);
            let reading = if inside {
                (latent + normal(READING)).clamp(0.0, 1.0)
            } else {
                latent
            };
            Sample {
                force: Force::from_gf(force),
                reading: (reading * 1e4).round() / 1e4,
                seating: 0,
                direction: None,
                line: index + 2,
            }
        })
        .collect();
    let measurement = Measurement {
        seatings: vec![Seating {
            index: 1,
            direction: None,
        }],
        samples,
        ..Measurement::default()
    };
    let settings = Settings {
        resamples: 400,
        ..Settings::default()
    };
    let found = fit(&measurement, &settings).ok()?;
    let figure = FittedMeasurement::of(&measurement, &found, "", "").saturation;
    (!figure.is_least).then_some(figure)
}

/// Groups of units without a difference, and of units whose saturation forces spread by 2 %.
fn row(name: &str, size: usize, freedom: f64, figures: &[ForceEstimate]) {
    let spreads = |of: &[ForceEstimate]| -> Vec<Spread> {
        of.chunks_exact(size)
            .map(|own| Spread::of(&own.iter().collect::<Vec<_>>(), 0.95))
            .collect()
    };
    let mut p: Vec<f64> = spreads(figures)
        .iter()
        .filter_map(|spread| spread.homogeneity_p)
        .collect();
    p.sort_by(f64::total_cmp);
    let count = p.len() as f64;
    let below = |level: f64| 100.0 * p.partition_point(|p| *p <= level) as f64 / count;
    let distance = p
        .iter()
        .enumerate()
        .flat_map(|(place, p)| [place, place + 1].map(|place| (place as f64 / count - p).abs()))
        .fold(0.0, f64::max);
    let mut random = ChaCha8Rng::seed_from_u64(SEED);
    let apart: Vec<ForceEstimate> = figures
        .iter()
        .map(|figure| {
            let factor = 1.0 + 0.02 * random.sample::<f64, _>(StandardNormal);
            ForceEstimate {
                estimate: factor * figure.estimate,
                sd: factor * figure.sd,
                error: factor * figure.error,
                ..*figure
            }
        })
        .collect();
    let spreads = spreads(&apart);
    let truth = 0.02 * SATURATION;
    let part = |is: &dyn Fn(&Spread) -> Option<bool>| {
        let told: Vec<bool> = spreads.iter().filter_map(is).collect();
        100.0 * told.iter().filter(|is| **is).count() as f64 / told.len() as f64
    };
    println!(
        "| {name} | {size} | {freedom:.0} | {:.1} | {:.1} | {:.1} | {distance:.3} | {:.0} | {:.1} | {:.1} |",
        below(0.01),
        below(0.05),
        below(0.1),
        part(&|s| s.between_unit_sd.map(|sd| sd <= 0.0)),
        part(&|s| s.between_unit_sd_lower_bound.map(|low| low > truth)),
        part(&|s| s.between_unit_sd_upper_bound.map(|high| high < truth)),
    );
}
