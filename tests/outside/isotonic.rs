//! Isotonic regression against exact rational solutions and published examples
//! (`reference/isotonic/pava.csv`: recomputed exactly, three cases published; tolerance 1e-12).

use evenhand_fitting::isotonic;
use evenhand_tests::reference_rows;

use crate::formula::assert_within;

#[test]
fn every_case_of_the_table() {
    let rows = reference_rows("isotonic/pava.csv");
    let mut names: Vec<&str> = rows.iter().map(|row| row["case"].as_str()).collect();
    names.dedup();
    assert_eq!(names.len(), 11, "{names:?}");
    for name in names {
        let case: Vec<_> = rows.iter().filter(|row| row["case"] == name).collect();
        let column =
            |key: &str| -> Vec<f64> { case.iter().map(|row| row[key].parse().unwrap()).collect() };
        let exact: Vec<f64> = case
            .iter()
            .map(|row| {
                let mut parts = row["fitted_exact"].split('/').map(str::parse::<f64>);
                let above = parts.next().unwrap().unwrap();
                above / parts.next().map_or(1.0, Result::unwrap)
            })
            .collect();
        let found = isotonic(&column("y"), &column("w"));
        assert_eq!(found.len(), exact.len(), "{name}");
        for (index, (got, expected)) in found.iter().zip(&exact).enumerate() {
            let allowed = 1e-12 * expected.abs().max(1.0);
            assert_within(&format!("{name}[{index}]"), *got, *expected, allowed);
        }
    }
}
