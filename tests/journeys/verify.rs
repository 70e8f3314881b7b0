//! `evenhand verify`: a map that keeps its promise, and each mistake found by name.

use crate::bench_room::{Room, items, pairs, straight};

type Points = Vec<(f64, f64)>;
type Output<'a> = Box<dyn Fn(f64) -> f64 + 'a>;

/// A room with a saved map, its points, and the response it was made for.
fn prepared() -> (Room, Points, Points) {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    let args = "map dunlin-01.csv --full-at 110gf --out map.toml --json";
    let object = room.json(args, 0);
    let points = pairs(&object["control_points"], "input", "output");
    let fit = room.json("fit dunlin-01.csv --json", 0);
    let response = pairs(&fit["curve"], "force_gf", "reported");
    (room, points, response)
}

fn checks(room: &Room, name: &str, header: &str, output: impl Fn(f64) -> f64) {
    let mut text = format!("{header}\n");
    for (index, force) in [8, 15, 25, 35, 45, 55, 65, 75, 85, 95, 105, 130]
        .iter()
        .enumerate()
    {
        // A reading is off by a quarter of a percent, to either side in turn.
        let off = if index % 2 == 0 { 0.25 } else { -0.25 };
        let percent = (100.0 * output(f64::from(*force)) + off).clamp(0.0, 100.0);
        text.push_str(&format!("{force},{percent:.1}\n"));
    }
    room.write(name, text);
}

#[test]
fn a_map_that_keeps_its_promise_passes() {
    let (room, points, response) = prepared();
    checks(&room, "ok.csv", "force_gf,output_percent", |force| {
        straight(&points, straight(&response, force))
    });
    let object = room.json("verify map.toml ok.csv --json", 0);
    assert_eq!(object["passed"], true);
    assert_eq!(items(&object["points"]).len(), 12);
    assert!(items(&object["causes"]).is_empty());
    room.run("verify map.toml ok.csv")
        .assert_out("does what was promised");
}

#[test]
fn each_mistake_is_named_first() {
    let (room, points, response) = prepared();
    let map = |x: f64| straight(&points, x);
    let swapped: Vec<(f64, f64)> = points.iter().map(|(x, y)| (*y, *x)).collect();
    let reading = |force: f64| straight(&response, force);
    let outputs: [(&str, Output<'_>); 4] = [
        ("not-applied", Box::new(reading)),
        ("applied-twice", Box::new(|force| map(map(reading(force))))),
        (
            "swapped-axes",
            Box::new(|force| straight(&swapped, reading(force))),
        ),
        (
            "stylus-changed",
            Box::new(|force| map(reading(force / 1.3))),
        ),
    ];
    for (cause, output) in outputs {
        checks(&room, "checks.csv", "force_gf,reported_percent", output);
        let object = room.json("verify map.toml checks.csv --json", 1);
        assert_eq!(object["passed"], false);
        assert_eq!(object["causes"][0]["cause"], cause, "{object:#}");
        let did = room.ends("verify map.toml checks.csv", 1);
        did.assert_out("does not do what was promised");
    }
}

#[test]
fn nothing_passes_that_nothing_confirms() {
    let (room, _, _) = prepared();
    for rows in [
        "60,0\n",
        "20,90\n40,90\n80,0\n100,0\n105,0\n",
        // Whole tens are no sign of a coarse display.
        "20,30\n40,50\n60,70\n80,90\n",
    ] {
        room.write("checks.csv", format!("force_gf,output_percent\n{rows}"));
        let object = room.json("verify map.toml checks.csv --json", 1);
        assert_eq!(object["passed"], false, "{rows}");
    }
    // A map of little confidence is not verified with as little.
    let args = "map dunlin-01.csv --full-at 110gf --confidence 0.05 --out unsure.toml";
    room.ends(args, 0);
    let object = room.json("verify unsure.toml checks.csv --json", 1);
    assert_eq!(object["confidence"], 0.95);
}

#[test]
fn what_cannot_be_verified_says_so() {
    let (room, points, response) = prepared();
    checks(&room, "ok.csv", "force_gf,output_percent", |force| {
        straight(&points, straight(&response, force))
    });
    // A measurement is no place for outputs.
    room.ends("fit ok.csv", 2);
    room.write("wrong.csv", "force_gf,ink\n10,20\n");
    let did = room.ends("verify map.toml wrong.csv", 2);
    did.assert_err("wrong.csv:1:10");
    let source = room.read("dunlin-01.csv");
    room.write("dunlin-01.csv", source + "# looked at again\n");
    let did = room.ends("verify map.toml ok.csv", 1);
    did.assert_err("has changed");
}
