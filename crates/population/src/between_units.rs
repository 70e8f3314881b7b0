//! How far units differ beyond what measuring adds, and how well that is known.

use statrs::distribution::{ChiSquared, ContinuousCDF as _, FisherSnedecor};

use crate::integral::root;
use crate::measured::ForceEstimate;

/// Freedoms beyond this are taken as infinite: F is then χ² to all digits that are told.
const MANY: f64 = 1e7;
/// A bound is sought up to this many times the largest of what was seen and what measuring adds.
const FAR: f64 = 1e4;

/// Standard deviation between units, apart from measuring, gf. Of few units, or of units each measured badly, the
/// interval is wide; an estimate of 0 with an upper bound above it says that measuring hides what differs, not that
/// nothing does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct BetweenUnits {
    /// Paule and Mandel's estimate (J. Res. Natl. Bur. Stand. 87, 1982, 377–385): what has to be added to each unit's
    /// variance for the weighted squares to be as large as expected; 0 where they are smaller without.
    pub(crate) estimate: f64,
    /// What it is at least, with the confidence; 0 where the test does not reject at that level.
    pub(crate) low: f64,
    /// What it is at most, with the confidence.
    pub(crate) high: f64,
    /// Probability of so large a spread were all units alike.
    pub(crate) p: f64,
}

/// One unit as the test sees it.
#[derive(Clone, Copy)]
struct Seen {
    value: f64,
    variance: f64,
    /// Degrees of freedom behind the variance.
    freedom: f64,
}

/// Weighted squares about the weighted mean, where so much variance is added to each unit's.
struct Squares {
    /// Their sum.
    sum: f64,
    /// What it would be on average, did units not differ at all.
    alike: f64,
    /// What weights that are themselves estimated add to it, as a factor.
    excess: f64,
    /// Second freedom of the F that they follow.
    freedom: f64,
}

impl BetweenUnits {
    /// Of units whose figures are known. Q-profile bounds (W. Viechtbauer, Stat. Med. 26, 2007, 37–52): every spread is
    /// believed whose weighted squares are not improbable. Uncertainties that rest on few samples are allowed for as
    /// B. L. Welch does (Biometrika 38, 1951, 330–336), so that without a spread this is his test, and with
    /// uncertainties that are known Cochran's (Biometrics 10, 1954, 101–129). For the upper bound squares count no
    /// smaller than measuring alone makes them on average: units that happen to agree prove no more than they were
    /// measured. `None` of fewer than two units and where an uncertainty is unknown.
    pub(crate) fn of(figures: &[&ForceEstimate], confidence: f64) -> Option<Self> {
        let units: Vec<Seen> = figures
            .iter()
            .map(|figure| Seen {
                value: figure.estimate,
                variance: figure.sd.powi(2),
                freedom: figure.freedom,
            })
            .collect();
        let is_known = |unit: &Seen| unit.variance > 0.0 && unit.variance.is_finite();
        if units.len() < 2 || !units.iter().all(is_known) {
            return None;
        }
        let ratios = units.len() as f64 - 1.0;
        // Probability of squares so large, were this the spread: it rises with the spread.
        let chance = |spread: f64, floored: bool| {
            let squares = squares(&units, spread);
            let sum = if floored {
                squares.sum.max(squares.alike)
            } else {
                squares.sum
            };
            above(sum / (ratios * squares.excess), ratios, squares.freedom)
        };
        let p = chance(0.0, false);
        let most = FAR * largest(&units);
        Some(Self {
            estimate: rising_root(most, |spread| ratios - squares(&units, spread).sum),
            low: rising_root(most, |spread| chance(spread, false) - (1.0 - confidence)),
            high: rising_root(most, |spread| chance(spread, true) - confidence),
            p,
        })
    }
}

/// Where a rising function passes 0, from 0 up; 0 where it is no smaller there.
fn rising_root(most: f64, function: impl Fn(f64) -> f64) -> f64 {
    if function(0.0) >= 0.0 {
        return 0.0;
    }
    root(0.0, most, function)
}

fn largest(units: &[Seen]) -> f64 {
    let values = || units.iter().map(|unit| unit.value);
    let range = values().fold(f64::NEG_INFINITY, f64::max) - values().fold(f64::INFINITY, f64::min);
    units
        .iter()
        .map(|unit| unit.variance.sqrt())
        .fold(range, f64::max)
}

fn squares(units: &[Seen], spread: f64) -> Squares {
    let count = units.len() as f64;
    let whole = |unit: &Seen| spread * spread + unit.variance;
    let total: f64 = units.iter().map(|unit| whole(unit).recip()).sum();
    let mean = units.iter().map(|u| u.value / whole(u)).sum::<f64>() / total;
    let (mut sum, mut alike, mut doubt) = (0.0, 0.0, 0.0);
    for unit in units {
        let weight = whole(unit).recip();
        let rest = 1.0 - weight / total;
        sum += weight * (unit.value - mean).powi(2);
        alike += weight * unit.variance * rest;
        // Only a part of the whole variance is estimated from few samples.
        let freedom = unit.freedom * (whole(unit) / unit.variance).powi(2);
        doubt += rest.powi(2) / freedom;
    }
    Squares {
        sum,
        alike,
        excess: 1.0 + 2.0 * (count - 2.0) / (count * count - 1.0) * doubt,
        freedom: (count * count - 1.0) / (3.0 * doubt),
    }
}

/// Probability that F with these freedoms lies above a ratio.
fn above(ratio: f64, first: f64, second: f64) -> f64 {
    if second < MANY {
        FisherSnedecor::new(first, second).map_or(f64::NAN, |law| law.sf(ratio))
    } else {
        ChiSquared::new(first).map_or(f64::NAN, |law| law.sf(first * ratio))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::SeedableRng as _;
    use rand_chacha::ChaCha8Rng;
    use rand_distr::{ChiSquared as Squares, Distribution as _, StandardNormal};

    /// Groups of units that differ by `spread`, each with its true uncertainty, which is estimated with `freedom`.
    fn groups(
        count: usize,
        sds: &[f64],
        freedom: f64,
        spread: f64,
        seed: u64,
    ) -> Vec<BetweenUnits> {
        let mut random = ChaCha8Rng::seed_from_u64(seed);
        let chi = Squares::new(freedom.min(1e9)).expect("freedom");
        (0..count)
            .map(|_| {
                let own: Vec<ForceEstimate> = sds
                    .iter()
                    .map(|sd| {
                        let [unit, error]: [f64; 2] =
                            std::array::from_fn(|_| StandardNormal.sample(&mut random));
                        let found = (chi.sample(&mut random) / freedom).sqrt();
                        ForceEstimate::measured(
                            300.0 + spread * unit + sd * error,
                            sd * found,
                            freedom,
                        )
                    })
                    .collect();
                let own: Vec<&ForceEstimate> = own.iter().collect();
                BetweenUnits::of(&own, 0.95).expect("two units or more")
            })
            .collect()
    }

    fn sds(size: usize, are_equal: bool) -> Vec<f64> {
        // One in three is measured three times as badly as another.
        (0..size)
            .map(|unit| {
                if are_equal {
                    2.0
                } else {
                    1.0 + (unit % 3) as f64
                }
            })
            .collect()
    }

    const SIZES: [usize; 4] = [2, 3, 5, 10];

    #[test]
    fn likeness_is_tested_at_its_level() {
        for size in SIZES {
            for are_equal in [true, false] {
                for freedom in [8.0, 20.0] {
                    let found = groups(1000, &sds(size, are_equal), freedom, 0.0, 3);
                    let mut p: Vec<f64> = found.iter().map(|one| one.p).collect();
                    p.sort_by(f64::total_cmp);
                    let off = p.iter().enumerate().flat_map(|(place, p)| {
                        [place, place + 1].map(|place| (place as f64 / 1000.0 - p).abs())
                    });
                    // Kolmogorov and Smirnov's statistic of uniform values lies above 1.63/√n once in a hundred
                    // times (any table).
                    let distance = off.fold(0.0, f64::max);
                    assert!(
                        distance < 1.63 / 1000.0_f64.sqrt(),
                        "{size} units, {freedom} degrees of freedom: {distance}"
                    );
                }
            }
        }
    }

    #[test]
    fn bounds_of_the_spread_hold() {
        for size in SIZES {
            for spread in [1.0, 6.0] {
                let found = groups(1000, &sds(size, false), 12.0, spread, 5);
                let below = found.iter().filter(|one| one.high < spread).count();
                let above = found.iter().filter(|one| one.low > spread).count();
                // 50 of either are expected, with a standard deviation of 7; the upper bound may hold more often.
                assert!(
                    below <= 68,
                    "{size} units: {below} lie above their upper bound"
                );
                assert!(
                    (32..=72).contains(&above),
                    "{size} units: {above} lie below their lower bound"
                );
                for one in &found {
                    assert!(one.low <= one.estimate && one.estimate <= one.high && one.high > 0.0);
                    assert_eq!(one.low > 0.0, one.p < 0.05, "{one:?}");
                }
            }
        }
    }

    #[test]
    fn equal_uncertainties_have_closed_forms() {
        let own: Vec<ForceEstimate> = [291.0, 297.0, 303.0, 309.0, 300.0]
            .iter()
            .map(|value| ForceEstimate::measured(*value, 2.0, f64::INFINITY))
            .collect();
        let found = BetweenUnits::of(&own.iter().collect::<Vec<_>>(), 0.95).expect("five units");
        // Squares of 180; χ² of 4 degrees of freedom at 5 and 95 %: 0.710723 and 9.487729 (any table).
        let spread = |quantile: f64| (180.0 / quantile - 4.0_f64).sqrt();
        assert!((found.estimate - spread(4.0)).abs() < 1e-9, "{found:?}");
        assert!((found.low - spread(9.487_729)).abs() < 1e-6, "{found:?}");
        assert!((found.high - spread(0.710_723)).abs() < 1e-5, "{found:?}");
    }

    #[test]
    fn units_that_happen_to_agree_prove_no_more_than_they_were_measured() {
        let own = [ForceEstimate::measured(300.0, 6.0, f64::INFINITY); 5];
        let found = BetweenUnits::of(&own.iter().collect::<Vec<_>>(), 0.95).expect("five units");
        assert!(found.estimate <= 0.0 && found.low <= 0.0, "{found:?}");
        // Squares as large as measuring makes them on average: 36 · 4 over χ² of 4 degrees of freedom at 5 %.
        let high = 6.0 * (4.0 / 0.710_723 - 1.0_f64).sqrt();
        assert!((found.high - high).abs() < 1e-4, "{found:?}");
    }

    #[test]
    fn the_lower_bound_of_two_units_is_that_of_students_t() {
        use statrs::distribution::StudentsT;
        let own = [
            ForceEstimate::measured(290.0, 2.0, 6.0),
            ForceEstimate::measured(420.0, 2.0, 6.0),
        ];
        let found = BetweenUnits::of(&own.iter().collect::<Vec<_>>(), 0.95).expect("two units");
        // Welch's t of two means, here with Satterthwaite's freedom of variances of which only a part is estimated
        // (JCGM 100, G.4.1): 2 · 6 times the square of the whole over that part.
        let variance = 4.0 + found.low.powi(2);
        let freedom = 12.0 * (variance / 4.0).powi(2);
        let t = StudentsT::new(0.0, 1.0, freedom).expect("freedom");
        let p = 2.0 * t.sf(130.0 / (2.0 * variance).sqrt());
        assert!(found.low > 1.0 && (p - 0.05).abs() < 1e-9, "{found:?}: {p}");
        // Without a spread it is Welch's own test of two means with 6 degrees of freedom each.
        let own = [
            ForceEstimate::measured(290.0, 2.0, 6.0),
            ForceEstimate::measured(296.0, 2.0, 6.0),
        ];
        let found = BetweenUnits::of(&own.iter().collect::<Vec<_>>(), 0.95).expect("two units");
        let t = StudentsT::new(0.0, 1.0, 12.0).expect("freedom");
        assert!((found.p - 2.0 * t.sf(6.0 / 8.0_f64.sqrt())).abs() < 1e-9);
    }
}
