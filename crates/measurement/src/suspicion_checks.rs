//! The checks behind [`suspicions`].

use crate::force::Force;
use crate::measurement::{Measurement, Sample};
use crate::suspicion::{Suspicion, SuspicionKind};
use crate::unit::{ForceUnit, ReadingUnit};

/// Readings between the limits that make a shape.
const ENOUGH_INSIDE: usize = 8;
/// Readings this near full scale are full.
const FULL: f64 = 0.9995;
/// Differences of readings below this are the usual scatter, never worth a word.
const USUAL_SCATTER: f64 = 0.01;
/// Beyond this most makers want to be asked (common practice, no source).
const LARGE_FORCE_GF: f64 = 1000.0;
/// A jump of the reading over a gap wider than a quarter of the range.
const GAP_JUMP: f64 = 0.2;
const GAP_PART: f64 = 0.25;
/// B. Iglewicz and D. C. Hoaglin, "How to detect and handle outliers" (1993): modified z-scores beyond
/// 3.5 stand apart; 0.6745 brings the median absolute deviation to a standard deviation.
const OUTLIER_SCORE: f64 = 3.5;
const MAD_TO_SD: f64 = 0.6745;
/// The same kind of thing is told once for each line up to this many lines.
const MOST_OF_A_KIND: usize = 5;

/// Everything suspicious in a measurement: first what concerns all of it, then by line.
#[must_use]
pub fn suspicions(measurement: &Measurement) -> Vec<Suspicion> {
    let sorted = Sorted::new(measurement);
    let mut found = Vec::new();
    extent(&sorted, &mut found);
    units(measurement, &sorted, &mut found);
    single_samples(&sorted, &mut found);
    seatings(measurement, &mut found);
    order(&sorted, &mut found);
    repeats(measurement, &sorted, &mut found);
    outliers(&sorted, &mut found);
    found.sort_by_key(|suspicion| suspicion.line);
    found
}

/// The samples by force, then reading.
struct Sorted<'a> {
    samples: Vec<&'a Sample>,
}

impl<'a> Sorted<'a> {
    fn new(measurement: &'a Measurement) -> Self {
        let mut samples: Vec<&Sample> = measurement.samples.iter().collect();
        samples.sort_by(|a, b| {
            a.force
                .gf()
                .total_cmp(&b.force.gf())
                .then(a.reading.total_cmp(&b.reading))
        });
        Self { samples }
    }

    /// Samples of one seating and direction, by force: others may differ for a reason.
    fn runs(&self) -> Vec<Vec<&'a Sample>> {
        let mut runs: Vec<Vec<&'a Sample>> = Vec::new();
        for sample in &self.samples {
            let same = |run: &&mut Vec<&Sample>| {
                run[0].seating == sample.seating && run[0].direction == sample.direction
            };
            match runs.iter_mut().find(same) {
                Some(run) => run.push(sample),
                None => runs.push(vec![sample]),
            }
        }
        runs
    }
}

fn percent(reading: f64) -> String {
    format!("{:.2} %", 100.0 * reading)
}

fn push(
    found: &mut Vec<Suspicion>,
    line: Option<usize>,
    kind: SuspicionKind,
    message: String,
    advice: &str,
) {
    if found.iter().filter(|s| s.kind == kind).count() < MOST_OF_A_KIND {
        found.push(Suspicion {
            line,
            kind,
            message,
            advice: advice.to_owned(),
        });
    }
}

/// Whether the samples reach from no reading to full scale.
fn extent(sorted: &Sorted<'_>, found: &mut Vec<Suspicion>) {
    let samples = &sorted.samples;
    let (Some(first), Some(last)) = (samples.first(), samples.last()) else {
        return;
    };
    if samples.iter().all(|s| s.reading <= 0.0) {
        push(
            found,
            None,
            SuspicionKind::AllZero,
            format!("every reading is 0 up to {}", last.force),
            "place larger forces within the maker's limit, or check the reading column",
        );
        return;
    }
    let inside = samples
        .iter()
        .filter(|s| s.reading > 0.0 && s.reading < FULL)
        .count();
    if inside < ENOUGH_INSIDE {
        push(
            found,
            None,
            SuspicionKind::FewReadings,
            format!(
                "only {inside} reading{} between 0 and full scale",
                if inside == 1 { " lies" } else { "s lie" }
            ),
            "add forces between onset and saturation; eight or more make a shape",
        );
    }
    if first.reading > 0.0 && samples.iter().all(|s| s.reading > 0.0) {
        push(
            found,
            None,
            SuspicionKind::NoZero,
            format!(
                "no reading is 0; the smallest force, {}, already reads {}",
                first.force,
                percent(first.reading)
            ),
            "add one or two smaller forces, so that the onset lies between samples",
        );
    }
    let top = samples.iter().map(|s| s.reading).fold(0.0, f64::max);
    if top < FULL {
        let flat: Vec<&&Sample> = samples
            .iter()
            .filter(|s| s.reading >= top - 0.1 * USUAL_SCATTER)
            .collect();
        let least = flat.first().map_or(last.force, |s| s.force);
        if flat.len() >= 3 && last.force.gf() > 1.05 * least.gf() {
            push(
                found,
                None,
                SuspicionKind::FlatBelowFull,
                format!(
                    "readings stay at {} from {least} on, below full scale",
                    percent(top)
                ),
                "check levels and unit of the readings; some styluses do end below full scale",
            );
        } else {
            push(
                found,
                None,
                SuspicionKind::NotSaturated,
                format!(
                    "full scale was never reached; the largest force, {}, reads {}",
                    last.force,
                    percent(last.reading)
                ),
                "add larger forces within the maker's limit; until then the saturation force stays open",
            );
        }
    }
}

/// Numbers that look like another unit.
fn units(measurement: &Measurement, sorted: &Sorted<'_>, found: &mut Vec<Suspicion>) {
    let samples = &sorted.samples;
    let Some(last) = samples.last() else { return };
    let largest = last.force.gf();
    if measurement.bench.force_unit == ForceUnit::Gf && largest > 0.0 && largest < 12.0 {
        push(
            found,
            None,
            SuspicionKind::ForceUnit,
            format!("the largest force is {}", last.force),
            "if the forces are newtons, name the column force_n",
        );
    }
    if largest > 5.0 * LARGE_FORCE_GF {
        push(
            found,
            None,
            SuspicionKind::ForceUnit,
            format!("the largest force is {}", last.force),
            "if the forces are millinewtons, name the column force_mn",
        );
    }
    let top = samples.iter().map(|s| s.reading).fold(0.0, f64::max);
    if measurement.bench.reading_unit == ReadingUnit::Percent && top > 0.0 && top <= 0.01 {
        push(
            found,
            None,
            SuspicionKind::ReadingUnit,
            format!("no reading is above {}", percent(top)),
            "if the readings are fractions, name the column reported",
        );
    }
    if let Some(tilt) = measurement.bench.tilt_deg
        && !(0.0..=90.0).contains(&tilt)
    {
        push(
            found,
            None,
            SuspicionKind::Tilt,
            format!("a tilt of {tilt}°"),
            "give the angle between stylus and upright, from 0 to 90",
        );
    }
}

/// Samples that are odd by themselves.
fn single_samples(sorted: &Sorted<'_>, found: &mut Vec<Suspicion>) {
    for sample in &sorted.samples {
        if sample.force == Force::ZERO && sample.reading > 0.0 {
            push(
                found,
                Some(sample.line),
                SuspicionKind::ReadingAtRest,
                format!("a reading of {} without any force", percent(sample.reading)),
                "check the lever's zero, or whether the nib sticks",
            );
        }
    }
    if let Some(sample) = sorted
        .samples
        .iter()
        .find(|s| s.force.gf() > LARGE_FORCE_GF)
    {
        push(
            found,
            Some(sample.line),
            SuspicionKind::LargeForce,
            format!("a force of {}, beyond 1 kgf", sample.force),
            "do not load past the maker's limit for nib and glass",
        );
    }
}

/// Seatings too small to be placed against the others.
fn seatings(measurement: &Measurement, found: &mut Vec<Suspicion>) {
    if measurement.seatings.len() < 2 {
        return;
    }
    for (position, seating) in measurement.seatings.iter().enumerate() {
        let samples = || measurement.samples.iter().filter(|s| s.seating == position);
        let count = samples().count();
        if (1..3).contains(&count) {
            push(
                found,
                samples().next().map(|s| s.line),
                SuspicionKind::SmallSeating,
                format!(
                    "seating {} holds {count} sample{}",
                    seating.index,
                    if count == 1 { "" } else { "s" }
                ),
                "measure three or more in each seating, or leave it out",
            );
        }
    }
}

/// Readings that fall with force, and gaps over which they jump.
fn order(sorted: &Sorted<'_>, found: &mut Vec<Suspicion>) {
    let range = sorted.samples.last().map_or(0.0, |s| s.force.gf());
    for run in sorted.runs() {
        let noise = scatter(&run).max(USUAL_SCATTER / 3.0);
        let mut highest = run[0];
        for sample in &run[1..] {
            if sample.force > highest.force && sample.reading < highest.reading - 4.0 * noise {
                push(
                    found,
                    Some(sample.line),
                    SuspicionKind::Falling,
                    format!(
                        "{} reads {}, less than {} at {} (line {})",
                        sample.force,
                        percent(sample.reading),
                        percent(highest.reading),
                        highest.force,
                        highest.line
                    ),
                    "measure both again; friction and creep make readings fall",
                );
            }
            if sample.reading >= highest.reading {
                highest = sample;
            }
        }
    }
    for pair in sorted.samples.windows(2) {
        let (a, b) = (pair[0], pair[1]);
        let wide = b.force.gf() - a.force.gf() > GAP_PART * range;
        if wide && b.reading - a.reading > GAP_JUMP {
            push(
                found,
                Some(b.line),
                SuspicionKind::Gap,
                format!(
                    "no sample between {} and {}, where the reading rises from {} to {}",
                    a.force,
                    b.force,
                    percent(a.reading),
                    percent(b.reading)
                ),
                "add forces between them",
            );
        }
    }
}

/// Scatter of readings about the middle of their neighbours, from the median of its size.
fn scatter(run: &[&Sample]) -> f64 {
    let mut sizes: Vec<f64> = run
        .windows(3)
        .map(|w| neighbour_residual(w).abs())
        .collect();
    median(&mut sizes) / MAD_TO_SD / 1.5_f64.sqrt()
}

/// Reading less the straight line between both neighbours.
fn neighbour_residual(three: &[&Sample]) -> f64 {
    let (a, b, c) = (three[0], three[1], three[2]);
    let width = c.force.gf() - a.force.gf();
    let part = if width > 0.0 {
        (b.force.gf() - a.force.gf()) / width
    } else {
        0.5
    };
    b.reading - (a.reading + part * (c.reading - a.reading))
}

fn median(values: &mut [f64]) -> f64 {
    values.sort_by(f64::total_cmp);
    match values.len() {
        0 => 0.0,
        n if n % 2 == 1 => values[n / 2],
        n => 0.5 * (values[n / 2 - 1] + values[n / 2]),
    }
}

/// The same force with different readings, and the same sample twice in a row.
fn repeats(measurement: &Measurement, sorted: &Sorted<'_>, found: &mut Vec<Suspicion>) {
    for run in sorted.runs() {
        let noise = scatter(&run).max(USUAL_SCATTER / 2.0);
        for pair in run.windows(2) {
            let (a, b) = (pair[0], pair[1]);
            if a.force == b.force && b.reading - a.reading > 4.0 * noise {
                let (early, late) = if a.line < b.line { (a, b) } else { (b, a) };
                push(
                    found,
                    Some(late.line),
                    SuspicionKind::Disagreeing,
                    format!(
                        "{} reads {}, but {} in line {}",
                        late.force,
                        percent(late.reading),
                        percent(early.reading),
                        early.line
                    ),
                    "measure it again, or give the later samples a seating of their own",
                );
            }
        }
    }
    for pair in measurement.samples.windows(2) {
        let (a, b) = (&pair[0], &pair[1]);
        let same = a.force == b.force && a.reading == b.reading && a.seating == b.seating;
        if same && a.reading > 0.0 && a.reading < FULL {
            push(
                found,
                Some(b.line),
                SuspicionKind::Repeated,
                format!("the same sample as in line {}", a.line),
                "leave one out if it was copied by mistake",
            );
        }
    }
}

/// Samples that stand apart from a line through their neighbours.
fn outliers(sorted: &Sorted<'_>, found: &mut Vec<Suspicion>) {
    for run in sorted.runs() {
        // Fewer say nothing about what is usual.
        if run.len() < 8 {
            continue;
        }
        let residuals: Vec<f64> = run.windows(3).map(neighbour_residual).collect();
        let middle = median(&mut residuals.clone());
        let mut sizes: Vec<f64> = residuals.iter().map(|r| (r - middle).abs()).collect();
        let mad = median(&mut sizes);
        for (index, residual) in residuals.iter().enumerate() {
            let away = (residual - middle).abs();
            // Bending makes residuals too, all of a sign and alike from one sample to the next; a
            // slip stands out against both neighbours, which lean the other way.
            let side = |at: Option<usize>| {
                at.and_then(|i| residuals.get(i))
                    .is_none_or(|r| (r - middle) * (residual - middle) < 0.0)
            };
            let leans = side(index.checked_sub(1)) && side(Some(index + 1));
            // Where the response meets a limit it bends for a reason.
            let limit = |s: &&Sample| s.reading <= 0.0 || s.reading >= FULL;
            // The neighbours of a slip lean away from it by half as much.
            let larger = |at: Option<usize>| {
                at.and_then(|i| residuals.get(i))
                    .is_some_and(|r| (r - middle).abs() > away)
            };
            let beside_a_larger = larger(index.checked_sub(1)) || larger(Some(index + 1));
            if beside_a_larger || run[index..index + 3].iter().any(limit) {
                continue;
            }
            if leans && away > 3.0 * USUAL_SCATTER && MAD_TO_SD * away > OUTLIER_SCORE * mad {
                let sample = run[index + 1];
                push(
                    found,
                    Some(sample.line),
                    SuspicionKind::Outlier,
                    format!(
                        "{} reads {}, {} away from the line between its neighbours",
                        sample.force,
                        percent(sample.reading),
                        percent(residual.abs())
                    ),
                    "measure it again, or check the line for a slip",
                );
            }
        }
    }
}
