//! Whether two groups differ, by trying every way of dividing them.

use rand::SeedableRng as _;
use rand::seq::SliceRandom as _;
use rand_chacha::ChaCha8Rng;

/// Divisions up to which every one is tried.
const MOST_DIVISIONS: f64 = 200_000.0;
/// Differences this near to the one found, as part of it, are no smaller.
const ROUNDING: f64 = 1e-12;

/// A permutation test of the difference of two means.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Permutation {
    /// First mean less second.
    pub difference: f64,
    /// Part of all divisions with a difference as large, to either side.
    pub p: f64,
    /// Whether every division was tried; otherwise so many were drawn, the one found among them.
    pub is_exact: bool,
}

/// Tries all divisions of both groups together, or makes `draws` of them by `seed` where there are more than
/// 200,000. `None` where a group is empty.
#[must_use]
pub fn permutation_test(
    first: &[f64],
    second: &[f64],
    draws: u32,
    seed: u64,
) -> Option<Permutation> {
    if first.is_empty() || second.is_empty() {
        return None;
    }
    let mut all: Vec<f64> = first.iter().chain(second).copied().collect();
    let total: f64 = all.iter().sum();
    let (m, n) = (first.len() as f64, second.len() as f64);
    let difference_of = |sum: f64| sum / m - (total - sum) / n;
    let difference = difference_of(first.iter().sum());
    let scale = all.iter().map(|value| value.abs()).fold(0.0, f64::max);
    let least = difference.abs() - ROUNDING * scale.max(difference.abs());
    let divisions = (1..=first.len()).fold(1.0, |product, i| {
        product * (second.len() + i) as f64 / i as f64
    });
    if divisions <= MOST_DIVISIONS {
        let (mut large, mut count) = (0.0, 0.0);
        each_sum(&all, first.len(), &mut |sum| {
            count += 1.0;
            large += f64::from(u8::from(difference_of(sum).abs() >= least));
        });
        return Some(Permutation {
            difference,
            p: large / count,
            is_exact: true,
        });
    }
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    let mut large = 1_u32;
    for _ in 0..draws {
        let (chosen, _) = all.partial_shuffle(&mut random, first.len());
        let sum: f64 = chosen.iter().sum();
        large += u32::from(difference_of(sum).abs() >= least);
    }
    Some(Permutation {
        difference,
        p: f64::from(large) / f64::from(draws + 1),
        is_exact: false,
    })
}

/// Calls `found` with the sum of every choice of so many values.
fn each_sum(values: &[f64], choose: usize, found: &mut dyn FnMut(f64)) {
    fn go(values: &[f64], choose: usize, sum: f64, found: &mut dyn FnMut(f64)) {
        if choose == 0 {
            found(sum);
            return;
        }
        for index in 0..=values.len() - choose {
            go(&values[index + 1..], choose - 1, sum + values[index], found);
        }
    }
    go(values, choose, 0.0, found);
}
