//! Targets from files and other styluses, chains of curves, and the output floor.

use crate::bench_room::{Room, items, number, pairs, project, straight, string};
use crate::support::cases::rows;

const MAP: &str = "map dunlin-01.csv --full-at 140gf";

fn map(room: &Room, more: &str) -> serde_json::Value {
    room.json(&format!("{MAP} {more} --json"), 0)
}

fn max_error(object: &serde_json::Value) -> f64 {
    number(&object["achieved"]["max_error"])
}

#[test]
fn every_shipped_target_is_listed_validates_and_compiles() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    let list = room.json("receivers --json", 0);
    let targets = items(&list["targets"]);
    let mut seen = 0;
    for entry in std::fs::read_dir(project().join("profiles/targets")).unwrap() {
        let path = entry.unwrap().path();
        let path = path.to_str().unwrap();
        room.ends(&["receivers", path], 0);
        let object = map(&room, &format!("--target \"{path}\""));
        assert!(max_error(&object) < 0.02, "{path}");
        seen += 1;
    }
    assert_eq!(seen, targets.len());
    for target in targets {
        let name = string(&target["name"]);
        room.ends(&["receivers", name], 0);
        map(&room, &format!("--target {name}"));
    }
}

#[test]
fn a_target_of_ones_own_needs_no_code() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    for joining in ["linear", "cosine", "catmull-rom", "monotone-cubic"] {
        let text = format!(
            "name = \"mine\"\ntitle = \"Mine\"\n[shape]\nkind = \"points\"\ninterpolation = \"{joining}\"\npoints = [[0, 0], [0.4, 0.25], [0.7, 0.7], [1, 1]]\n"
        );
        room.write("mine.toml", text);
        let object = map(&room, "--target mine.toml --receiver segments-16");
        assert!(max_error(&object) < 0.02, "{joining}");
    }
    map(&room, "--target mine.toml --out map.toml");
    // The map holds the points, so the file is not needed again.
    std::fs::remove_file(room.path("mine.toml")).unwrap();
    room.ends("map --reproduce map.toml", 0);
}

const RIGHT: &str = "name = \"mine\"
title = \"Mine\"
[shape]
kind = \"points\"
points = [[0, 0], [1, 1]]
";

/// A part of that file, what stands there instead, and the place that must be named.
const WRONG: &str = r#"
kind = "points" | kind = "dots" | 4:8
points = [[0, 0], [1, 1]] | points = [[0, 0], [1, 0.5]] | 5:10
points = [[0, 0], [1, 1]] | points = [[0, 0], [0.5, nan], [1, 1]] | 5:25
points = [[0, 0], [1, 1]] | exponent = 2.0 | 5:12
title | tilte | 2:1
name = "mine" | name = "My own" | 1:8
"#;

#[test]
fn a_wrong_target_file_is_refused_with_its_place() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    for [from, to, place] in rows(WRONG) {
        let changed = RIGHT.replace(&from, &to);
        assert_ne!(changed, RIGHT);
        room.write("mine.toml", changed);
        for args in ["receivers mine.toml", &format!("{MAP} --target mine.toml")] {
            room.refuses(args, &format!("mine.toml:{place}"));
        }
    }
    for target in ["straight", "missing.toml", "like:missing.csv", "power:-1"] {
        room.ends(&format!("{MAP} --target {target}"), 2);
    }
}

#[test]
fn another_stylus_lends_its_climb() {
    let room = Room::new();
    for file in ["dunlin-01.csv", "avocet-01.csv", "curlew-01.csv"] {
        room.demo(file);
    }
    let like = "--target like:avocet-01.csv --out map.toml --receiver segments-16";
    let object = map(&room, like);
    let lent = room.json("fit avocet-01.csv --json", 0);
    let own = room.json("fit dunlin-01.csv --json", 0);
    let climb = |fit: &serde_json::Value| pairs(&fit["curve"], "force_gf", "reported");
    let map = pairs(&object["control_points"], "input", "output");
    let onset = number(&lent["onset_force_gf"]["estimate"]);
    let saturation = number(&lent["saturation_force_gf"]["estimate"]);
    let light = number(&object["target"]["light_at_gf"]);
    for step in 1..20 {
        let part = f64::from(step) / 20.0;
        let output = straight(&map, straight(&climb(&own), light + part * (140.0 - light)));
        let wanted = straight(&climb(&lent), onset + part * (saturation - onset));
        assert!((output - wanted).abs() < 0.01, "{part}: {output} {wanted}");
    }
    room.ends("map --reproduce map.toml", 0);
}

#[test]
fn what_the_chain_does_is_left_out_of_the_map() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    map(&room, "--out first.toml");
    let export = "export first.toml --as csv --out first.csv";
    room.ends(export, 0);
    // With the map itself before, or after, next to nothing is left to do.
    for (flag, curve) in [
        ("--before", "first.csv"),
        ("--before", "first.toml"),
        ("--after", "first.csv"),
    ] {
        let left = map(&room, &format!("{flag} {curve}"));
        for point in items(&left["control_points"]) {
            let off = number(&point["input"]) - number(&point["output"]);
            // At the upper end everything above what makes full output is full.
            let full = number(&point["output"]) >= 0.97 || number(&point["input"]) >= 0.8;
            assert!(off.abs() < 0.02 || full, "{flag} {curve}: {point}");
        }
        assert!(max_error(&left) < 0.01);
    }
    let both = "--before power:1.5 --after power:0.8 --out chained.toml";
    let chained = map(&room, both);
    assert_eq!(chained["target"]["chained"], true);
    assert!(max_error(&chained) < 0.02);
    let full = number(&chained["achieved"]["full_output_force_gf"]["estimate"]);
    assert!((full - 140.0).abs() < 3.0, "{full}");
    room.ends("map --reproduce chained.toml", 0);
}

#[test]
fn a_chain_that_makes_the_wish_impossible_says_so() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    room.write("half.csv", "input,output\n0,0\n0.5,1\n1,1\n");
    room.write("low.csv", "input,output\n0,0\n1,0.9\n");
    room.write("nothing.csv", "input,output\n0,0\n1,0\n");
    for (flag, curve, word) in [
        ("--before", "half.csv", "stop growing"),
        ("--before", "nothing.csv", "nothing of every reading"),
        ("--after", "low.csv", "90.0 % at most"),
    ] {
        room.ends(&format!("{MAP} {flag} {curve}"), 1)
            .assert_said(word);
    }
    let object = room.json(&format!("{MAP} --after low.csv --json"), 1);
    assert!(object["achieved"]["full_output_force_gf"]["estimate"].is_null());
    // A curve that is full early is no hindrance: any output beyond will do.
    let object = map(&room, "--after half.csv");
    assert!(max_error(&object) < 0.01);
}

#[test]
fn wrong_curves_of_a_chain_are_refused_with_their_place() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    for (points, place) in [
        ("a,b\n0,0\n1,1\n", ":1:1"),
        ("input,output\n0,0\n0.5,nan\n1,1\n", ":3:5"),
        ("input,output\n0,0\n0.5,0.6\n0.4,0.7\n1,1\n", ":4:1"),
        ("input,output\n0,0\n0.5,50\n", ":3:5"),
        ("", ": the file is empty"),
    ] {
        room.write("curve.csv", points);
        let wanted = format!("curve.csv{place}");
        room.refuses(&format!("{MAP} --after curve.csv"), &wanted);
    }
    for curve in ["power:x", "power:-2", "missing.csv", "dunlin-01.csv"] {
        room.ends(&format!("{MAP} --before {curve}"), 2);
    }
}

#[test]
fn the_floor_is_there_once_the_nib_touches() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    let floor = "--light-at 10gf --output-floor 6% --receiver segments-16";
    let object = map(&room, floor);
    assert!(max_error(&object) < 0.02);
    let fit = room.json("fit dunlin-01.csv --json", 0);
    let reading = straight(&pairs(&fit["curve"], "force_gf", "reported"), 10.0);
    let ideal = pairs(&object["ideal"], "input", "output");
    assert!((straight(&ideal, reading) - 0.06).abs() < 0.005);
    assert!(straight(&ideal, 0.5 * reading) > 0.02);
    for wrong in ["95%", "-1%", "nan", "six"] {
        room.ends(&format!("{MAP} --output-floor={wrong}"), 2);
    }
}
