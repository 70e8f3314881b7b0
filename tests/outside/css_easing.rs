//! `linear()` of CSS Easing Functions Level 2 against the draft's own examples, values of a browser
//! vendor's public tests (both seen) and outputs derived from the draft's algorithm
//! (`reference/units-devices/css-linear-cases.csv`), 1e-12.

use evenhand_receiver::CssLinear;
use evenhand_tests::{number, reference_rows};

use crate::formula::assert_within;

#[test]
fn canonical_forms_and_outputs() {
    for row in reference_rows("units-devices/css-linear-cases.csv") {
        let text = &row["input"];
        let easing = CssLinear::parse(text).unwrap();
        let canonical = &row["canonical"];
        if canonical.starts_with("linear(") {
            // Both are read: how many digits a percentage is written with is left open.
            let expected = CssLinear::parse(canonical).unwrap();
            assert_eq!(easing.stops().len(), expected.stops().len(), "{text}");
            for (found, expected) in easing.stops().iter().zip(expected.stops()) {
                assert_within(text, found.0, expected.0, 1e-12);
                assert_within(text, found.1, expected.1, 1e-12);
            }
        } else {
            // The bounce: 15 stops, one of them with two percentages.
            assert_eq!(easing.stops().len(), 16, "{text}");
            let inputs = [0.0, 0.091, 0.182, 0.273, 0.364];
            for (stop, input) in easing.stops().iter().zip(inputs) {
                assert_within(text, stop.0, input, 1e-12);
            }
        }
        let (x, y) = (number(&row, "x"), number(&row, "y"));
        assert_within(&format!("{text} at {x}"), easing.value(x), y, 1e-12);
    }
}

#[test]
fn what_is_no_easing_is_refused() {
    for text in [
        "linear()",
        "linear(0)",
        "linear(0, x)",
        "linear(0 1, 2)",
        "linear(0 1% 2% 3%, 1)",
        "linear(0, 1",
        "cubic-bezier(0, 0, 1, 1)",
        "linear(nan, 1)",
        "",
    ] {
        assert!(CssLinear::parse(text).is_err(), "{text}");
    }
}
