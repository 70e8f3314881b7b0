//! `evenhand export`: every form, from a saved map.

use crate::bench_room::{Room, items, number, pairs, points_of_csv};

fn mapped(receiver: &str) -> Room {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    room.ends(
        &format!("map dunlin-01.csv --full-at 150gf --receiver {receiver} --out map.toml"),
        0,
    );
    room
}

#[test]
fn csv_and_json_hold_the_same_points() {
    let room = mapped("segments-8");
    let csv = room.ends("export map.toml --as csv", 0);
    assert_eq!(csv.out.lines().next(), Some("input,output"));
    let rows = points_of_csv(&csv.out);
    let object = room.json("export map.toml --as json", 0);
    let points = pairs(&object["control_points"], "input", "output");
    assert_eq!(rows, points);
    assert!(rows.len() >= 2);
}

#[test]
fn a_table_holds_whole_numbers_in_order() {
    let room = mapped("segments-8");
    let table = "export map.toml --as table --entries 64 --full-scale 1000";
    let did = room.ends(table, 0);
    let values: Vec<u32> = did.out.lines().map(|line| line.parse().unwrap()).collect();
    assert_eq!(values.len(), 64);
    assert_eq!((values[0], values[63]), (0, 1000));
    assert!(values.is_sorted());
}

#[test]
fn a_card_names_every_point_and_the_caution() {
    let room = mapped("segments-8-percent");
    let card = room.ends("export map.toml --as card", 0);
    let object = room.json("export map.toml --as json", 0);
    for point in items(&object["control_points"]) {
        let step = (number(&point["input"]) * 100.0).round().to_string();
        let mut words = card.out.split_whitespace();
        let is_named = words.any(|word| word.trim_end_matches('%') == step);
        assert!(is_named, "{step} is missing:\n{}", card.out);
    }
    let is_cautious = card.out.contains("clinician") || card.out.contains("rest");
    assert!(is_cautious, "{}", card.out);
}

#[test]
fn exports_are_saved_like_maps_and_bad_maps_are_refused() {
    let room = mapped("segments-8");
    room.ends("export map.toml --as csv --out points.csv", 0);
    assert!(room.read("points.csv").starts_with("input,output"));
    room.ends("export map.toml --as csv --out points.csv", 2);
    let saved = room.read("map.toml");
    for (from, to) in [
        ("format = 1", "format = 9"),
        ("[map]", "[mop]"),
        ("[[0.0, 0.0]", "[[0.0, 7.0]"),
    ] {
        assert!(saved.contains(from), "{from}");
        room.write("bad.toml", saved.replacen(from, to, 1));
        room.refuses("export bad.toml --as csv", "bad.toml");
    }
    room.ends("export dunlin-01.csv --as csv", 2);
}

#[test]
fn css_svg_and_inkml_hold_the_points() {
    for receiver in ["segments-8", "segments-8-byte", "table-256"] {
        let room = mapped(receiver);
        let object = room.json("export map.toml --as json", 0);
        let points = items(&object["control_points"]);
        let texts = ["css", "svg", "inkml"].map(|form| {
            let args = format!("export map.toml --as {form}");
            let did = room.ends(&args, 0);
            assert_eq!(did.out, room.run(&args).out, "{receiver} {form}");
            did.out
        });
        let [css, svg, inkml] = &texts;
        assert!(css.starts_with("linear("), "{css}");
        // The outer stops are doubled, so that the ends are held.
        assert_eq!(css.matches('%').count(), points.len() + 2);
        assert!(svg.contains("viewBox=\"0 0 1 1\""), "{svg}");
        assert!(inkml.contains("type=\"lookup\""), "{inkml}");
        for point in points {
            let pair = format!("{} {}", number(&point["input"]), number(&point["output"]));
            assert!(svg.contains(&pair), "{pair} in {svg}");
            assert!(inkml.contains(&pair), "{pair} in {inkml}");
        }
    }
}
