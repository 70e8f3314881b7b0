//! Whether the units of one group fall into two.

use rand::{Rng as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use rand_distr::StandardNormal;

use crate::between_units::BetweenUnits;
use crate::group::ALPHA;
use crate::measured::ForceEstimate;

/// A cluster holds at least so many units; one that stands alone is an outlier, not a cluster.
const LEAST: usize = 2;
/// Groups drawn under one normal law.
const DRAWS: u32 = 1999;

/// Units of a group that fall into two clusters by their saturation forces.
#[derive(Clone, Debug, PartialEq)]
pub struct Clusters {
    /// Units of the lower cluster, by their places in the group's units.
    pub lower: Vec<usize>,
    /// Units of the upper cluster.
    pub upper: Vec<usize>,
    /// Largest saturation force of the lower and smallest of the upper, gf.
    pub gap: (f64, f64),
    /// Probability of so clean a division were the units of one normal law, corrected for all groups (Holm).
    pub p: f64,
}

/// The cleanest division of figures into two clusters: what remains within them as a part of all squares (the
/// likelihood ratio of two normal laws with one deviation against one law), and where it divides.
struct Division {
    within: f64,
    lower: usize,
}

impl Clusters {
    /// Whether the test says that there are two.
    #[must_use]
    pub fn is_shown(&self) -> bool {
        self.p < ALPHA
    }

    /// Of the saturation forces of a group's units, those known; `None` of fewer than four. The probability is the part
    /// of groups drawn by `seed` from one normal law, with the spread between units estimated and each unit's own
    /// uncertainty, that divide as cleanly. Squares within clusters count no smaller than measuring makes them.
    pub(crate) fn of(figures: &[&ForceEstimate], confidence: f64, seed: u64) -> Option<Self> {
        let mut order: Vec<usize> = (0..figures.len())
            .filter(|place| !figures[*place].is_least)
            .collect();
        order.sort_by(|a, b| figures[*a].estimate.total_cmp(&figures[*b].estimate));
        if order.len() < 2 * LEAST {
            return None;
        }
        let known: Vec<&ForceEstimate> = order.iter().map(|place| figures[*place]).collect();
        let spread = BetweenUnits::of(&known, confidence)?.estimate;
        let count = known.len() as f64;
        let own = known.iter().map(|f| f.sd.powi(2)).sum::<f64>() / count;
        let floor = own * (count - 2.0);
        let mut values: Vec<f64> = known.iter().map(|f| f.estimate).collect();
        let found = Division::of(&values, floor)?;
        let deviations: Vec<f64> = known.iter().map(|f| f.sd.hypot(spread)).collect();
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        let mut as_clean = 1_u32;
        for _ in 0..DRAWS {
            for (value, deviation) in values.iter_mut().zip(&deviations) {
                *value = deviation * random.sample::<f64, _>(StandardNormal);
            }
            values.sort_by(f64::total_cmp);
            let drawn = Division::of(&values, floor);
            as_clean += u32::from(drawn.is_some_and(|drawn| drawn.within <= found.within));
        }
        let (lower, upper) = order.split_at(found.lower);
        Some(Self {
            gap: (known[found.lower - 1].estimate, known[found.lower].estimate),
            lower: lower.to_vec(),
            upper: upper.to_vec(),
            p: f64::from(as_clean) / f64::from(DRAWS + 1),
        })
    }
}

impl Division {
    /// Of values in order; `None` of values that are all equal.
    fn of(sorted: &[f64], floor: f64) -> Option<Self> {
        let count = sorted.len();
        let n = count as f64;
        let mean = sorted.iter().sum::<f64>() / n;
        let all: f64 = sorted.iter().map(|value| (value - mean).powi(2)).sum();
        if all.is_nan() || all <= 0.0 {
            return None;
        }
        let mut sum = 0.0;
        let mut best: Option<Self> = None;
        for (place, value) in sorted[..count - LEAST].iter().enumerate() {
            sum += value - mean;
            let lower = place + 1;
            if lower < LEAST {
                continue;
            }
            // What the division explains: Σ of counts times squared means, which are opposite in sign.
            let (m, rest) = (lower as f64, (count - lower) as f64);
            let between = sum * sum * (1.0 / m + 1.0 / rest);
            let within = (all - between).max(floor) / all;
            if best.as_ref().is_none_or(|best| within < best.within) {
                best = Some(Self { within, lower });
            }
        }
        best
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn clusters(values: &[(f64, f64)]) -> Option<Clusters> {
        let own: Vec<ForceEstimate> = values
            .iter()
            .map(|(value, sd)| ForceEstimate::measured(*value, *sd, f64::INFINITY))
            .collect();
        Clusters::of(&own.iter().collect::<Vec<_>>(), 0.95, 1)
    }

    #[test]
    fn one_normal_law_is_seldom_called_two() {
        let mut random = ChaCha8Rng::seed_from_u64(11);
        for (count, spread) in [(4, 6.0), (5, 0.0), (5, 6.0), (12, 1.0)] {
            let groups = 150;
            let mut called = 0;
            for _ in 0..groups {
                let own: Vec<(f64, f64)> = (0..count)
                    .map(|unit| {
                        let sd = 1.0 + f64::from(unit % 3);
                        let [a, b]: [f64; 2] =
                            std::array::from_fn(|_| random.sample(StandardNormal));
                        (300.0 + spread * a + sd * b, sd)
                    })
                    .collect();
                let found = clusters(&own).expect("four units or more");
                called += i32::from(found.is_shown());
            }
            // 7.5 expected at most, with a standard deviation of 2.7.
            assert!(
                called <= 15,
                "{count} units, {spread} gf: {called} of {groups}"
            );
        }
    }

    /// With the group itself among those drawn a test of so many draws never says less (B. Phipson and G. K. Smyth, Stat.
    /// Appl. Genet. Mol. Biol. 9, 2010, 39).
    #[test]
    fn the_least_probability_is_one_of_all_drawn() {
        let units = [100.0, 300.0].map(|force| [(force, 0.1), (force + 0.1, 0.1)].repeat(4));
        let found = clusters(&units.concat()).expect("sixteen units");
        assert_eq!(found.p, 1.0 / f64::from(DRAWS + 1));
    }

    #[test]
    fn two_clusters_of_five_units_are_found() {
        let found = clusters(&[
            (250.0, 1.0),
            (201.0, 1.0),
            (252.0, 1.0),
            (199.0, 1.0),
            (200.0, 1.0),
        ])
        .expect("five units");
        assert!(found.is_shown(), "{found:?}");
        assert_eq!(
            (&found.lower[..], &found.upper[..]),
            (&[3, 4, 1][..], &[0, 2][..])
        );
        assert_eq!(found.gap, (201.0, 250.0));
        // Measured so badly that measuring explains the gap, or as far apart evenly, they are not.
        let badly = clusters(&[
            (250.0, 30.0),
            (201.0, 30.0),
            (252.0, 30.0),
            (199.0, 30.0),
            (200.0, 30.0),
        ]);
        assert!(!badly.expect("five units").is_shown());
        let evenly = clusters(&[
            (200.0, 1.0),
            (213.0, 1.0),
            (226.0, 1.0),
            (239.0, 1.0),
            (252.0, 1.0),
        ]);
        assert!(!evenly.expect("five units").is_shown());
        // One that stands alone is no cluster.
        let alone = clusters(&[
            (200.0, 1.0),
            (201.0, 1.0),
            (202.0, 1.0),
            (200.5, 1.0),
            (300.0, 1.0),
        ]);
        assert!(!alone.expect("five units").is_shown());
        assert_eq!(clusters(&[(200.0, 1.0), (201.0, 1.0), (300.0, 1.0)]), None);
    }
}
