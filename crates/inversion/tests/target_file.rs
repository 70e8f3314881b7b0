//! A target's file: everything that is wrong with it at once, each with its place and what to write.

use evenhand_inversion::{Joining, TargetProfile, TargetShape};
use evenhand_text::Faults;

const DRAWN: &str = "name = \"mine\"
title = \"Mine\"
[shape]
kind = \"points\"
interpolation = \"cosine\"
points = [[0, 0], [0.4, 0.25], [1, 1]]
";

#[path = "../../text/tests/support/mod.rs"]
mod support;
use support::cases::{changed, rows};
use support::faults::{assert_changes, assert_one, told};

fn parse(text: &str) -> Result<TargetProfile, Faults> {
    TargetProfile::parse(text, "mine.toml")
}

#[test]
fn a_target_holds_what_its_file_says() {
    let plain = changed(DRAWN, "interpolation = \"cosine\"\n →");
    for (text, joining) in [(DRAWN, Joining::Cosine), (&plain, Joining::MonotoneCubic)] {
        let TargetShape::Drawn(drawn) = parse(text).unwrap().shape else {
            panic!("{text}");
        };
        assert_eq!(drawn.joining(), joining);
        assert_eq!(drawn.points()[1], [0.4, 0.25]);
    }
    let power =
        "name = \"p\"\ntitle = \"P\"\nnotes = \"n\"\n[shape]\nkind = \"power\"\nexponent = 2\n";
    assert_eq!(parse(power).unwrap().shape, TargetShape::Power(2.0));
}

#[test]
fn three_faults_in_three_lines_are_three_faults() {
    let changes = "title → tilte & \"cosine\" → \"natural-cubic\" & 0.25 → nan";
    let told = told(&parse(&changed(DRAWN, changes)).unwrap_err());
    // The key that lacks is told once, as the mistyped one.
    let lines: Vec<usize> = told.iter().map(|fault| fault.0).collect();
    assert_eq!(lines, [2, 5, 6], "{told:#?}");
    assert!(told[0].2.contains("write title"), "{told:#?}");
    assert!(
        told[1].1.contains("linear, cosine, catmull-rom"),
        "{told:#?}"
    );
    assert!(told[2].1.contains("a finite number"), "{told:#?}");
}

/// Changes with the line of their one fault, and what is told of it.
const WRONG: &str = r#"
"mine" → "My own" | 1 | small letters
kind = "points" → kind = "dots" | 4 | one of linear
[1, 1]] → [1, 0.5]] | 6 | [0, 0] to [1, 1]
0.4, 0.25 → 0.4 | 6 | a pair of numbers
[shape] → notes = 3⏎[shape] | 3 | a text in quotes
"#;

/// The same of what follows the heading of a shape.
const NO_SHAPES: &str = r#"
kind = "power"⏎exponent = 50⏎ | 5 | from 0.05 to 20
kind = "power"⏎ | 3 | no exponent in [shape]
kind = "linear"⏎exponent = 2⏎ | 5 | does not belong to kind linear
"#;

#[test]
fn shapes_are_refused_where_they_stand() {
    assert_changes(WRONG, DRAWN, parse);
    for [shape, line, words] in rows(NO_SHAPES) {
        let text = format!("name = \"p\"\ntitle = \"P\"\n[shape]\n{shape}");
        assert_one(&parse(&text).unwrap_err(), line.parse().unwrap(), &words);
    }
}
