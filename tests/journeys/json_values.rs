//! Words that JSON and map files hold: classes, kinds, what is shared; and pinned points.

use std::collections::BTreeSet;

use serde_json::Value;

use crate::bench_room::{Room, items, string};

/// Writes a measurement in which one sample stands apart from its neighbours.
pub(crate) fn apart(room: &Room) {
    room.demo("dunlin-01.csv");
    let text = room.read("dunlin-01.csv");
    let line = text.lines().find(|line| line.starts_with("86,")).unwrap();
    room.write("apart.csv", text.replace(line, "86,20.00"));
}

#[test]
fn saturation_class_is_labelled_by_its_range() {
    let room = Room::new();
    let class = |file: &str| room.json(&["fit", file, "--json"], 0)["saturation_class"].clone();
    for (file, label) in [
        ("dunlin-01.csv", "below 200 gf"),
        ("avocet-01.csv", "200 to 400 gf"),
        ("godwit-01.toml", "400 to 700 gf"),
        ("curlew-01.csv", "above 700 gf"),
    ] {
        room.demo(file);
        assert_eq!(class(file), label, "{file}");
        let shown = format!("saturation class  {label}\n");
        room.run(&["fit", file]).assert_out(&shown);
    }
    // Saturation was not reached: above 90 gf may be any class, above 800 gf only the last.
    let rising = |last: u32| {
        let row = |step: u32| format!("{},{}\n", last * step / 12, 5 * step);
        let rows: String = (0..=12).map(row).collect();
        format!("force_gf,reported_percent\n{rows}")
    };
    room.write("low.csv", rising(90));
    room.write("high.csv", rising(800));
    assert!(class("low.csv").is_null());
    assert_eq!(class("high.csv"), "above 700 gf");
}

#[test]
fn sample_apart_from_its_neighbours_is_an_outlier() {
    let room = Room::new();
    apart(&room);
    let checked = room.json("check apart.csv --json", 0);
    let kinds: Vec<&Value> = items(&checked["files"][0]["suspicions"])
        .iter()
        .map(|one| &one["kind"])
        .collect();
    assert!(kinds.contains(&&Value::from("outlier")), "{kinds:?}");
}

#[test]
fn contribution_is_shared_or_independent() {
    let room = Room::new();
    room.demo("rig.toml");
    room.demo("placed.csv");
    let convert = "bench convert placed.csv --rig rig.toml --json";
    let converted = room.json(convert, 0);
    let rows = items(&converted["rows"]).iter();
    let inputs = rows.flat_map(|row| items(&row["contributions"]));
    let correlations: BTreeSet<&str> = inputs.map(|one| string(&one["correlation"])).collect();
    let names = ["independent", "shared_gain", "shared_offset"];
    assert_eq!(correlations, BTreeSet::from(names));
}

#[test]
fn map_file_names_pinned_points_and_no_other_word_for_them() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    let map = "map dunlin-01.csv --full-at 150gf --out m.toml";
    room.ends(map, 0);
    let saved = room.read("m.toml");
    let preview = "preview m.toml --out s.svg --force";
    for (key, code) in [("pinned", 0), ("locked", 2)] {
        let tuned = format!("[tuned]\n{key} = [2]\noptimum_max_error = 0.01\n");
        room.write("m.toml", format!("{saved}\n{tuned}"));
        let did = room.ends(preview, code);
        assert!(code == 0 || did.err.contains("`locked`"), "{}", did.err);
    }
}
