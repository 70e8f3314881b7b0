//! `evenhand fit`: the contract of its object, and files that are unusual but right.

use crate::bench_room::{Room, assert_holds, interval, items, number, string};

const HEADER: &str = "force_gf,reported_percent\n";

/// A clean bench whose response is a straight line from 10 to 210 gf.
fn straight(separator: &str, comma: bool, ending: &str) -> String {
    let mut lines = vec![["force_gf", "reported_percent"].join(separator)];
    for step in 0..=24 {
        let force = f64::from(step) * 10.0 + 0.5;
        let reading = ((force - 10.0) / 2.0).clamp(0.0, 100.0);
        let cell = |value: f64| {
            let text = format!("{value:.2}");
            if comma { text.replace('.', ",") } else { text }
        };
        lines.push([cell(force), cell(reading)].join(separator));
    }
    lines.join(ending) + ending
}

fn ends(object: &serde_json::Value) -> (f64, f64) {
    let estimate = |key: &str| number(&object[key]["estimate"]);
    (estimate("onset_force_gf"), estimate("saturation_force_gf"))
}

#[test]
fn the_object_holds_what_the_contract_names() {
    let room = Room::new();
    room.demo("godwit-01.toml");
    let object = room.json("fit godwit-01.toml --json", 0);
    assert_eq!(object["stylus"]["model"], "Godwit");
    assert_eq!(object["samples"], 48);
    assert_eq!(object["saturation_class"], "400 to 700 gf");
    assert_eq!(number(&object["confidence"]), 0.95);
    assert_eq!(object["saturation_force_gf"]["reached"], true);
    for key in ["onset_force_gf", "saturation_force_gf"] {
        let [low, estimate, high] = interval(&object[key]);
        assert!(
            low <= estimate && estimate <= high && low < high,
            "{key}: {low} {estimate} {high}"
        );
    }
    let curve = items(&object["curve"]);
    assert!(curve.len() >= 200);
    assert_eq!(number(&curve[0]["force_gf"]), 0.0);
    assert!(number(&curve[curve.len() - 1]["force_gf"]) > 620.0);
    for pair in curve.windows(2) {
        assert!(number(&pair[0]["force_gf"]) < number(&pair[1]["force_gf"]));
        assert!(number(&pair[0]["reported"]) <= number(&pair[1]["reported"]));
    }
    for row in curve {
        let [low, reported, high] = ["low", "reported", "high"].map(|k| number(&row[k]));
        assert!(0.0 <= low && low <= reported && reported <= high && high <= 1.0);
    }
    assert!(number(&object["residual_rms"]) > 0.0);
    let seatings = items(&object["seatings"]);
    assert_eq!(seatings.len(), 2);
    assert!(number(&seatings[0]["force_gain"]) > number(&seatings[1]["force_gain"]));
    assert!(object["warnings"].is_array());
}

#[test]
fn separators_marks_endings_and_orders_do_not_matter() {
    let room = Room::new();
    let plain = straight(",", false, "\n");
    room.write("plain.csv", &plain);
    let expected = room.json("fit plain.csv --json", 0);
    let (onset, saturation) = ends(&expected);
    assert!((onset - 10.0).abs() < 0.5, "onset {onset}");
    assert!((saturation - 210.0).abs() < 1.0, "saturation {saturation}");
    let mut rows: Vec<&str> = plain.lines().skip(1).collect();
    rows.reverse();
    rows.swap(3, 11);
    for (name, text) in [
        ("semicolon.csv", straight(";", true, "\n")),
        ("tab.csv", straight("\t", true, "\r\n")),
        ("crlf.csv", straight(",", false, "\r\n")),
        ("bom.csv", format!("\u{feff}{plain}")),
        ("unsorted.csv", format!("{HEADER}{}\n", rows.join("\n"))),
    ] {
        room.write(name, text);
        let found = ends(&room.json(&["fit", name, "--json"], 0));
        // The order of the samples moves sums by rounding only.
        assert!(
            (found.0 - onset).abs() < 1e-3 && (found.1 - saturation).abs() < 1e-3,
            "{name}: {found:?}"
        );
    }
}

#[test]
fn the_same_seed_gives_the_same_bytes_for_any_number_of_threads() {
    let room = Room::new();
    room.demo("dunlin-03.toml");
    let run = |threads: &str, seed: &str| {
        let mut command = assert_cmd::Command::new(env!("CARGO_BIN_EXE_evenhand"));
        command.env("RAYON_NUM_THREADS", threads);
        command
            .args(["fit", "--json", "--seed", seed])
            .arg(room.path("dunlin-03.toml"));
        command.output().unwrap().stdout
    };
    let first = run("1", "7");
    assert!(!first.is_empty());
    assert_eq!(first, run("2", "7"));
    assert_eq!(first, run("5", "7"));
    assert_ne!(first, run("1", "8"));
}

#[test]
fn all_zero_says_where_the_onset_is_not() {
    let room = Room::new();
    room.write("m.csv", format!("{HEADER}0,0\n50,0\n90,0\n120,0\n"));
    let object = room.json("fit m.csv --json", 1);
    assert_eq!(number(&object["onset_force_gf"]["low"]), 120.0);
    assert!(object["onset_force_gf"]["estimate"].is_null());
    assert!(object["saturation_force_gf"]["high"].is_null());
    assert!(string(&object["reason"]).contains("120"));
}

#[test]
fn never_saturating_gives_an_open_interval() {
    let room = Room::new();
    let mut text = HEADER.to_owned();
    for step in 0..20 {
        let force = step * 10;
        text += &format!("{force},{:.2}\n", f64::from((force - 20).max(0)) / 4.0);
    }
    room.write("m.csv", text);
    let object = room.json("fit m.csv --json", 0);
    let saturation = &object["saturation_force_gf"];
    assert_eq!(saturation["reached"], false);
    assert!(saturation["estimate"].is_null() && saturation["high"].is_null());
    assert_eq!(number(&saturation["low"]), 190.0);
    room.ends("fit m.csv", 0).assert_out("not reached");
}

#[test]
fn repeats_and_falling_readings_are_kept_and_told() {
    let room = Room::new();
    let mut text = straight(",", false, "\n");
    text += "100.5,45.25\n100.5,52.00\n";
    room.write("repeats.csv", text);
    let object = room.json("fit repeats.csv --json", 0);
    assert_eq!(object["samples"], 27);
    room.ends("check repeats.csv", 0).assert_out("100.5");

    let mut text = HEADER.to_owned();
    for step in 0..20 {
        text += &format!("{},{}\n", step * 10, 100 - step * 5);
    }
    room.write("falling.csv", text);
    room.ends("fit falling.csv", 1).assert_err("fall");
}

#[test]
fn few_samples_give_wide_intervals_and_no_panic() {
    let room = Room::new();
    for (name, rows) in [
        ("three.csv", "0,0\n50,30\n200,100\n"),
        ("switch.csv", "0,0\n50,0\n60,100\n90,100\n"),
        ("four.csv", "5,0\n50,30\n100,70\n200,100\n"),
        ("inside.csv", "50,30\n100,50\n150,70\n"),
        ("two-levels.csv", "50,30\n100,30\n150,70\n"),
    ] {
        room.write(name, format!("{HEADER}{rows}"));
        let object = room.json(&["fit", name, "--json"], 0);
        let onset = &object["onset_force_gf"];
        let width = number(&onset["high"]) - number(&onset["low"]);
        assert!(width > 5.0, "{name}: onset interval {width} gf wide");
        assert!(!items(&object["warnings"]).is_empty(), "{name}");
    }
}

#[test]
fn quiet_color_and_help() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    let quiet = room.ends("fit dunlin-01.csv --quiet", 0);
    assert_eq!((quiet.out.as_str(), quiet.err.as_str()), ("", ""));
    let color = room.run("fit nowhere.csv --color always");
    assert!(color.err.contains('\u{1b}'));
    let plain = room.run("fit nowhere.csv");
    assert!(!plain.err.contains('\u{1b}'));
    let help = room.ends("--help", 0);
    help.assert_out(["clinician", "maker's limit"]);
    for args in ["", "fit", "fit dunlin-01.csv --confidence 95"] {
        room.ends(args, 2);
    }
}

#[test]
fn charts_are_drawn_by_their_ending_and_replace_nothing() {
    let room = Room::new();
    room.demo("dunlin-03.toml");
    for theme in ["light", "dark"] {
        let svg = format!("{theme}.svg");
        room.ends(
            &format!("fit dunlin-03.toml --chart {svg} --theme {theme}"),
            0,
        );
        let text = room.read(&svg);
        assert_holds(&text, &svg, ["Dunlin 03", "onset", "saturation"]);
        assert_holds(&text, &svg, ["below 200 gf", "seating 2"]);
    }
    room.ends("fit dunlin-03.toml --chart out.png", 0);
    assert!(room.bytes("out.png").starts_with(b"\x89PNG"));
    room.refuses("fit dunlin-03.toml --chart out.png", "--force");
    room.ends("fit dunlin-03.toml --chart out.png --force", 0);
    let wrong = "fit dunlin-03.toml --chart out.gif";
    room.refuses(wrong, ["out.gif", "OUT.svg"]);
}
