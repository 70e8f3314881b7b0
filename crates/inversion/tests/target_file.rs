//! A target's file: everything that is wrong with it at once, each with its place and what to write.

#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop there"
)]

use evenhand_inversion::{Joining, TargetProfile, TargetShape};

const DRAWN: &str = "name = \"mine\"
title = \"Mine\"
[shape]
kind = \"points\"
interpolation = \"cosine\"
points = [[0, 0], [0.4, 0.25], [1, 1]]
";

#[path = "../../text/tests/support/faults.rs"]
mod faults;

/// Line, what is wrong and what to do, of each fault.
fn told(text: &str) -> Vec<(usize, String, String)> {
    faults::told(&TargetProfile::parse(text, "mine.toml").unwrap_err())
}

#[track_caller]
fn refused(text: &str, line: usize, words: &str) {
    faults::assert_one(
        &TargetProfile::parse(text, "mine.toml").unwrap_err(),
        line,
        words,
    );
}

#[test]
fn a_target_holds_what_its_file_says() {
    let target = TargetProfile::parse(DRAWN, "mine.toml").unwrap();
    let TargetShape::Drawn(drawn) = target.shape else {
        panic!("{target:?}");
    };
    assert_eq!(drawn.joining(), Joining::Cosine);
    assert_eq!(drawn.points()[1], [0.4, 0.25]);
    let plain = DRAWN.replace("interpolation = \"cosine\"\n", "");
    let target = TargetProfile::parse(&plain, "mine.toml").unwrap();
    let TargetShape::Drawn(drawn) = target.shape else {
        panic!("{target:?}");
    };
    assert_eq!(drawn.joining(), Joining::MonotoneCubic);
    let power =
        "name = \"p\"\ntitle = \"P\"\nnotes = \"n\"\n[shape]\nkind = \"power\"\nexponent = 2\n";
    let target = TargetProfile::parse(power, "p.toml").unwrap();
    assert_eq!(target.shape, TargetShape::Power(2.0));
}

#[test]
fn three_faults_in_three_lines_are_three_faults() {
    let text = DRAWN
        .replace("title", "tilte")
        .replace("\"cosine\"", "\"natural-cubic\"")
        .replace("0.25", "nan");
    let told = told(&text);
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

#[test]
fn shapes_are_refused_where_they_stand() {
    let with = |from: &str, to: &str| DRAWN.replace(from, to);
    refused(&with("\"mine\"", "\"My own\""), 1, "small letters");
    refused(
        &with("kind = \"points\"", "kind = \"dots\""),
        4,
        "one of linear",
    );
    refused(&with("[1, 1]]", "[1, 0.5]]"), 6, "[0, 0] to [1, 1]");
    refused(&with("0.4, 0.25", "0.4"), 6, "a pair of numbers");
    refused(
        &with("[shape]", "notes = 3\n[shape]"),
        3,
        "a text in quotes",
    );
    refused(
        "name = \"p\"\ntitle = \"P\"\n[shape]\nkind = \"power\"\nexponent = 50\n",
        5,
        "from 0.05 to 20",
    );
    refused(
        "name = \"p\"\ntitle = \"P\"\n[shape]\nkind = \"power\"\n",
        3,
        "no exponent in [shape]",
    );
    refused(
        "name = \"p\"\ntitle = \"P\"\n[shape]\nkind = \"linear\"\nexponent = 2\n",
        5,
        "does not belong to kind linear",
    );
}
