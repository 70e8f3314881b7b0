//! Quantiles and their intervals: R's first type, order-statistic intervals recomputed exactly, and
//! Clopper–Pearson intervals (`reference/statistics`; tolerances beside each check).

use evenhand_population::share_interval;
use evenhand_strokes::{rank_bounds, weighted_quantile};
use evenhand_tests::reference_rows;

#[test]
fn quantiles_are_those_of_the_first_type() {
    let rows = reference_rows("statistics/quantile-types.csv");
    let first = rows.iter().find(|row| row["type"] == "1").unwrap();
    let values = [1.0, 2.0, 4.0, 7.0, 11.0, 16.0, 22.0];
    let plain: Vec<(f64, f64)> = values.iter().map(|value| (*value, 1.0)).collect();
    // A weight of three is the value written three times.
    let heavy: Vec<(f64, f64)> = values.iter().map(|value| (*value, 3.0)).collect();
    let written: Vec<(f64, f64)> = plain.iter().flat_map(|pair| [*pair; 3]).collect();
    let mut checked = 0;
    for (name, expected) in first.iter().filter(|(name, _)| name.starts_with('q')) {
        let level: f64 = name[1..].parse().unwrap();
        let expected: f64 = expected.parse().unwrap();
        for weighted in [&plain, &heavy, &written] {
            assert_eq!(weighted_quantile(weighted, level), expected, "{name}");
        }
        checked += 1;
    }
    assert_eq!(checked, 7);
    let counted: [(f64, u8); 3] = [(1.0, 1), (2.0, 5), (4.0, 2)];
    let uneven = counted.map(|(value, count)| (value, f64::from(count)));
    let copies: Vec<(f64, f64)> = counted
        .iter()
        .flat_map(|(value, count)| vec![(*value, 1.0); usize::from(*count)])
        .collect();
    for step in 1..100 {
        let level = f64::from(step) / 100.0;
        let [a, b] = [&uneven[..], &copies].map(|of| weighted_quantile(of, level));
        assert_eq!(a, b);
    }
}

/// P(B = k) of a binomial variable, by its recurrence.
fn binomial(n: u16, q: f64) -> Vec<f64> {
    let mut last = (1.0 - q).powi(n.into());
    let mut found = vec![last];
    for k in 0..n {
        last *= f64::from(n - k) / f64::from(k + 1) * q / (1.0 - q);
        found.push(last);
    }
    found
}

#[test]
fn intervals_by_order_statistics() {
    let rows = reference_rows("statistics/quantile-ci-order-statistics.csv");
    let mut closed = 0;
    for row in &rows {
        let number = |key: &str| row[key].parse::<f64>().unwrap();
        let (n, level, confidence) = (number("n"), number("q"), number("c"));
        let (low, high) = rank_bounds(n, level, confidence);
        // The table is blank where one of the two ranks is out of range.
        if row["r"].is_empty() {
            assert!(low.is_none() || high.is_none(), "{row:?}: {low:?} {high:?}");
            continue;
        }
        closed += 1;
        let expected = ["r", "s"].map(|key| Some(number(key)));
        assert_eq!([low, high], expected, "{row:?}");
        let rank = |key: &str| row[key].parse::<usize>().unwrap();
        let chances = binomial(row["n"].parse().unwrap(), level);
        let inside: f64 = chances[rank("r")..rank("s")].iter().sum();
        let off = (inside - number("coverage")).abs();
        assert!(off < 1e-12, "{row:?}: {inside}");
    }
    assert!(closed > 20, "{closed} of {}", rows.len());
}

#[test]
fn shares_have_the_intervals_of_clopper_and_pearson() {
    let rows = reference_rows("statistics/proportion-intervals.csv");
    assert!(rows.len() >= 4);
    for row in &rows {
        let number = |key: &str| row[key].parse::<f64>().unwrap();
        let found = share_interval(number("x") / number("n"), number("n"), 0.95);
        for (got, expected) in [(found.low, number("cp_lo")), (found.high, number("cp_hi"))] {
            assert!((got - expected).abs() < 1e-9, "{row:?}: {got}");
        }
    }
}
