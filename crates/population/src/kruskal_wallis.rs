//! Several groups compared by order alone.

use statrs::distribution::{ChiSquared, ContinuousCDF as _};

/// A comparison of several groups by ranks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KruskalWallis {
    /// The statistic, corrected for ties.
    pub h: f64,
    /// Its freedom.
    pub degrees_of_freedom: f64,
    /// Probability of so large a statistic were the groups alike, by the chi-squared distribution; rough
    /// for groups of fewer than five.
    pub p: f64,
}

/// Compares groups (W. H. Kruskal and W. A. Wallis, J. Am. Statist. Assoc. 47, 1952, 583–621). `None` of
/// fewer than two groups with values, or where all values are equal.
#[must_use]
pub fn kruskal_wallis(groups: &[Vec<f64>]) -> Option<KruskalWallis> {
    let groups: Vec<&Vec<f64>> = groups.iter().filter(|group| !group.is_empty()).collect();
    let mut all: Vec<f64> = groups
        .iter()
        .flat_map(|group| group.iter().copied())
        .collect();
    all.sort_by(f64::total_cmp);
    let n = all.len() as f64;
    let rank = |value: f64| {
        let below = all.partition_point(|other| *other < value);
        let up_to = all.partition_point(|other| *other <= value);
        0.5 * (below + up_to + 1) as f64
    };
    let squares: f64 = groups
        .iter()
        .map(|group| {
            let sum: f64 = group.iter().map(|value| rank(*value)).sum();
            sum * sum / group.len() as f64
        })
        .sum();
    let ties: f64 = all
        .chunk_by(|a, b| a == b)
        .map(|tied| (tied.len() as f64).powi(3) - tied.len() as f64)
        .sum();
    let correction = 1.0 - ties / (n.powi(3) - n);
    let degrees_of_freedom = groups.len().checked_sub(1).filter(|f| *f > 0)? as f64;
    if correction.is_nan() || correction <= 0.0 {
        return None;
    }
    let h = (12.0 / (n * (n + 1.0)) * squares - 3.0 * (n + 1.0)) / correction;
    let chi = ChiSquared::new(degrees_of_freedom).ok()?;
    Some(KruskalWallis {
        h,
        degrees_of_freedom,
        p: chi.sf(h.max(0.0)),
    })
}
