//! The statistics of comparisons against tables: tolerance factors (scipy 1.17.1, spot values of Odeh and Owen's
//! kind seen), sample sizes of order statistics, R 4.2.2's tests and corrections, Bland and Altman's peak
//! flows (memory, their summary reproduced), NIST's analyses of variance (seen). Tolerances beside each check.

use evenhand_fitting::Response;
use evenhand_measurement::Force;
use evenhand_population::{
    ForceEstimate, Profile, READING_GRID, Sample, Spread, agreement, curve_difference, holm,
    kruskal_wallis, level_reading, mann_whitney, mann_whitney_null, part_above,
    part_within_extremes, permutation_test, prediction_interval, two_sided_factor,
    variance_components, welch,
};
use evenhand_tests::{number, reference_rows, reference_text};

use crate::formula::{self, assert_within};

fn near(found: f64, expected: f64, allowed: f64, what: &str) {
    formula::assert_near(what, found, expected, allowed);
}

#[test]
fn tolerance_factors() {
    let rows = reference_rows("statistics/tolerance-factors-normal.csv");
    let mut checked = 0;
    for row in &rows {
        let n: u32 = row["n"].parse().unwrap();
        let [p, c, expected] = ["p", "c", "k2_exact"].map(|key| number(row, key));
        let found = two_sided_factor(n, p, c);
        // The table has ten figures.
        near(found, expected, 1e-8, &format!("{n} {p} {c}"));
        checked += 1;
    }
    assert!(checked > 150, "{checked}");
    assert!(two_sided_factor(1, 0.9, 0.9).is_nan() && two_sided_factor(5, 1.0, 0.9).is_nan());
}

/// A value of the table of two-sample checks.
fn told(test: &str, quantity: &str) -> f64 {
    let rows = reference_rows("statistics/two-sample.csv");
    let mut rows = rows.iter();
    let row = rows.find(|row| row["test"] == test && row["quantity"] == quantity);
    number(row.unwrap_or_else(|| panic!("{test}, {quantity}")), "value")
}

/// Student (1908), as R's `sleep` has it.
const SLEEP: [[f64; 10]; 2] = [
    [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0],
    [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4],
];

#[test]
fn welch_and_its_interval() {
    let found = welch(Sample::of(&SLEEP[0]), Sample::of(&SLEEP[1]), 0.95).unwrap();
    for (got, quantity) in [
        (found.t, "t"),
        (found.freedom, "df"),
        (found.p, "p_two_sided"),
        (found.low, "ci95_low"),
        (found.high, "ci95_high"),
    ] {
        near(got, told("sleep Welch t", quantity), 1e-9, quantity);
    }
    let sample = |count, mean, deviation| Sample {
        count,
        mean,
        deviation,
    };
    // NIST/SEMATECH e-Handbook 1.3.5.3.
    let american = sample(249, 20.14458, 6.41470);
    let cars = welch(american, sample(79, 30.48101, 6.10771), 0.95).unwrap();
    near(cars.t, told("auto83b Welch", "T"), 1e-8, "T");
    near(cars.freedom, told("auto83b Welch", "df"), 1e-8, "df");
}

#[test]
fn orders_of_two_groups() {
    for row in reference_rows("statistics/mann-whitney-cdf.csv") {
        let count = |key: &str| row[key].parse::<usize>().unwrap();
        let null = mann_whitney_null(count("n1"), count("n2"));
        let expected: f64 = row["cdf"].parse().unwrap();
        assert!((null[count("u")] - expected).abs() < 1e-12, "{row:?}");
    }
    for row in reference_rows("statistics/mann-whitney-critical.csv") {
        let first: usize = row["n1"].parse().unwrap();
        for second in 3..=20_usize {
            let null = mann_whitney_null(first, second);
            let critical = null.iter().take_while(|part| **part <= 0.025).count();
            let expected: Option<usize> = row[&second.to_string()].parse().ok();
            assert_eq!(critical.checked_sub(1), expected, "{first} {second}");
        }
    }
    // Hollander and Wolfe (1973), p. 69.
    let term = [0.80, 0.83, 1.89, 1.04, 1.45, 1.38, 1.91, 1.64, 0.73, 1.46];
    let weeks = [1.15, 0.88, 0.90, 0.74, 1.21];
    let found = mann_whitney(&term, &weeks, 0.95).unwrap();
    let test = "placenta Mann-Whitney exact";
    assert_eq!(found.u, told(test, "W"));
    near(found.p.unwrap(), told(test, "p_two_sided"), 1e-12, "p");
    near(found.shift, told(test, "hodges_lehmann"), 1e-12, "shift");
    let (low, high) = found.shift_interval.unwrap();
    near(low, told(test, "hodges_lehmann_ci95_low"), 1e-12, "low");
    near(high, told(test, "hodges_lehmann_ci95_high"), 1e-12, "high");
}

#[test]
fn ranks_of_several_groups() {
    // Hollander and Wolfe (1973), p. 115.
    let groups = [
        vec![2.9, 3.0, 2.5, 2.6, 3.2],
        vec![3.8, 2.7, 4.0, 2.4],
        vec![2.8, 3.4, 3.7, 2.2, 2.0],
    ];
    let found = kruskal_wallis(&groups).unwrap();
    let test = "mucociliary Kruskal-Wallis";
    near(found.h, told(test, "H"), 1e-12, "H");
    near(found.p, told(test, "p"), 1e-10, "p");
    assert_eq!(found.degrees_of_freedom, told(test, "df"));
}

#[test]
fn corrections_for_many_comparisons() {
    let rows = reference_rows("statistics/multiple-testing.csv");
    let column =
        |key: &str| -> Vec<f64> { rows.iter().map(|row| row[key].parse().unwrap()).collect() };
    let (given, expected) = (column("p"), column("holm"));
    for (found, expected) in holm(&given).iter().zip(&expected) {
        assert!((found - expected).abs() < 1e-12, "{found} {expected}");
    }
    // The order of the comparisons does not matter.
    let mut turned = given.clone();
    turned.reverse();
    let mut found = holm(&turned);
    found.reverse();
    assert_eq!(found, holm(&given));
}

#[test]
fn agreement_of_two_meters() {
    let rows = reference_rows("statistics/bland-altman.csv");
    let pairs: Vec<(f64, f64)> = rows
        .iter()
        .map(|row| (number(row, "large_1"), number(row, "mini_1")))
        .collect();
    let found = agreement(&pairs).unwrap();
    // Recomputed figures of the reference's head; published -2.1, 38.8, 9.4 and 16.3.
    for (got, expected) in [
        (found.bias, -2.117647059),
        (found.deviation, 38.76512987),
        (found.limits.0, -78.097302),
        (found.limits.1, 73.862007),
        (found.bias_error, 9.401925),
        (found.limit_error, 16.284612),
    ] {
        assert!((got - expected).abs() < 1e-6, "{got} against {expected}");
    }
}

/// Groups and certified ratio of one of NIST's analyses of variance.
fn analysis(name: &str) -> (Vec<Vec<f64>>, f64) {
    let text = reference_text(&format!("nist-strd/anova/{name}.dat"));
    let numbers = |line: &str| -> Option<Vec<f64>> {
        line.split_whitespace().map(|w| w.parse().ok()).collect()
    };
    let certified = text
        .lines()
        .find(|line| line.starts_with("Between"))
        .and_then(|line| line.split_whitespace().last())
        .and_then(|word| word.parse().ok())
        .unwrap();
    let rows: Vec<Vec<f64>> = text
        .lines()
        .skip_while(|line| !line.starts_with("Data:"))
        .filter_map(numbers)
        .filter(|row| row.len() > 1)
        .collect();
    // The first row numbers the groups.
    let groups = (0..rows[0].len())
        .map(|group| rows[1..].iter().map(|row| row[group]).collect())
        .collect();
    (groups, certified)
}

#[test]
fn certified_analyses_of_variance() {
    // Ten times what two passes in doubles reach; in SmLs07t the data themselves do not fit a double.
    for name in "SiRstvt AtmWtAgt SmLs01t SmLs02t SmLs04t SmLs05t SmLs07t".split(' ') {
        let tolerance = if name == "SmLs07t" { 5e-3 } else { 1e-8 };
        let (groups, certified) = analysis(name);
        let found = variance_components(&groups).unwrap();
        near(found.ratio, certified, tolerance, name);
    }
}

#[test]
fn every_division_of_small_groups() {
    // Three against three: of 20 divisions two are as uneven (closed form).
    let found = permutation_test(&[1.0, 2.0, 3.0], &[7.0, 8.0, 9.0], 20_000, 1).unwrap();
    assert!(found.is_exact && (found.p - 0.1).abs() < 1e-15, "{found:?}");
    assert_eq!(found.difference, -6.0);
    // Ranks in place of values make it the exact test of Mann and Whitney: 10 of 3 + 2 … hold U = 0 of (4, 5).
    let [a, b, c, d] = [1..5, 5..10, 0..14, 3..20]
        .map(|range: std::ops::Range<i32>| range.map(f64::from).collect::<Vec<f64>>());
    let found = permutation_test(&a, &b, 20_000, 1).unwrap();
    assert_within("ranks", found.p, 2.0 * 0.00793650793650794, 1e-12);
    let drawn = permutation_test(&c, &d, 20_000, 7).unwrap();
    assert!(!drawn.is_exact);
    let again = permutation_test(&c, &d, 20_000, 7);
    assert_eq!(Some(drawn), again, "the same seed, the same answer");
}

#[test]
fn the_next_unit() {
    // With t(0.975, 1) = 12.706204736175 (mpmath): mean 2, s = √2, reach t·√2·√1.5.
    let next = |values: &[f64]| {
        let sample = Sample::of(values);
        prediction_interval(&sample, sample.deviation, 0.95)
    };
    let (low, high) = next(&[1.0, 3.0]).unwrap();
    let reach = 12.706204736175 * 2.0_f64.sqrt() * 1.5_f64.sqrt();
    assert!((high - 2.0 - reach).abs() < 1e-8 && (2.0 - low - reach).abs() < 1e-8);
    assert!(next(&[1.0]).is_none(), "one unit says nothing");
}

#[test]
fn parts_above_a_limit() {
    let rows = reference_rows("statistics/part-above.csv");
    assert!(rows.len() > 70, "{}", rows.len());
    // It undoes the one-sided tolerance factor.
    let factors = reference_rows("statistics/tolerance-factors-normal.csv");
    for (rows, factor) in [(&rows, "k"), (&factors, "k1_exact")] {
        for row in rows {
            let n: u32 = row["n"].parse().unwrap();
            let found = part_above(n, number(row, factor), number(row, "c"));
            near(found, number(row, "p"), 1e-8, &format!("{row:?}"));
        }
    }
}

#[test]
fn parts_within_extremes() {
    for row in reference_rows("statistics/tolerance-nonparametric.csv") {
        let (p, c) = (number(&row, "p"), number(&row, "c"));
        let n: u32 = row["n_two_sided"].parse().unwrap();
        assert!(part_within_extremes(n, c) >= p - 1e-12, "{row:?}");
        assert!(part_within_extremes(n - 1, c) < p, "{row:?}");
    }
}

#[test]
fn homogeneity_of_estimates() {
    for row in reference_rows("statistics/homogeneity.csv") {
        let numbers = |key: &str| -> Vec<f64> {
            let words = row[key].split(' ');
            words.map(|word| word.parse().unwrap()).collect()
        };
        let figures: Vec<ForceEstimate> = numbers("x")
            .into_iter()
            .zip(numbers("u"))
            .map(|(estimate, error)| ForceEstimate {
                estimate,
                low: estimate - 2.0 * error,
                high: estimate + 2.0 * error,
                error,
                shared: 0.0,
                is_least: false,
                sd: error,
                freedom: f64::INFINITY,
            })
            .collect();
        let spread = Spread::of(&figures.iter().collect::<Vec<_>>(), 0.95);
        let (found, expected) = (spread.homogeneity_p.unwrap(), number(&row, "p"));
        near(found, expected, 1e-12 + 1e-9 * expected, &row["x"]);
    }
}

/// A unit whose force is onset + span · readingᵉ.
fn unit(written: &str) -> Profile {
    let words = written.split('/').map(|word| word.parse::<f64>().unwrap());
    let [onset, span, exponent] = words.collect::<Vec<_>>()[..] else {
        panic!("{written}")
    };
    let force = |reading: f64| Force::from_gf(onset + span * reading.powf(exponent));
    let points: Vec<(Force, f64)> = (0..READING_GRID)
        .map(level_reading)
        .map(|reading| (force(reading), reading))
        .collect();
    Profile::of(&Response::from_points(&points).unwrap())
}

#[test]
fn curves_of_two_groups() {
    for row in reference_rows("statistics/curve-permutation.csv") {
        let units = |key: &str| -> Vec<Profile> { row[key].split(' ').map(unit).collect() };
        let (first, second) = (units("first"), units("second"));
        let [first, second] = [&first, &second].map(|units| units.iter().collect::<Vec<_>>());
        let found = curve_difference(&first, &second, 0.95, 1000, 1).unwrap();
        let distance = number(&row, "distance");
        near(found.distance_gf, distance, 1e-9, "distance");
        near(found.p, number(&row, "p"), 1e-12, "probability");
        assert!(found.is_exact);
    }
}
