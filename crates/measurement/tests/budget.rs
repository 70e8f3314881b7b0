//! The bench's budget in files.

use evenhand_measurement::{
    ForceBudget, Measurement, ReadOptions, parse_measurement, write_csv, write_toml,
};

fn read(name: &str, text: &str) -> Result<Measurement, String> {
    parse_measurement(name, text.as_bytes(), &ReadOptions::default())
        .map(|(measurement, _)| measurement)
        .map_err(|error| error.to_string())
}

const TABLE: &str =
    "# force_gain_u = 0.0034\n# force_scatter_u_gf = 0.17\nforce_gf,reported_percent\n5,0\n50,40\n";

#[test]
fn a_budget_is_read_and_written_again() {
    let budget = ForceBudget {
        gain: 0.0034,
        offset_gf: 0.0,
        scatter_gf: 0.17,
        scatter_part: 0.0,
    };
    let measurement = read("a.csv", TABLE).expect("a measurement");
    assert_eq!(measurement.bench.budget, Some(budget));
    for (name, text) in [
        ("b.csv", write_csv(&measurement)),
        ("b.toml", write_toml(&measurement)),
    ] {
        let again = read(name, &text).expect("what was written");
        assert_eq!(again.bench.budget, Some(budget), "{name}\n{text}");
    }
    let without = read("c.csv", "force_gf,reported_percent\n5,0\n50,40\n").expect("a measurement");
    assert_eq!(without.bench.budget, None);
    let mut named = measurement;
    named.bench.name = Some("window".to_owned());
    let again = read("d.toml", &write_toml(&named)).expect("what was written");
    assert_eq!(again.bench.name.as_deref(), Some("window"));
}

#[test]
fn a_budget_that_cannot_be_meant_is_refused() {
    for wrong in ["0.9", "-0.1", "nan", "inf", "much", ""] {
        let text = TABLE.replace("0.0034", wrong);
        let error = read("a.csv", &text).expect_err(wrong);
        assert!(error.contains("a.csv:1"), "{error}");
    }
    let toml = "[stylus]\n[bench]\nforce = \"gf\"\nreading = \"percent\"\nforce_gain_u = 2\n[[seating]]\nsamples = [[5, 0], [50, 40]]\n";
    let error = read("a.toml", toml).expect_err("a gain of 200 %");
    assert!(error.contains("a.toml:5"), "{error}");
}
