//! How the curves of two groups differ.

use crate::permutation::Divisions;
use crate::profile::{Profile, READING_GRID, level_reading};
use crate::sample::Sample;
use crate::welch::welch;

/// Levels at which curves are compared: every five percent between the limits.
const STEP: usize = 5;
/// How many these are.
const COMPARED: usize = (READING_GRID - 1) / STEP - 1;
/// Forces of a unit at them, gf.
type Row = [f64; COMPARED];
/// Levels at which a difference with its interval is given.
const SHOWN: [usize; 5] = [5, 25, 50, 75, 95];
/// Divisions up to which every one is tried.
const MOST_DIVISIONS: f64 = 20_000.0;

/// Difference of the mean forces at one reading, first less second.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LevelDifference {
    /// Reading, 0..1.
    pub reading: f64,
    /// Difference, gf.
    pub estimate: f64,
    /// Interval that holds, at the confidence, for all levels told together (Bonferroni); infinite ends where
    /// too few units allow none.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

/// How far apart two groups of curves lie.
#[derive(Clone, Debug, PartialEq)]
pub struct CurveDifference {
    /// Mean distance of the mean forces over the readings that all units reach, gf.
    pub distance_gf: f64,
    /// Part of all divisions of the units into two such groups that are as far apart.
    pub p: f64,
    /// Whether every division was tried; otherwise so many were drawn.
    pub is_exact: bool,
    /// Differences at some readings.
    pub levels: Vec<LevelDifference>,
}

/// Compares curves by dividing the units in every way, or in `draws` random ways where there are more than
/// 20,000. `None` where a group is empty or no level is reached by all.
#[must_use]
pub fn curve_difference(
    first: &[&Profile],
    second: &[&Profile],
    confidence: f64,
    draws: u32,
    seed: u64,
) -> Option<CurveDifference> {
    let all: Vec<&Profile> = first.iter().chain(second).copied().collect();
    if first.is_empty() || second.is_empty() {
        return None;
    }
    let reached = all.iter().map(|p| p.reached()).min()?;
    let levels: Vec<usize> = (STEP..READING_GRID - 1)
        .step_by(STEP)
        .filter(|level| *level < reached)
        .collect();
    if levels.is_empty() {
        return None;
    }
    // One row for each unit; levels that are not compared are 0 in all of them.
    let mut rows: Vec<Row> = all
        .iter()
        .map(|p| {
            let mut row = [0.0; COMPARED];
            for (cell, level) in row.iter_mut().zip(&levels) {
                *cell = p.forces()[*level];
            }
            row
        })
        .collect();
    let totals = sums_of(&rows);
    let (m, n) = (first.len() as f64, second.len() as f64);
    let distance = |sums: &Row| -> f64 {
        let apart = |(sum, total): (&f64, &f64)| (sum / m - (total - sum) / n).abs();
        sums.iter().zip(&totals).map(apart).sum::<f64>() / levels.len() as f64
    };
    let found = distance(&sums_of(&rows[..first.len()]));
    let least = found * (1.0 - 1e-12);
    let tried = Divisions {
        chosen: first.len(),
        most: MOST_DIVISIONS,
        draws,
        seed,
    };
    let (p, is_exact) = tried.part(&mut rows, [0.0; COMPARED], added, |sums| {
        distance(sums) >= least
    });
    let shown = SHOWN.iter().filter(|level| **level < reached);
    let each = 1.0 - (1.0 - confidence) / SHOWN.len() as f64;
    Some(CurveDifference {
        distance_gf: found,
        p,
        is_exact,
        levels: shown
            .map(|level| at_level(first, second, *level, each))
            .collect(),
    })
}

fn at_level(
    first: &[&Profile],
    second: &[&Profile],
    level: usize,
    confidence: f64,
) -> LevelDifference {
    let sample = |profiles: &[&Profile]| {
        let forces: Vec<f64> = profiles.iter().map(|p| p.forces()[level]).collect();
        Sample::of(&forces)
    };
    let (a, b) = (sample(first), sample(second));
    let found = welch(a, b, confidence);
    LevelDifference {
        reading: level_reading(level),
        estimate: a.mean - b.mean,
        low: found.map_or(f64::NEG_INFINITY, |f| f.low),
        high: found.map_or(f64::INFINITY, |f| f.high),
    }
}

fn sums_of(rows: &[Row]) -> Row {
    rows.iter().fold([0.0; COMPARED], added)
}

fn added(mut sums: Row, row: &Row) -> Row {
    for (sum, value) in sums.iter_mut().zip(row) {
        *sum += value;
    }
    sums
}

#[cfg(test)]
mod tests {
    use evenhand_fitting::Response;
    use evenhand_measurement::Force;
    use rand::{Rng as _, SeedableRng as _};
    use rand_chacha::ChaCha8Rng;
    use rand_distr::StandardNormal;

    use super::*;

    /// A response whose saturation and bend are drawn anew.
    fn profile(random: &mut ChaCha8Rng) -> Profile {
        let [saturation, bend]: [f64; 2] = std::array::from_fn(|_| random.sample(StandardNormal));
        let points: Vec<(Force, f64)> = (0..READING_GRID)
            .map(|level| {
                let reading = level_reading(level);
                let part = reading + 0.05 * bend * reading * (1.0 - reading);
                (
                    Force::from_gf(5.0 + (200.0 + 8.0 * saturation) * part),
                    reading,
                )
            })
            .collect();
        Profile::of(&Response::from_points(&points).expect("a response"))
    }

    #[test]
    fn curves_without_a_difference_are_seldom_called_different() {
        let mut random = ChaCha8Rng::seed_from_u64(5);
        for (m, n, is_exact) in [(2, 10, true), (5, 5, true), (9, 9, false)] {
            let groups = 300;
            let p: Vec<f64> = (0..groups)
                .map(|seed| {
                    let mut drawn = |count: usize| -> Vec<Profile> {
                        (0..count).map(|_| profile(&mut random)).collect()
                    };
                    let (first, second) = (drawn(m), drawn(n));
                    let (first, second): (Vec<_>, Vec<_>) =
                        (first.iter().collect(), second.iter().collect());
                    let found =
                        curve_difference(&first, &second, 0.95, 99, seed).expect("profiles");
                    assert_eq!(found.is_exact, is_exact);
                    found.p
                })
                .collect();
            for level in [0.01, 0.05, 0.1] {
                let called = p.iter().filter(|p| **p <= level).count() as f64;
                let expected = f64::from(u32::try_from(groups).expect("few")) * level;
                // Three standard deviations of a binomial count.
                let most = expected + 3.0 * (expected * (1.0 - level)).sqrt();
                assert!(called <= most, "{m} and {n} at {level}: {called}");
            }
            // Not by never saying so.
            let called = p.iter().filter(|p| **p <= 0.1).count();
            assert!(called >= 12, "{m} and {n}: {called}");
        }
    }
}
