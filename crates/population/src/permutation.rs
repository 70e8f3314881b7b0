//! Whether two groups differ, by trying every way of dividing them.

use rand::SeedableRng as _;
use rand::seq::SliceRandom as _;
use rand_chacha::ChaCha8Rng;

/// Divisions of values up to which every one is tried.
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
    let tried = Divisions {
        chosen: first.len(),
        most: MOST_DIVISIONS,
        draws,
        seed,
    };
    let (p, is_exact) = tried.part(
        &mut all,
        0.0,
        |sum, value| sum + value,
        |sum| difference_of(*sum).abs() >= least,
    );
    Some(Permutation {
        difference,
        p,
        is_exact,
    })
}

/// In how many ways so many and so many can be divided into two such groups.
pub(crate) fn divisions(first: usize, second: usize) -> f64 {
    (1..=first).fold(1.0, |product, i| product * (second + i) as f64 / i as f64)
}

/// Which divisions are tried.
pub(crate) struct Divisions {
    /// Size of the first group.
    pub(crate) chosen: usize,
    /// Every division is tried up to this many.
    pub(crate) most: f64,
    /// So many are drawn where there are more.
    pub(crate) draws: u32,
    /// Seed of the draws.
    pub(crate) seed: u64,
}

impl Divisions {
    /// The part of all divisions whose sum over the first group is far, and whether every one was tried. The one
    /// found is one of those drawn; `items` are shuffled.
    pub(crate) fn part<T, S: Copy>(
        &self,
        items: &mut [T],
        zero: S,
        add: impl Fn(S, &T) -> S,
        is_far: impl Fn(&S) -> bool,
    ) -> (f64, bool) {
        if divisions(self.chosen, items.len() - self.chosen) <= self.most {
            let (mut far, mut count) = (0.0, 0.0);
            each_sum(items, self.chosen, zero, &add, &mut |sum| {
                count += 1.0;
                far += f64::from(u8::from(is_far(sum)));
            });
            return (far / count, true);
        }
        let mut random = ChaCha8Rng::seed_from_u64(self.seed);
        let mut far = 1_u32;
        for _ in 0..self.draws {
            let (chosen, _) = items.partial_shuffle(&mut random, self.chosen);
            far += u32::from(is_far(&chosen.iter().fold(zero, &add)));
        }
        (f64::from(far) / f64::from(self.draws + 1), false)
    }
}

/// Calls `found` with the sum of every choice of so many items.
fn each_sum<T, S: Copy>(
    items: &[T],
    choose: usize,
    sum: S,
    add: &impl Fn(S, &T) -> S,
    found: &mut dyn FnMut(&S),
) {
    if choose == 0 {
        found(&sum);
        return;
    }
    for index in 0..=items.len() - choose {
        let rest = &items[index + 1..];
        each_sum(rest, choose - 1, add(sum, &items[index]), add, found);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::Rng as _;
    use rand_distr::StandardNormal;

    #[test]
    fn groups_without_a_difference_are_seldom_called_different() {
        let mut random = ChaCha8Rng::seed_from_u64(9);
        for (m, n) in [(2, 10), (3, 3), (5, 5)] {
            let groups = 1000;
            let mut p = Vec::with_capacity(groups);
            for seed in 0..groups as u64 {
                let mut values = |count: usize| -> Vec<f64> {
                    (0..count).map(|_| random.sample(StandardNormal)).collect()
                };
                let (first, second) = (values(m), values(n));
                let found = permutation_test(&first, &second, 99, seed).expect("values");
                assert!(found.is_exact);
                p.push(found.p);
            }
            for level in [0.01, 0.05, 0.1] {
                let called = p.iter().filter(|p| **p <= level).count() as f64;
                // Three standard deviations of a binomial count.
                let most = groups as f64 * level;
                let most = most + 3.0 * (most * (1.0 - level)).sqrt();
                assert!(called <= most, "{m} and {n} at {level}: {called}");
            }
            // Sizes that allow so small a probability get there: 1 of 66 divisions, 2 of 252.
            if m != 3 {
                let called = p.iter().filter(|p| **p <= 0.05).count();
                assert!(called >= 25, "{m} and {n}: {called}");
            }
        }
        // Drawn divisions count the one found: never 0, and level too.
        let mut called = 0;
        for seed in 0..200 {
            let mut values =
                || -> Vec<f64> { (0..12).map(|_| random.sample(StandardNormal)).collect() };
            let (first, second) = (values(), values());
            let found = permutation_test(&first, &second, 99, seed).expect("values");
            assert!(!found.is_exact && found.p >= 0.01);
            called += i32::from(found.p <= 0.05);
        }
        // 10 expected, with a standard deviation of 3.1.
        assert!((2..=19).contains(&called), "{called}");
    }
}
