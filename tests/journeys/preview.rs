//! `evenhand preview`.

use crate::bench_room::{Room, assert_holds, items, number, pairs, points_of_csv, straight};

fn room() -> Room {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    room.demo("grass.inkml");
    let map = "map dunlin-01.csv --full-at 120gf --out m.toml";
    room.ends(map, 0);
    room
}

#[test]
fn a_sheet_shows_what_the_map_does() {
    let room = room();
    let args = "preview m.toml --hand firm=120gf,light=40gf --width 2..20 --out sheet.svg --json";
    let object = room.json(args, 0);
    let points = points_of_csv(&room.run("export m.toml --as csv").out);
    let fit = room.json("fit dunlin-01.csv --json", 0);
    let response = pairs(&fit["curve"], "force_gf", "reported");
    let hands = items(&object["hands"]);
    assert_eq!(hands[0]["name"], "light");
    for hand in hands {
        let reading = straight(&response, number(&hand["force_gf"]));
        for (side, output) in [("without", reading), ("with", straight(&points, reading))] {
            let ink = &hand[side];
            let off = (number(&ink["output"]) - output).abs();
            assert!(off < 2e-3, "{side} {hand}");
            let width = 2.0 + 18.0 * number(&ink["output"]);
            assert!((number(&ink["width"]) - width).abs() < 1e-9);
            assert!(number(&ink["width_low"]) <= width && width <= number(&ink["width_high"]));
        }
    }
    assert!(number(&hands[1]["with"]["output"]) > 0.99);
    let sheet = room.read("sheet.svg");
    assert_holds(&sheet, "sheet.svg", ["firm", "swell", "law linear"]);
    assert_holds(
        &sheet,
        "sheet.svg",
        ["Steps at 4 times", "Noise and tremor"],
    );
}

#[test]
fn sheets_come_as_pictures_with_recorded_strokes() {
    let room = room();
    let args = "preview m.toml --strokes grass.inkml --width-law area --theme dark --out sheet.png";
    let did = room.ends(args, 0);
    did.assert_out(["usual", "saved as"]);
    let png = room.bytes("sheet.png");
    assert!(png.starts_with(b"\x89PNG"));
    // An existing sheet stays unless --force is given.
    room.ends(args, 2);
    assert_eq!(room.bytes("sheet.png"), png);
    room.ends(&format!("{args} --force"), 0);
    assert_eq!(room.bytes("sheet.png"), png, "same bytes");
}

#[test]
fn a_held_angle_and_a_chain_are_followed() {
    let room = room();
    let map =
        "map dunlin-01.csv --full-at 200gf --hold-angle 30deg --after power:2 --out held.toml";
    room.ends(map, 0);
    let args = "preview held.toml --out s.svg --json --hand firm=200gf,half=100gf";
    let object = room.json(args, 0);
    let hands = items(&object["hands"]);
    let outputs =
        |hand: &serde_json::Value| ["without", "with"].map(|side| number(&hand[side]["output"]));
    // At 200 gf on the surface 100 gf act along the stylus: full with the map, and the square of the
    // reading without.
    let reading = number(&hands[1]["reading"]);
    let [without, with] = outputs(&hands[1]);
    assert!((without - reading * reading).abs() < 1e-9, "{without}");
    assert!(with > 0.985, "{with}");
    assert!((outputs(&hands[0])[1] - 0.48).abs() < 0.05);
}

#[test]
fn what_cannot_be_drawn_is_refused_before_the_work() {
    let room = room();
    room.write("plain.csv", "reported\n0.5\n");
    for (args, reason) in [
        ("--out s.gif", "neither SVG nor PNG"),
        ("--out s.svg --hand usual=120", "no unit"),
        ("--out s.svg --hand 120gf", "write a name and a force"),
        ("--out s.svg --width 9..2", "least and the greatest width"),
        ("--out s.svg --strokes plain.csv", "no places"),
        ("--out s.svg --noise 95%", "below 95 %"),
        (
            "--out s.svg --hand a=1gf,b=2gf,c=3gf,d=4gf,e=5gf,f=6gf,g=7gf,h=8gf,i=9gf",
            "holds 8",
        ),
    ] {
        room.refuses(&format!("preview m.toml {args}"), reason);
    }
    assert!(!room.names().iter().any(|name| name.starts_with("s.")));
}
