//! `evenhand map`: the contract of its object, the wish beyond reach, and building again.

use crate::bench_room::{Room, assert_holds, interval, items, number, pairs, straight, string};

fn points(object: &serde_json::Value, key: &str) -> Vec<(f64, f64)> {
    pairs(&object[key], "input", "output")
}

#[test]
fn the_object_holds_what_the_contract_names() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    let object = room.json("map dunlin-01.csv --full-at 150gf --json", 0);
    assert_eq!(object["receiver"], "segments-8");
    assert_eq!(object["interpolation"], "linear");
    let control = points(&object, "control_points");
    assert!((2..=8).contains(&control.len()));
    assert_eq!(control[0], (0.0, 0.0));
    assert_eq!(control[control.len() - 1], (1.0, 1.0));
    for pair in control.windows(2) {
        assert!(pair[0].0 < pair[1].0 && pair[0].1 <= pair[1].1, "{pair:?}");
    }
    let ideal = points(&object, "ideal");
    let achieved = &object["achieved"];
    let figure = |key: &str| number(&achieved[key]);
    let worst = (0..=20_000)
        .map(|i| f64::from(i) / 20_000.0)
        .map(|x| (straight(&control, x) - straight(&ideal, x)).abs())
        .fold(0.0, f64::max);
    let off = (worst - figure("compile_max_error")).abs();
    assert!(off < 2e-4, "{worst} against {achieved}");
    assert!(figure("compile_lower_bound") <= figure("compile_max_error"));
    assert!(figure("compile_max_error") - figure("compile_lower_bound") < 1e-6);
    assert!(figure("max_error") <= figure("compile_max_error") + 1e-6);
    assert!(figure("rms_error") <= figure("max_error"));
    assert!(figure("max_error") < 0.01, "{achieved}");
    let [low, estimate, high] = interval(&achieved["full_output_force_gf"]);
    assert!(low <= estimate && estimate <= high);
    assert!((estimate - 150.0).abs() < 3.0, "full output at {estimate}");
    assert!(figure("largest_gain") >= 1.0 && figure("distinct_outputs") > 100.0);
}

#[test]
fn the_stylus_error_comes_first() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    let wish = "map dunlin-01.csv --full-at 150gf";
    let object = room.json(&format!("{wish} --out saved.map.toml --json"), 0);
    let achieved = &object["achieved"];
    let [median, high] = ["median", "high"].map(|key| number(&achieved["stylus_error"][key]));
    assert!(median > 0.0 && median < high, "{achieved}");
    assert!(number(&achieved["max_error"]) <= high, "{achieved}");
    let did = room.ends(wish, 0);
    let [stylus, worst] =
        ["stylus error", "worst error"].map(|name| did.out.find(name).expect("a figure"));
    assert!(stylus < worst, "{}", did.out);
    did.assert_out(&format!("{:.2} %", 100.0 * median));
    did.assert_out(&format!("{:.2} % at most", 100.0 * high));
    // On the card to type from, and in the file; a file of a version that did not know it is still read.
    room.ends("export saved.map.toml --as card", 0)
        .assert_out(&format!("{:.1} %", 100.0 * high));
    let text = room.read("saved.map.toml");
    let table = text.find("[achieved.stylus_error]").expect("a table");
    let end = table + text[table + 1..].find('[').expect("another table") + 1;
    let before: String = [&text[..table], &text[end..]].concat();
    room.write("before.map.toml", before);
    let card = room.ends("export before.map.toml --as card", 0);
    let is_told = card.out.contains("expected with this stylus");
    assert!(!is_told, "{}", card.out);
}

#[test]
fn a_wish_beyond_saturation_is_told_with_the_best_there_is() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    let args = "map dunlin-01.csv --full-at 400gf --json";
    let object = room.json(args, 1);
    let reason = string(&object["reason"]);
    assert_holds(reason, args, ["400.0 gf", "saturates"]);
    let saturation =
        number(&room.json("fit dunlin-01.csv --json", 0)["saturation_force_gf"]["estimate"]);
    let full = number(&object["achieved"]["full_output_force_gf"]["estimate"]);
    let off = (full - saturation).abs();
    assert!(off < 0.01 * saturation, "{full} against {saturation}");
    room.run(args).assert_err("cannot be had by any map");
    let below = "map dunlin-01.csv --full-at 2gf";
    room.ends(below, 1).assert_err("onset");
}

#[test]
fn grids_are_honoured() {
    let room = Room::new();
    room.demo("avocet-01.csv");
    for (receiver, steps) in [("segments-8-percent", 100.0), ("segments-8-byte", 255.0)] {
        let args = format!("map avocet-01.csv --full-at 2N --receiver {receiver} --json");
        let object = room.json(&args, 0);
        for (input, output) in points(&object, "control_points") {
            for value in [input, output] {
                let step = value * steps;
                assert!((step - step.round()).abs() < 1e-9, "{receiver}: {value}");
                let survives = step.floor() == step.round();
                let is_byte = receiver == "segments-8-byte";
                assert!(survives || !is_byte, "{value} must survive rounding down");
            }
        }
    }
}

#[test]
fn hold_angle_scales_the_forces_of_the_hand() {
    let room = Room::new();
    room.demo("avocet-01.csv");
    let along = "map avocet-01.csv --full-at 100gf --light-at 20gf --json";
    let straight = room.json(along, 0);
    // sin 30° is a half: twice the force at a right angle to the surface gives the same axial force.
    let held = "map avocet-01.csv --full-at 200gf --light-at 40gf --hold-angle 30deg --json";
    let held = room.json(held, 0);
    let of = |object: &serde_json::Value| points(object, "control_points");
    for (a, b) in of(&straight).iter().zip(of(&held)) {
        let is_same = (a.0 - b.0).abs() < 1e-9 && (a.1 - b.1).abs() < 1e-9;
        assert!(is_same, "{a:?} {b:?}");
    }
    let full = |object: &serde_json::Value| {
        number(&object["achieved"]["full_output_force_gf"]["estimate"])
    };
    assert!((full(&held) - 2.0 * full(&straight)).abs() < 1e-6);
    room.ends("map avocet-01.csv --full-at 200gf --hold-angle 45", 2);
}

#[test]
fn a_saved_map_is_built_again_bit_for_bit_and_changes_are_told() {
    let room = Room::new();
    room.demo("dunlin-02.csv");
    let args = "map dunlin-02.csv --full-at 140gf --target power:0.8 --out map.toml";
    room.ends(args, 0);
    let saved = room.read("map.toml");
    let again = room.ends("map --reproduce map.toml", 0);
    again.assert_out("every byte the same");

    let reproduce = "map --reproduce map.toml";
    for (from, to, code, told) in [
        ("full_at_gf = 140.0", "full_at_gf = 141.0", 1, "differs"),
        // A number that would keep a machine busy for years is refused, not tried.
        (
            "resamples = 1000",
            "resamples = 1000000000000",
            2,
            "resamples",
        ),
    ] {
        room.write("map.toml", saved.replacen(from, to, 1));
        room.ends(reproduce, code).assert_err(told);
    }

    room.write("map.toml", &saved);
    let measured = room.read("dunlin-02.csv");
    room.write("dunlin-02.csv", measured + "200,100.00\n");
    room.ends(reproduce, 1).assert_err("has changed");
}

/// Demo styluses with a full-at of seven tenths of their saturation forces.
const STYLUSES: [(&str, &str); 7] = [
    ("dunlin-01.csv", "118gf"),
    ("dunlin-02.csv", "127.3gf"),
    ("dunlin-03.toml", "111.2gf"),
    ("avocet-01.csv", "212.9gf"),
    ("avocet-02.csv", "201.9gf"),
    ("godwit-01.toml", "393.4gf"),
    ("curlew-01.csv", "578gf"),
];

#[test]
fn every_shipped_receiver_comes_near_its_bound_for_every_demo_stylus() {
    let room = Room::new();
    let list = room.json("receivers --json", 0);
    for (file, full) in STYLUSES {
        room.demo(file);
        for receiver in items(&list["receivers"]) {
            let name = string(&receiver["name"]);
            let args = ["map", file, "--full-at", full, "--receiver", name];
            let object = room.json(&[&args[..], &["--resamples", "100", "--json"]].concat(), 0);
            let achieved = &object["achieved"];
            let gap =
                number(&achieved["compile_max_error"]) - number(&achieved["compile_lower_bound"]);
            assert!((0.0..=1e-3).contains(&gap), "{file} {name}: {gap}");
        }
    }
}

#[test]
fn a_power_says_its_exponent_floor_and_ceiling() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    let args = "map dunlin-01.csv --full-at 150gf --receiver power";
    let object = room.json(&format!("{args} --out map.toml --json"), 0);
    assert_eq!(object["interpolation"], "power");
    let [exponent, floor, ceiling] =
        ["exponent", "input_floor", "input_ceiling"].map(|key| number(&object[key]));
    assert!(exponent > 0.0 && 0.0 <= floor && floor < ceiling && ceiling <= 1.0);
    // The figures hold for the curve that these three numbers make.
    let ideal = items(&object["ideal"]);
    let worst = ideal
        .iter()
        .map(|point| {
            let part = (number(&point["input"]) - floor) / (ceiling - floor);
            (part.clamp(0.0, 1.0).powf(exponent) - number(&point["output"])).abs()
        })
        .fold(0.0, f64::max);
    let told = number(&object["achieved"]["compile_max_error"]);
    let bound = number(&object["achieved"]["compile_lower_bound"]);
    assert!(worst <= told + 1e-6, "{worst} {told}");
    assert!(bound <= told && told - bound <= 1e-3, "{bound} {told}");
    room.ends("map --reproduce map.toml", 0);
    let card = room.run("export map.toml --as card");
    card.assert_out(&format!("{exponent:.4}"));
    for form in ["csv", "json", "table", "css", "svg", "inkml"] {
        room.ends(&["export", "map.toml", "--as", form], 0);
    }
    let edited = room.read("map.toml").replace("exponent = ", "exponent = -");
    room.write("edited.toml", edited);
    room.ends("export edited.toml --as css", 2);
}

#[test]
fn a_bezier_is_handed_out_as_css_and_svg_have_it() {
    let room = Room::new();
    room.demo("avocet-01.csv");
    let args = "map avocet-01.csv --full-at 250gf --receiver bezier";
    let object = room.json(&format!("{args} --out map.toml --json"), 0);
    assert_eq!(object["interpolation"], "cubic-bezier");
    let points = pairs(&object["control_points"], "input", "output");
    assert_eq!(points.len(), 4);
    assert_eq!((points[0], points[3]), ((0.0, 0.0), (1.0, 1.0)));
    let told = number(&object["achieved"]["compile_max_error"]);
    let bound = number(&object["achieved"]["compile_lower_bound"]);
    assert!(bound <= told && told - bound <= 1e-3, "{bound} {told}");
    let [(a, b), (c, d)] = [points[1], points[2]];
    let css = room.run("export map.toml --as css");
    assert_eq!(css.out, format!("cubic-bezier({a}, {b}, {c}, {d})\n"));
    let svg = room.run("export map.toml --as svg");
    svg.assert_out(&format!("M0 0 C{a} {b} {c} {d} 1 1"));
    let inkml = room.run("export map.toml --as inkml");
    assert_eq!(inkml.out.matches(",\n").count(), 256);
}
