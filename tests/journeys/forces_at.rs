//! `force_at`: the forces at which the fitted response passes a reading.

use serde_json::Value;

use crate::bench_room::{Room, assert_holds, interval, items, number, numbers, pairs};

/// Readings of a straight response that leaves 0 at `onset` and is full at `saturation`, exact to 0.001 %.
fn line(onset: f64, saturation: f64, last: u32) -> String {
    let mut text = "force_gf,reported_percent\n".to_owned();
    for force in (0..=last).step_by(5) {
        let part = (f64::from(force) - onset) / (saturation - onset);
        text += &format!("{force},{:.3}\n", 100.0 * part.clamp(0.0, 1.0));
    }
    text
}

/// One row with its reading, and its ends in order around the estimate.
fn row(row: &Value) -> (f64, f64) {
    let [low, estimate, high] = interval(row);
    assert!(low <= estimate && estimate <= high, "{row}");
    assert!(low < high, "an interval has a width: {row}");
    (number(&row["reading"]), estimate)
}

fn rows(object: &Value) -> Vec<(f64, f64)> {
    items(&object["force_at"]).iter().map(row).collect()
}

/// Writes a measurement of these rows.
fn write(room: &Room, name: &str, rows: &str) {
    room.write(name, format!("force_gf,reported_percent\n{rows}"));
}

const SWITCH: &str = "0,0\n50,0\n60,100\n90,100\n";

#[test]
fn straight_response_passes_readings_where_the_line_does() {
    let room = Room::new();
    room.write("line.csv", line(10.0, 210.0, 260));
    let object = room.json("fit line.csv --json", 0);
    let found = rows(&object);
    let readings = |object: &Value| numbers(&object["force_at"], "reading");
    assert_eq!(readings(&object), [0.01, 0.99], "without --at");
    let asked = "fit line.csv --json --at 1%,25% --at=0.5 --at 75%,0.99,100%";
    let object = room.json(asked, 0);
    let in_order = [0.01, 0.25, 0.5, 0.75, 0.99, 1.0];
    assert_eq!(readings(&object), in_order, "in the order asked for");
    let many = rows(&object);
    // The same force whatever else is asked for.
    assert_eq!((found[0], found[1]), (many[0], many[4]));
    for (reading, force) in many {
        // From 10 gf on 2 gf make a percent. The fit does not know that the line is straight and smooths its
        // corners, by up to 0.15 % of the span.
        let expected = 10.0 + 200.0 * reading;
        let is_inside = (0.02..0.98).contains(&reading);
        let off = (force - expected).abs();
        let allowed = if is_inside { 0.05 } else { 0.3 };
        assert!(off < allowed, "{reading}: {force} for {expected}");
    }
}

#[test]
fn full_reading_is_passed_at_the_saturation_force() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    // Three samples between the limits, and none: intervals are then what the samples bracket.
    write(&room, "few.csv", "0,0\n10,5\n50,50\n90,95\n300,100\n");
    write(&room, "switch.csv", SWITCH);
    for file in ["dunlin-01.csv", "few.csv", "switch.csv"] {
        let object = room.json(&["fit", file, "--json", "--at", "100%"], 0);
        let ends = interval(&object["force_at"][0]);
        for (at, full) in ends.iter().zip(interval(&object["saturation_force_gf"])) {
            // The response is kept as a polyline, its inverse to the last digits.
            assert!((at - full).abs() < 1e-6, "{file}: {at} {full}");
        }
    }
}

#[test]
fn few_samples_bracket_the_force_whatever_the_shape_between() {
    let room = Room::new();
    write(&room, "switch.csv", SWITCH);
    let object = room.json("fit switch.csv --json", 0);
    for at in items(&object["force_at"]) {
        row(at);
        let [low, _, high] = interval(at);
        assert!(low <= 50.0 && high >= 60.0, "{at}");
    }
}

#[test]
fn forces_rise_with_their_readings_and_lie_between_onset_and_saturation() {
    let room = Room::new();
    let at = "--at 0.1%,1%,5%,20%,50%,80%,95%,99%,99.9%";
    for file in "dunlin-01.csv dunlin-03.toml godwit-01.toml curlew-01.csv".split(' ') {
        room.demo(file);
        let object = room.json(&format!("fit {file} --json {at}"), 0);
        let mut forces = vec![number(&object["onset_force_gf"]["estimate"])];
        forces.extend(rows(&object).into_iter().map(|(_, force)| force));
        forces.push(number(&object["saturation_force_gf"]["estimate"]));
        assert!(forces.is_sorted_by(|a, b| a < b), "{file}: {forces:?}");
        // The curve says the same.
        let curve = pairs(&object["curve"], "force_gf", "reported");
        for (reading, force) in rows(&object) {
            let beyond = curve.iter().find(|row| row.0 >= force).unwrap().1;
            let before = curve.iter().rfind(|row| row.0 <= force).unwrap().1;
            let is_between = before <= reading + 1e-6 && reading <= beyond + 1e-6;
            assert!(is_between, "{file}: {reading} at {force}");
        }
    }
}

#[test]
fn reading_that_was_not_reached_has_no_estimate() {
    let room = Room::new();
    // Ends at 190 gf with 42.5 %.
    room.write("rising.csv", line(20.0, 420.0, 190));
    let object = room.json("fit rising.csv --json --at 1%,42%,43%,99%,100%", 0);
    let found = items(&object["force_at"]);
    for at in &found[..2] {
        let (reading, force) = row(at);
        let expected = 20.0 + 400.0 * reading;
        let off = (force - expected).abs();
        assert!(off < 1.0, "{reading}: {force} for {expected}");
    }
    for at in &found[2..] {
        assert!(at["estimate"].is_null() && at["high"].is_null(), "{at}");
        assert_eq!(number(&at["low"]), 190.0, "{at}");
    }
    let not_reached = "force at 99 %     not reached: above 190.0 gf";
    room.run("fit rising.csv")
        .assert_out(["force at 1 % ", not_reached]);
}

#[test]
fn reading_of_an_outlier_is_not_reached_by_the_response() {
    let room = Room::new();
    // 60 % where the line has 20 %; the line ends with 42.5 %.
    let apart = line(20.0, 420.0, 190).replace("\n100,20.000\n", "\n100,60.000\n");
    room.write("apart.csv", apart);
    let object = room.json("fit apart.csv --json --at 20%,50%", 0);
    let (_, force) = row(&object["force_at"][0]);
    assert!((force - 100.0).abs() < 2.0, "{force}");
    assert!(object["force_at"][1]["estimate"].is_null(), "{object}");
}

#[test]
fn measurement_without_a_rise_bounds_the_force_from_its_side() {
    let room = Room::new();
    write(&room, "zero.csv", "0,0\n50,0\n90,0\n120,0\n");
    write(&room, "full.csv", "30,100\n50,100\n90,100\n");
    for (file, end, force, other) in [
        ("zero.csv", "low", 120.0, "high"),
        ("full.csv", "high", 30.0, "low"),
    ] {
        let object = room.json(&["fit", file, "--json", "--at", "1%,99%"], 1);
        let found = items(&object["force_at"]);
        assert_eq!(found.len(), 2);
        for at in found {
            assert_eq!(number(&at[end]), force, "{file}: {at}");
            let is_open = at["estimate"].is_null() && at[other].is_null();
            assert!(is_open, "{file}: {at}");
        }
    }
}

#[test]
fn force_at_a_reading_is_shown_in_text_with_its_interval() {
    let room = Room::new();
    room.write("line.csv", line(10.0, 210.0, 260));
    let object = room.json("fit line.csv --json", 0);
    let text = room.run("fit line.csv").out;
    for (at, label) in items(&object["force_at"]).iter().zip(["1 %", "99 %"]) {
        let start = format!("  force at {label} ");
        let line = text.lines().find(|line| line.starts_with(&start)).unwrap();
        let estimate = number(&at["estimate"]);
        let digits = if estimate < 100.0 { 2 } else { 1 };
        let shown = format!("{estimate:.digits$} gf");
        assert_holds(line, label, [&shown, "95 % interval"]);
    }
    // Other readings take their place.
    let other = room.run("fit line.csv --at 50%");
    other.assert_out("force at 50 % ");
    assert!(!other.out.contains("force at 1 % "), "{}", other.out);
}
