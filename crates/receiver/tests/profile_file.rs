//! A receiver's file: everything that is wrong with it at once, each with its place and what to write.

#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop there"
)]

use evenhand_receiver::{CurveKind, Ends, MapInterpolation, Profile, Rounding};

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

#[path = "../../text/tests/support/faults.rs"]
mod faults;

/// Line, what is wrong and what to do, of each fault.
fn told(text: &str) -> Vec<(usize, String, String)> {
    faults::told(&Profile::parse(text, "mine.toml").unwrap_err())
}

#[track_caller]
fn refused(text: &str, line: usize, words: &str) {
    faults::assert_one(&Profile::parse(text, "mine.toml").unwrap_err(), line, words);
}

#[test]
fn a_profile_holds_what_its_file_says() {
    let profile = Profile::parse(POINTS, "mine.toml").unwrap();
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
    let again = Profile::parse(&profile.to_toml(), "again.toml").unwrap();
    assert_eq!(again, profile);
    let table = "name = \"t\"\ntitle = \"T\"\nnotes = \"n\"\n[curve]\nkind = \"table\"\nentries = 33\nends = \"free-output\"\n[grid]\noutput_steps = 9\n";
    let profile = Profile::parse(table, "t.toml").unwrap();
    assert_eq!(profile.grid().unwrap().input_steps, 32);
    assert_eq!(profile.notes(), Some("n"));
}

#[test]
fn three_faults_in_three_lines_are_three_faults() {
    let text = POINTS
        .replace("\"mine\"", "\"My own\"")
        .replace("natural-cubic", "natural-cubik")
        .replace("output_steps = 255", "output_steps = 2.5");
    let told = told(&text);
    let lines: Vec<usize> = told.iter().map(|fault| fault.0).collect();
    assert_eq!(lines, [1, 5, 9], "{told:#?}");
    assert!(told[1].1.contains("linear, monotone-cubic"), "{told:#?}");
    assert!(told[1].2.contains("\"natural-cubic\""), "{told:#?}");
    assert!(told[2].1.contains("from 1 to 65535"), "{told:#?}");
}

#[test]
fn keys_belong_to_their_kind() {
    let of_kind = |kind: &str, rest: &str| {
        format!("name = \"k\"\ntitle = \"K\"\n[curve]\nkind = \"{kind}\"\n{rest}")
    };
    refused(
        &of_kind("power", "ends = \"free\"\n"),
        5,
        "does not belong to kind power",
    );
    refused(&of_kind("bezier", "entries = 9\n"), 5, "to kind bezier");
    refused(
        &of_kind("table", "entries = 9\nends = \"free\"\n"),
        6,
        "one of fixed, free-output",
    );
    refused(&of_kind("table", ""), 3, "no entries in [curve]");
    refused(
        &of_kind(
            "table",
            "entries = 9\n[grid]\ninput_steps = 8\noutput_steps = 8\n",
        ),
        7,
        "to kind table",
    );
    refused(
        &of_kind("power", "[grid]\ninput_steps = 8\noutput_steps = 8\n"),
        5,
        "to kind power",
    );
    refused(&of_kind("dots", ""), 4, "points, bezier, power, table");
    refused(
        &of_kind("bezier", "[grid]\noutput_steps = 8\n"),
        5,
        "no input_steps in [grid]",
    );
}

#[test]
fn limits_of_points_and_gaps_are_kept() {
    let with = |from: &str, to: &str| POINTS.replace(from, to);
    refused(&with("max = 8", "max = 1"), 6, "from 2 to 1024");
    refused(
        &with("min = 2, max = 8", "min = 5, max = 3"),
        6,
        "min = 5, max = 3",
    );
    refused(
        &with("min = 2, max = 8", "min = 2"),
        6,
        "no max in [curve.points]",
    );
    refused(
        &with("max = 8", "max = 200"),
        6,
        "do not fit on 100 input steps",
    );
    let gap = |gap: &str| with("[grid]", &format!("min_gap = {gap}\n[grid]"));
    refused(&gap("1.5"), 7, "from 0 to 1");
    refused(&gap("0.2"), 7, "cannot be 0.2 apart");
    refused(&with("\"Mine\"", "\" \""), 2, "the title is empty");
    refused(&with("\"Mine\"", "\"a\\nb\""), 2, "control character");
    refused(&with("title = \"Mine\"\n", ""), 1, "no title");
    refused(&with("[grid]", "[girds]"), 7, "unknown key `girds`");
}
