//! Leaving samples out, seatings that a file does not declare, and directions.

use crate::bench_room::{Room, items, number};

/// A straight response from 10 gf to 210 gf at these forces; `gain` multiplies what is placed.
fn rows(forces: impl IntoIterator<Item = u32>, gain: f64, direction: &str) -> String {
    let mut text = String::new();
    for force in forces {
        let ripple = (f64::from(force) * 0.618_034).fract() - 0.5;
        let mut part = (f64::from(force) * gain - 10.0) / 200.0;
        if part > 0.0 && part < 1.0 {
            part += 0.01 * ripple;
        }
        let percent = 100.0 * part.clamp(0.0, 1.0);
        text += &format!("{force},{percent:.2}{direction}\n");
    }
    text
}

const HEAD: &str = "force_gf,reported_percent\n";

fn one_pass() -> String {
    HEAD.to_owned() + &rows((5..=245).step_by(10), 1.0, "")
}

#[test]
fn what_is_left_out_is_named_and_the_file_stays() {
    let room = Room::new();
    // 105 gf, in line 12, with a slip.
    let slipped = one_pass().replace("\n105,4", "\n105,7");
    assert_ne!(slipped, one_pass());
    room.write("m.csv", &slipped);
    let all = room.json("fit m.csv --json", 0);
    let warned = |object: &serde_json::Value| {
        let list = items(&object["warnings"]);
        list.iter().any(|w| w["line"] == 12)
    };
    assert!(warned(&all), "{}", all["warnings"]);
    assert_eq!(items(&all["excluded"]).len(), 0);

    let by_option = room.json("fit m.csv --exclude 12 --json", 0);
    assert!(!warned(&by_option));
    assert_eq!(by_option["samples"], 24);
    assert_eq!(by_option["excluded"][0]["line"], 12);
    assert_eq!(number(&by_option["excluded"][0]["force_gf"]), 105.0);
    assert_eq!(room.read("m.csv"), slipped, "the original is untouched");

    room.write("key.csv", format!("{slipped}# exclude = 12\n"));
    let by_key = room.json("fit key.csv --json", 0);
    assert_eq!(by_key["curve"], by_option["curve"]);
    room.run("fit key.csv").assert_out(["left out", "line 12"]);

    room.ends("fit key.csv --chart key.svg --quiet", 0);
    assert!(room.read("key.svg").contains("crossed out: 1 not used"));
}

#[test]
fn a_place_that_holds_no_sample_is_bad_input() {
    let room = Room::new();
    room.write("m.csv", one_pass());
    for (place, says) in [
        ("1", "no sample in line 1"),
        ("99", "lines 2 to 26"),
        ("12:2", "write 12"),
        ("x", "such as 12"),
        ("0", "such as 12"),
    ] {
        for option in ["--exclude", "--new-seating"] {
            room.refuses(&["fit", "m.csv", option, place], says);
        }
    }
    let key = one_pass() + "# exclude = 12, nine\n";
    room.write("key.csv", key);
    room.refuses("fit key.csv", "key.csv:27");
}

#[test]
fn an_undeclared_seating_is_offered_and_taken_when_asked() {
    let room = Room::new();
    let two = one_pass() + &rows((10..=240).step_by(10), 0.95, "");
    room.write("m.csv", two);
    let offered = room.json("fit m.csv --json", 0);
    assert_eq!(items(&offered["seatings"]).len(), 1);
    assert_eq!(offered["seating_change"]["place"], "27");
    let gain = number(&offered["seating_change"]["force_gain"]);
    assert!((gain - 0.95).abs() < 0.01, "{gain}");

    let taken = room.json("fit m.csv --new-seating 27 --json", 0);
    assert!(taken["seating_change"].is_null());
    let seatings = items(&taken["seatings"]);
    assert_eq!(seatings.len(), 2);
    let ratio = number(&seatings[1]["force_gain"]) / number(&seatings[0]["force_gain"]);
    assert!((ratio - 0.95).abs() < 0.01, "{ratio}");
    assert!(number(&taken["residual_rms"]) < 0.7 * number(&offered["residual_rms"]));
}

#[test]
fn directions_are_told_apart() {
    let room = Room::new();
    let forces = || (0..25).map(|i| 5 + 10 * i);
    let text = "force_gf,reported_percent,direction\n".to_owned()
        + &rows(forces(), 1.0, ",loading")
        + &rows(forces().rev(), 1.04, ",unloading");
    room.write("m.csv", text);
    let object = room.json("fit m.csv --json", 0);
    assert!((number(&object["unloading_gain"]) - 1.04).abs() < 0.01);
    assert!(number(&object["hysteresis"]["largest"]) > 0.02);
    assert!(object["seating_change"].is_null());
    let saturation = number(&object["saturation_force_gf"]["estimate"]);
    assert!((saturation - 210.0).abs() < 2.0, "{saturation}");
    room.run("fit m.csv").assert_out("hysteresis");
}

#[test]
fn a_map_remembers_what_was_left_out() {
    let room = Room::new();
    room.write("m.csv", one_pass());
    let args = "map m.csv --full-at 150gf --exclude 12,13";
    room.ends(&format!("{args} --new-seating 20 --out map.toml"), 0);
    assert!(room.read("map.toml").contains("exclude = [\"12\", \"13\"]"));
    room.ends("map --reproduce map.toml", 0);
    let edited = room.read("map.toml").replace("\"13\"", "\"thirteen\"");
    room.write("edited.toml", edited);
    room.ends("map --reproduce edited.toml", 2);
}
