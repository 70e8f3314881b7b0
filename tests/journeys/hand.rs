//! `evenhand hand`, and maps that take their forces from it.

use crate::bench_room::{Room, assert_holds, items, number, string};
use crate::support::cases::rows;

fn room() -> Room {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    room.demo("grass.inkml");
    room
}

const HAND: &str = "hand grass.inkml --stylus dunlin-01.csv --json";

#[test]
fn a_page_tells_how_hard_the_hand_presses() {
    let room = room();
    let object = room.json(HAND, 0);
    assert_eq!(object["strokes"], 90);
    assert_eq!(object["enough"], true);
    assert_eq!(object["forces"], "along the stylus");
    let rows = items(&object["percentiles"]);
    let known: Vec<[Option<f64>; 3]> = rows
        .iter()
        .filter(|row| row["bound"].is_null())
        .map(|row| ["low", "estimate", "high"].map(|key| row["force_gf"][key].as_f64()))
        .collect();
    assert!(known.len() >= 6, "{object:#}");
    for row in &known {
        assert!(row[0].unwrap() <= row[1].unwrap(), "{row:?}");
        // The hardest percentiles may lie beyond what the stylus reads.
        assert!(row[2].is_none_or(|high| row[1].unwrap() <= high), "{row:?}");
    }
    assert!(known[..4].iter().all(|row| row[2].is_some()), "{known:?}");
    assert!(known.windows(2).all(|pair| pair[0][1] <= pair[1][1]));
    // The lightest touches are not felt, which is a bound and no force.
    assert_eq!(rows[0]["bound"], "at-most");
    assert!(rows[0]["force_gf"]["estimate"].is_null());
    let saturated = &object["time_at_saturation"];
    assert!(number(&saturated["low"]) <= number(&saturated["estimate"]));
    let told = room.run(HAND.trim_end_matches("--json"));
    told.assert_out(["95 % interval", "--full-at", "clinician"]);
    // Shown once, in the text alone.
    assert_eq!(told.out.matches("clinician").count(), 1);
}

#[test]
fn a_held_angle_turns_forces_to_the_surface() {
    let room = room();
    let plain = room.json(HAND, 0);
    let held = room.json(&format!("{HAND} --hold-angle 30deg"), 0);
    assert_eq!(held["forces"], "at a right angle to the surface");
    // sin 30° = 1/2.
    for key in ["light_at_gf", "full_at_gf"] {
        let [along, across] = [&plain, &held].map(|told| number(&told["suggested"][key]));
        assert!((across - 2.0 * along).abs() < 1e-9, "{key}");
    }
}

#[test]
fn a_map_takes_its_forces_from_the_hand() {
    let room = room();
    let suggested = room.json(HAND, 0)["suggested"].clone();
    let map = "map dunlin-01.csv --hand grass.inkml --out m.toml --json";
    let wanted = room.json(map, 0)["target"].clone();
    for key in ["light_at_gf", "full_at_gf"] {
        assert_eq!(wanted[key], suggested[key]);
    }
    let saved = room.read("m.toml");
    assert!(saved.contains("hand = \"grass.inkml\"") && saved.contains("hand_sha256"));
    // Built again from the forces saved, without the recording.
    std::fs::remove_file(room.path("grass.inkml")).unwrap();
    room.ends("map --reproduce m.toml", 0);
    room.demo("grass.inkml");
    // What is given goes before what the hand would have.
    let given = format!("{map} --full-at 100gf --full-percentile 80% --force");
    let wanted = room.json(&given, 0)["target"].clone();
    assert_eq!(number(&wanted["full_at_gf"]), 100.0);
    assert_eq!(wanted["light_at_gf"], suggested["light_at_gf"]);
}

/// Strokes that rise to a reading in percent and fall again.
fn strokes(tops: &[f64]) -> String {
    let mut text = "stroke,t_ms,reported_percent\n".to_owned();
    for (stroke, top) in tops.iter().enumerate() {
        for index in 0..20_usize {
            let part = (index + 1) as f64 / 21.0;
            let reading = (top * (std::f64::consts::PI * part).sin()).min(100.0);
            let time = 1000 * stroke + 8 * index;
            text.push_str(&format!("{stroke},{time},{reading:.2}\n"));
        }
    }
    text
}

const TABLE: &str = "hand strokes.csv --stylus dunlin-01.csv --json";

#[test]
fn saturated_readings_are_bounds() {
    let room = room();
    // Every second stroke presses far beyond the stylus.
    room.write("strokes.csv", strokes(&[70.0, 160.0].repeat(30)));
    let object = room.json(TABLE, 0);
    let rows = items(&object["percentiles"]);
    let last = rows.last().unwrap();
    assert_eq!(last["bound"], "at-least");
    assert!(last["force_gf"]["estimate"].is_null() && last["force_gf"]["high"].is_null());
    assert!(number(&object["time_at_saturation"]["estimate"]) > 0.2);
    let fit = room.json("fit dunlin-01.csv --json", 0);
    assert_eq!(
        object["suggested"]["full_at_gf"],
        fit["saturation_force_gf"]["estimate"]
    );
    let warnings = object["warnings"].to_string();
    assert_holds(&warnings, "warnings", "beyond what this stylus reads");
}

#[test]
fn what_draws_nothing_is_told() {
    let room = room();
    // Every stroke tapers: a twentieth of all time is light, and lies at both ends of each stroke.
    let tops: Vec<f64> = (0..60).map(|i| 60.0 + 0.5 * i as f64).collect();
    room.write("strokes.csv", strokes(&tops));
    let object = room.json(TABLE, 0);
    let nothing = &object["suggested"]["draws_nothing"];
    for key in ["time", "ends", "strokes"] {
        assert!((0.0..=1.0).contains(&number(&nothing[key])), "{object:#}");
    }
    assert!(number(&nothing["strokes"]) <= 0.05, "{object:#}");
    assert!(number(&nothing["time"]) <= 0.05, "{object:#}");
    let told = room.run(TABLE.strip_suffix(" --json").unwrap());
    let lost = 100.0 * number(&nothing["strokes"]);
    told.assert_out([
        "of the time draws nothing",
        &format!("{lost:.1} % of strokes lose"),
    ]);
}

#[test]
fn strokes_in_moods_tell_less_than_strokes_that_are_mixed() {
    let room = room();
    let width = |tops: &[f64]| {
        room.write("strokes.csv", strokes(tops));
        let object = room.json(TABLE, 0);
        let median = object["percentiles"][3]["force_gf"].clone();
        median["high"]
            .as_f64()
            .zip(median["low"].as_f64())
            .map_or(f64::INFINITY, |(high, low)| high - low)
    };
    // Sixteen moods of six strokes, and the same strokes in any order. The generator is that of Knuth (MMIX).
    let mut state = 1_u64;
    let mut drawn = || {
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 40) as f64 / (1_u64 << 24) as f64
    };
    let moods: Vec<f64> = (0..16).flat_map(|_| [45.0 + 40.0 * drawn(); 6]).collect();
    let mut order: Vec<(f64, f64)> = moods.iter().map(|top| (drawn(), *top)).collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mixed: Vec<f64> = order.into_iter().map(|(_, top)| top).collect();
    let (moods, mixed) = (width(&moods), width(&mixed));
    assert!(moods > 1.5 * mixed, "{moods} {mixed}");
}

#[test]
fn short_recordings_say_so() {
    let room = room();
    room.write("strokes.csv", strokes(&[60.0, 70.0, 50.0]));
    let object = room.json(TABLE, 0);
    assert_eq!(object["enough"], false);
    assert!(object["warnings"].to_string().contains("too short"));
    let map = "map dunlin-01.csv --hand strokes.csv --json";
    let warnings = room.json(map, 0)["warnings"].to_string();
    assert!(warnings.contains("too short"), "{warnings}");
    for (tops, reason) in [
        (&[60.0][..], "1 stroke"),
        (&[0.0, 0.0], "no point"),
        (&[4000.0, 4000.0], "no point"),
    ] {
        room.write("strokes.csv", strokes(tops));
        let error = room.json(TABLE, 1)["error"].clone();
        assert!(error["message"].to_string().contains(reason), "{error}");
    }
}

#[test]
fn recorded_forces_need_no_response() {
    let room = room();
    let text = strokes(&[60.0, 70.0, 80.0]).replace("reported_percent", "force_gf");
    room.write("strokes.csv", text);
    let object = room.json(TABLE, 0);
    let rows = items(&object["percentiles"]);
    let top = number(&rows.last().unwrap()["force_gf"]["estimate"]);
    assert!((60.0..=80.0).contains(&top), "{top}");
}

/// Files with their texts, the places to be named, and what is told; `⏎` ends a line.
const BAD: &str = "
a.csv | x,y,reported⏎1,2,3⏎ | a.csv:2:5 | above the full scale
b.csv | x,y,force⏎1,2,3⏎ | b.csv:1:5 | has no unit
c.inkml | <ink><trace>1 x</trace></ink> | c.inkml:1:15 | no value
d.inkml | <ink><trace>1 2</trace></ink> | d.inkml:1:6 | no channel F
e.csv |  | e.csv | is empty
f.inkml | <ink> | f.inkml | no XML
";

#[test]
fn bad_recordings_are_told_with_their_place() {
    let room = room();
    for [name, text, place, reason] in rows(BAD) {
        room.write(&name, text);
        let args = format!("hand {name} --stylus dunlin-01.csv");
        let object = room.json(&format!("{args} --json"), 2);
        let fault = &object["faults"][0];
        assert_eq!(fault["file"], name);
        assert_holds(string(&fault["found"]), &name, &reason);
        assert!(!string(&fault["remedy"]).is_empty());
        let of = |part: &str| fault[part].as_u64().map(|part| format!(":{part}"));
        let places = ["line", "column"].map(|part| of(part).unwrap_or_default());
        let told = name + &places.concat();
        assert!(told.starts_with(&place), "{told}, not {place}");
        room.run(&args).assert_err(&place);
    }
    room.ends("hand no.csv --stylus dunlin-01.csv", 2);
    for wrong in ["--full-percentile 105%", "--light-percentile 97%"] {
        room.ends(&format!("{HAND} {wrong}"), 2);
    }
}

/// A recording of strokes that all do the same, but for times.
fn timed(times: fn(usize, usize) -> usize) -> String {
    let mut text = "stroke,t_ms,reported_percent\n".to_owned();
    for stroke in 0..12 {
        for index in 0..30 {
            let reading = 10.0 + 2.0 * index as f64 + 0.1 * stroke as f64;
            text.push_str(&format!("{stroke},{},{reading:.1}\n", times(stroke, index)));
        }
    }
    text
}

#[test]
fn times_that_do_not_move_count_points() {
    let room = room();
    let suggested = |times: fn(usize, usize) -> usize| {
        room.write("strokes.csv", timed(times));
        let found = room.json(TABLE, 0)["suggested"].clone();
        ["light_at_gf", "full_at_gf"].map(|key| number(&found[key]))
    };
    let still = suggested(|stroke, _| 1000 * stroke);
    let moving = suggested(|stroke, index| 1000 * stroke + 8 * index);
    assert_eq!(still, moving);
}

#[test]
fn a_press_that_many_points_share_is_known_no_better_than_strokes_tell() {
    let room = room();
    // Of twelve strokes one is firm, and it holds its force.
    let mut text = "stroke,reported_percent\n".to_owned();
    for stroke in 0..12 {
        for _ in 0..40 {
            let reading = if stroke == 3 { 90 } else { 30 + stroke };
            text.push_str(&format!("{stroke},{reading}\n"));
        }
    }
    room.write("strokes.csv", text);
    let object = room.json(TABLE, 0);
    let last = items(&object["percentiles"]).last().unwrap().clone();
    assert!(last["force_gf"]["high"].is_null(), "{last}");
    assert_eq!(object["enough"], false);
}

#[test]
fn what_is_suggested_can_be_asked_for() {
    let room = room();
    room.write("strokes.csv", strokes(&[70.0, 160.0].repeat(30)));
    for angle in ["30deg", "37deg", "45deg", "61deg", "90deg"] {
        let map = format!("map dunlin-01.csv --hold-angle {angle}");
        room.ends(&format!("{map} --hand strokes.csv"), 0);
        let hand = format!("hand strokes.csv --stylus dunlin-01.csv --hold-angle {angle}");
        let told = room.run(&hand).out;
        let mut lines = told.lines();
        let line = lines.find(|line| line.contains("--full-at")).unwrap();
        let asked: Vec<&str> = line.split_whitespace().skip(1).collect();
        room.ends(&format!("{map} {}", asked.join(" ")), 0);
    }
}
