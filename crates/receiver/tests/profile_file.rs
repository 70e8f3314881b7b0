//! A receiver's file: everything that is wrong with it at once, each with its place and what to write.

use evenhand_receiver::{CurveKind, Ends, MapInterpolation, Profile, Rounding};
use evenhand_text::Faults;

const POINTS: &str = "name = \"mine\"
title = \"Mine\"
[curve]
kind = \"points\"
interpolation = \"natural-cubic\"
points = { min = 2, max = 8 }
[grid]
input_steps = 100
output_steps = 255
rounding = \"down\"
";

#[path = "../../text/tests/support/mod.rs"]
mod support;
use support::cases::{changed, rows};
use support::faults::{assert_changes, assert_one, told};

fn parse(text: &str) -> Result<Profile, Faults> {
    Profile::parse(text, "mine.toml")
}

#[test]
fn a_profile_holds_what_its_file_says() {
    let profile = parse(POINTS).unwrap();
    assert_eq!((profile.name(), profile.title()), ("mine", "Mine"));
    assert_eq!(
        profile.curve(),
        CurveKind::Points {
            interpolation: MapInterpolation::NaturalCubic,
            min_points: 2,
            max_points: 8,
            ends: Ends::Fixed,
            min_gap: 0.0
        }
    );
    let grid = profile.grid().unwrap();
    assert_eq!((grid.input_steps, grid.output_steps), (100, 255));
    assert_eq!(grid.rounding, Rounding::Down);
    let again = parse(&profile.to_toml()).unwrap();
    assert_eq!(again, profile);
    let table = "name = \"t\"\ntitle = \"T\"\nnotes = \"n\"\n[curve]\nkind = \"table\"\nentries = 33\nends = \"free-output\"\n[grid]\noutput_steps = 9\n";
    let profile = parse(table).unwrap();
    assert_eq!(profile.grid().unwrap().input_steps, 32);
    assert_eq!(profile.notes(), Some("n"));
}

#[test]
fn three_faults_in_three_lines_are_three_faults() {
    let changes = "\"mine\" → \"My own\" & natural-cubic → natural-cubik \
        & output_steps = 255 → output_steps = 2.5";
    let told = told(&parse(&changed(POINTS, changes)).unwrap_err());
    let lines: Vec<usize> = told.iter().map(|fault| fault.0).collect();
    assert_eq!(lines, [1, 5, 9], "{told:#?}");
    assert!(told[1].1.contains("linear, monotone-cubic"), "{told:#?}");
    assert!(told[1].2.contains("\"natural-cubic\""), "{told:#?}");
    assert!(told[2].1.contains("from 1 to 65535"), "{told:#?}");
}

/// Kinds of curves with what stands behind them, the line of the one fault, and what is told of it.
const OTHERS: &str = r#"
power | ends = "free"⏎ | 5 | does not belong to kind power
bezier | entries = 9⏎ | 5 | to kind bezier
table | entries = 9⏎ends = "free"⏎ | 6 | one of fixed, free-output
table |  | 3 | no entries in [curve]
table | entries = 9⏎[grid]⏎input_steps = 8⏎output_steps = 8⏎ | 7 | to kind table
power | [grid]⏎input_steps = 8⏎output_steps = 8⏎ | 5 | to kind power
dots |  | 4 | points, bezier, power, table
bezier | [grid]⏎output_steps = 8⏎ | 5 | no input_steps in [grid]
"#;

#[test]
fn keys_belong_to_their_kind() {
    for [kind, rest, line, words] in rows(OTHERS) {
        let text = format!("name = \"k\"\ntitle = \"K\"\n[curve]\nkind = \"{kind}\"\n{rest}");
        assert_one(&parse(&text).unwrap_err(), line.parse().unwrap(), &words);
    }
}

/// Changes with the line of their one fault, and what is told of it.
const BEYOND: &str = r#"
max = 8 → max = 1 | 6 | from 2 to 1024
min = 2, max = 8 → min = 5, max = 3 | 6 | min = 5, max = 3
min = 2, max = 8 → min = 2 | 6 | no max in [curve.points]
max = 8 → max = 200 | 6 | do not fit on 100 input steps
[grid] → min_gap = 1.5⏎[grid] | 7 | from 0 to 1
[grid] → min_gap = 0.2⏎[grid] | 7 | cannot be 0.2 apart
"Mine" → " " | 2 | the title is empty
"Mine" → "a\nb" | 2 | control character
title = "Mine"⏎ → | 1 | no title
[grid] → [girds] | 7 | unknown key `girds`
"#;

#[test]
fn limits_of_points_and_gaps_are_kept() {
    assert_changes(BEYOND, POINTS, parse);
}
