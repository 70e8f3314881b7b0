//! Two groups compared by order alone.

/// A comparison of two groups by the order of their values.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MannWhitney {
    /// Pairs in which the first is larger, equal ones counted half.
    pub u: f64,
    /// Probability of so uneven an order, to either side, were the groups alike; exact. `None` with ties,
    /// for which the exact distribution does not hold.
    pub p: Option<f64>,
    /// Median of all differences of a first and a second value (J. L. Hodges and E. L. Lehmann, Ann. Math.
    /// Statist. 34, 1963, 598–611).
    pub shift: f64,
    /// Interval of the shift with at least the wanted confidence; `None` where no interval has it.
    pub shift_interval: Option<(f64, f64)>,
}

/// P(U ≤ u) for every u, where groups of these sizes are alike and no values are equal: by counting orders
/// (H. B. Mann and D. R. Whitney, Ann. Math. Statist. 18, 1947, 50–60).
#[must_use]
pub fn mann_whitney_null(first: usize, second: usize) -> Vec<f64> {
    // Orders of i firsts and j seconds by u, as parts of all orders: the last is a first or a second.
    let mut rows: Vec<Vec<f64>> = vec![vec![1.0]; second + 1];
    for i in 1..=first {
        let mut next: Vec<Vec<f64>> = vec![vec![1.0]];
        for j in 1..=second {
            let share = i as f64 / (i + j) as f64;
            let mut here = vec![0.0; i * j + 1];
            // A first at the end is larger than all seconds.
            for (u, part) in rows[j].iter().enumerate() {
                here[u + j] += share * part;
            }
            for (u, part) in next[j - 1].iter().enumerate() {
                here[u] += (1.0 - share) * part;
            }
            next.push(here);
        }
        rows = next;
    }
    let mut sum = 0.0;
    rows.pop()
        .unwrap_or_default()
        .into_iter()
        .map(|part| {
            sum += part;
            sum
        })
        .collect()
}

/// Compares two groups; `None` where one is empty.
#[must_use]
pub fn mann_whitney(first: &[f64], second: &[f64], confidence: f64) -> Option<MannWhitney> {
    if first.is_empty() || second.is_empty() {
        return None;
    }
    let mut differences: Vec<f64> = first
        .iter()
        .flat_map(|a| second.iter().map(move |b| a - b))
        .collect();
    differences.sort_by(f64::total_cmp);
    let u: f64 = differences
        .iter()
        .map(|d| match d.total_cmp(&0.0) {
            std::cmp::Ordering::Greater => 1.0,
            _ if *d == 0.0 => 0.5,
            _ => 0.0,
        })
        .sum();
    let mut all: Vec<f64> = first.iter().chain(second).copied().collect();
    all.sort_by(f64::total_cmp);
    let has_ties = all.windows(2).any(|pair| pair[0] == pair[1]);
    let null = mann_whitney_null(first.len(), second.len());
    let most = first.len() * second.len();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a count of pairs"
    )]
    let count = u as usize;
    let at_least = |count: usize| count.checked_sub(1).map_or(1.0, |below| 1.0 - null[below]);
    let p = (!has_ties).then(|| (2.0 * null[count].min(at_least(count))).min(1.0));
    let tail = (1.0 - confidence) / 2.0;
    let reach = null.iter().take_while(|part| **part <= tail).count();
    let shift_interval = (reach > 0 && 2 * reach <= most)
        .then(|| (differences[reach - 1], differences[most - reach]));
    Some(MannWhitney {
        u,
        p,
        shift: median(&differences),
        shift_interval,
    })
}

pub(crate) fn median(sorted: &[f64]) -> f64 {
    let count = sorted.len();
    if count == 0 {
        return f64::NAN;
    }
    f64::midpoint(sorted[(count - 1) / 2], sorted[count / 2])
}
