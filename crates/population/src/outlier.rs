//! Units that lie far from the others.

use crate::mann_whitney::median;

/// Turns the median of absolute deviations into the standard deviation of normal values: 1/Φ⁻¹(3/4).
const TO_DEVIATION: f64 = 1.482_602_218_505_602;
/// No fewer values than this have outliers.
const LEAST_VALUES: usize = 4;
/// Scores that the farthest of so many normal values exceeds once in a hundred groups, from 4 values on: the
/// robust spread of few values is itself uncertain (of five normal values the farthest lies beyond 7.9 once in
/// twenty groups). Found by simulation (400,000 groups each; a test repeats it). The familiar 3.5 (B. Iglewicz and
/// D. Hoaglin, 1993, from memory) lies below all of them.
const LIMITS: [f64; 27] = [
    15.79, 18.62, 10.00, 10.74, 7.94, 8.26, 6.86, 7.03, 6.32, 6.35, 5.88, 5.97, 5.58, 5.65, 5.40,
    5.41, 5.24, 5.27, 5.09, 5.13, 5.00, 5.02, 4.91, 4.94, 4.84, 4.86, 4.79,
];
/// The same for more values: up to so many, this limit.
const MORE: [(usize, f64); 4] = [(40, 4.79), (50, 4.59), (70, 4.47), (100, 4.37)];
const MANY: f64 = 4.30;

/// The score from which on one of so many values is called an outlier.
fn limit(values: usize) -> f64 {
    let Some(place) = values.checked_sub(LEAST_VALUES) else {
        return f64::INFINITY;
    };
    LIMITS.get(place).copied().unwrap_or_else(|| {
        let more = MORE.iter().find(|(most, _)| values <= *most);
        more.map_or(MANY, |(_, limit)| *limit)
    })
}

/// How far a unit lies from the others.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OutlierScore {
    /// Distance from the median in robust standard deviations.
    pub score: f64,
    /// Whether it lies so far that it should be looked at.
    pub is_outlier: bool,
}

/// Scores of all values: distance from the median over the robust spread, which is taken no smaller than
/// `floor`, what the instrument can tell apart. How far an outlier lies depends on how many values there are; fewer than
/// four have none.
#[must_use]
pub fn outlier_scores(values: &[f64], floor: f64) -> Vec<OutlierScore> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let middle = median(&sorted);
    let mut off: Vec<f64> = values.iter().map(|value| (value - middle).abs()).collect();
    off.sort_by(f64::total_cmp);
    let spread = (TO_DEVIATION * median(&off))
        .max(floor)
        .max(f64::MIN_POSITIVE);
    let limit = limit(values.len());
    values
        .iter()
        .map(|value| {
            let score = (value - middle) / spread;
            OutlierScore {
                score,
                is_outlier: score.abs() >= limit,
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand::{Rng as _, SeedableRng as _};
    use rand_chacha::ChaCha8Rng;

    #[test]
    fn one_group_in_a_hundred_has_a_false_outlier() {
        // Normal values by the polar method, so that no library of distributions is needed here.
        let mut random = ChaCha8Rng::seed_from_u64(7);
        let mut normal = || loop {
            let (x, y) = (
                2.0 * random.random::<f64>() - 1.0,
                2.0 * random.random::<f64>() - 1.0,
            );
            let square = x * x + y * y;
            if square > 0.0 && square < 1.0 {
                return x * (-2.0 * square.ln() / square).sqrt();
            }
        };
        for count in [4, 5, 8, 13, 30, 60] {
            let groups = 10_000;
            let mut found = 0;
            for _ in 0..groups {
                let values: Vec<f64> = (0..count).map(|_| normal()).collect();
                let any = outlier_scores(&values, 0.0)
                    .iter()
                    .any(|score| score.is_outlier);
                found += i32::from(any);
            }
            // 100 expected, with a standard deviation of 10.
            assert!((60..=145).contains(&found), "{count}: {found} of {groups}");
        }
    }

    #[test]
    fn a_stiff_one_stands_out_and_resolution_does_not() {
        let scores = outlier_scores(&[170.0, 172.0, 169.0, 175.0, 1000.0], 1.0);
        let far: Vec<bool> = scores.iter().map(|score| score.is_outlier).collect();
        assert_eq!(far, [false, false, false, false, true], "{scores:?}");
        // Values that the instrument cannot tell apart have no outlier among them.
        let scores = outlier_scores(&[4.0, 4.0, 4.0, 4.0, 4.6], 0.5);
        assert!(scores.iter().all(|score| !score.is_outlier), "{scores:?}");
    }
}
