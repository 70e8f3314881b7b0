//! The variance of means, against cases that are known exactly.

use evenhand_strokes::{autocovariances, beyond_outermost, long_run, memory};
use rand::{Rng as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use rand_distr::StandardNormal;

fn noise(count: usize, seed: u64) -> Vec<f64> {
    let mut random = ChaCha8Rng::seed_from_u64(seed);
    (0..count).map(|_| random.sample(StandardNormal)).collect()
}

fn is_near(found: f64, expected: f64, within: f64) {
    assert!(
        (found - expected).abs() <= within,
        "{found}, not {expected} within {within}"
    );
}

#[test]
fn autocovariances_by_hand() {
    // (−2·−1 + 0 + 0 + 1·2)/5 and so on.
    let found = autocovariances(&[1.0, 2.0, 3.0, 4.0, 5.0], 9);
    let expected = [2.0, 0.8, -0.2, -0.8, -0.8];
    assert_eq!(found.len(), expected.len());
    for (found, expected) in found.iter().zip(expected) {
        is_near(*found, expected, 1e-15);
    }
    assert_eq!(autocovariances(&[1.0, 2.0, 3.0, 4.0, 5.0], 1).len(), 2);
}

#[test]
fn without_memory_it_is_the_sample_variance() {
    let values = noise(50, 1);
    let mean = values.iter().sum::<f64>() / 50.0;
    let variance = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / 49.0;
    let found = long_run(&values, 0).expect("50 values");
    is_near(found.variance, variance, 1e-12);
    assert_eq!(found.freedom, 49.0);
}

#[test]
fn weights_are_a_sum_over_all_pairs() {
    // The same sum taken over pairs of values, with the weights written out: 1 up to lag 3, then 2/3 and 1/3.
    let mut values = noise(100, 2);
    for index in 1..100 {
        values[index] += 0.7 * values[index - 1];
    }
    let mean = values.iter().sum::<f64>() / 100.0;
    let weights = [1.0, 1.0, 1.0, 1.0, 2.0 / 3.0, 1.0 / 3.0];
    let mut sum = 0.0;
    for (i, a) in values.iter().enumerate() {
        for (j, b) in values.iter().enumerate() {
            let weight = weights.get(i.abs_diff(j)).copied().unwrap_or(0.0);
            sum += weight * (a - mean) * (b - mean);
        }
    }
    let found = long_run(&values, 3).expect("100 values");
    // 1 + 2(3 + 2/3 + 1/3) = 9 weights, of squares 1 + 2(3 + 4/9 + 1/9) = 73/9.
    is_near(found.variance, sum / 100.0 / (1.0 - 0.09), 1e-10);
    is_near(found.freedom, 900.0 / 73.0 - 1.0, 1e-12);
}

#[test]
fn an_autoregressive_process_has_its_known_long_run_variance() {
    // σ²/(1 − φ)² (Hamilton, *Time Series Analysis*, 1994, section 10.5, from memory): 1/0.4² = 6.25. Its estimate from
    // 200,000 values scatters by about 2 %.
    let mut values = noise(200_000, 3);
    for index in 1..values.len() {
        values[index] += 0.6 * values[index - 1];
    }
    let lag = memory(&values).expect("a memory");
    assert!((6..=14).contains(&lag), "{lag}");
    let found = long_run(&values, lag).expect("values enough");
    is_near(found.variance, 6.25, 0.4);
}

#[test]
fn runs_of_equal_values_count_once() {
    // Runs of m: autocorrelations of 1 − j/m, which sum to m.
    for m in [2, 6, 12] {
        let moods = noise(60_000 / m, 4);
        let values: Vec<f64> = moods.iter().flat_map(|mood| vec![*mood; m]).collect();
        let lag = memory(&values).expect("a memory");
        assert_eq!(lag, m - 1);
        let found = long_run(&values, lag).expect("values enough");
        is_near(found.variance / m as f64, 1.0, 0.1);
    }
}

/// How often a hundred values that `of` makes have no memory, of 200 series.
fn forgetful(of: impl Fn(u64) -> Vec<f64>) -> usize {
    (0..200)
        .filter(|seed| memory(&of(100 + seed)) == Some(0))
        .count()
}

#[test]
fn chance_trends_and_turns_are_no_memory() {
    let plain = forgetful(|seed| noise(100, seed));
    assert!(plain >= 170, "{plain}");
    type Shift = fn(usize) -> f64;
    let shifts: [(&str, Shift); 2] = [
        ("falling", |index| -0.05 * index as f64),
        ("in turns", |index| 3.0 * (index % 2) as f64),
    ];
    for (name, shift) in shifts {
        let shifted = forgetful(|seed| {
            let values = noise(100, seed);
            let shifted = |(index, value): (usize, &f64)| value + shift(index);
            values.iter().enumerate().map(shifted).collect()
        });
        assert!(shifted >= 170, "{name}: {shifted}");
    }
    let in_moods = forgetful(|seed| {
        let moods = noise(17, seed);
        (0..100).map(|index| moods[index / 6]).collect()
    });
    assert!(in_moods <= 4, "{in_moods}");
    assert_eq!(memory(&[5.0; 60]), Some(0));
}

#[test]
fn too_few_stretches_tell_nothing() {
    let values = noise(60, 5);
    // 60 over 1 + 2·(8 + 8/3 − 1/2 + 1/48): 2.83 stretches; with a lag of ten 2.25.
    assert!(long_run(&values, 8).is_some());
    assert_eq!(long_run(&values, 10), None);
    // Up, level and down again: no straight line, and longer than a quarter of the values.
    let hill: Vec<f64> = (0..60_i32).map(|i| -f64::from(i - 30).abs()).collect();
    let hill = memory(&hill).and_then(|lag| long_run(&values, lag));
    assert_eq!(hill, None);
}

#[test]
fn an_exponential_tail_is_reached_with_the_stated_probability() {
    // The largest of n falls short of the quantile by more than this with probability `tail`, exactly so where
    // values are exponential: P(largest < x) = (1 − exp(−x))^n.
    for (n, level) in [(5.0, 0.9), (20.0, 0.95), (40.0, 0.95), (7.5, 0.5)] {
        for scale in [1.0, 30.0] {
            let quantile = -scale * f64::ln(1.0 - level);
            let beyond = beyond_outermost(n, level, 0.025, scale);
            let chance = (1.0 - f64::exp(-(quantile - beyond) / scale)).powf(n);
            if beyond > 0.0 {
                is_near(chance, 0.025, 1e-12);
            } else {
                assert!(level.powf(n) <= 0.025);
            }
        }
    }
    assert_eq!(beyond_outermost(73.0, 0.95, 0.025, 1.0), 0.0);
    assert!(beyond_outermost(71.0, 0.95, 0.025, 1.0) > 0.0);
}

#[test]
fn taking_turns_counts_no_more_than_independent_values() {
    let values: Vec<f64> = (0..100).map(|i| f64::from(1 - 2 * (i % 2))).collect();
    let found = long_run(&values, 3).expect("100 values");
    is_near(found.variance, 100.0 / 99.0, 1e-12);
}
