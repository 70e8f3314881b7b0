//! `evenhand export`: every form, from a saved map.

use crate::bench_room::{Room, number, pairs};

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
    let csv = room.run("export map.toml --as csv");
    assert_eq!(csv.code, 0, "{}", csv.err);
    let mut lines = csv.out.lines();
    assert_eq!(lines.next(), Some("input,output"));
    let rows: Vec<(f64, f64)> = lines
        .map(|line| line.split_once(',').unwrap())
        .map(|(x, y)| (x.parse().unwrap(), y.parse().unwrap()))
        .collect();
    let object = room.json("export map.toml --as json", 0);
    let points = pairs(&object["control_points"], "input", "output");
    assert_eq!(rows, points);
    assert!(rows.len() >= 2);
}

#[test]
fn a_table_holds_whole_numbers_in_order() {
    let room = mapped("segments-8");
    let did = room.ends(
        "export map.toml --as table --entries 64 --full-scale 1000",
        0,
    );
    let values: Vec<u32> = did.out.lines().map(|line| line.parse().unwrap()).collect();
    assert_eq!(values.len(), 64);
    assert_eq!((values[0], values[63]), (0, 1000));
    assert!(values.is_sorted());
}

#[test]
fn a_card_names_every_point_and_the_caution() {
    let room = mapped("segments-8-percent");
    let card = room.run("export map.toml --as card");
    assert_eq!(card.code, 0, "{}", card.err);
    let object = room.json("export map.toml --as json", 0);
    for point in object["control_points"].as_array().unwrap() {
        let step = (number(&point["input"]) * 100.0).round().to_string();
        assert!(
            card.out
                .split_whitespace()
                .any(|word| word.trim_end_matches('%') == step),
            "{step} is missing:\n{}",
            card.out
        );
    }
    assert!(
        card.out.contains("clinician") || card.out.contains("rest"),
        "{}",
        card.out
    );
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
        let did = room.ends("export bad.toml --as csv", 2);
        did.assert_err("bad.toml");
    }
    room.ends("export dunlin-01.csv --as csv", 2);
}

#[test]
fn css_svg_and_inkml_hold_the_points() {
    for receiver in ["segments-8", "segments-8-byte", "table-256"] {
        let room = mapped(receiver);
        let object = room.json("export map.toml --as json", 0);
        let points = object["control_points"].as_array().unwrap();
        let texts = ["css", "svg", "inkml"].map(|form| {
            let did = room.ends(&["export", "map.toml", "--as", form], 0);
            let again = room.run(&["export", "map.toml", "--as", form]);
            assert_eq!(did.out, again.out, "{receiver} {form}");
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
