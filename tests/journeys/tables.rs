//! Tables as people write them, through the commands: read with the meaning they have, or refused.

use crate::bench_room::{Room, assert_holds, items, number, numbers, string};
use crate::bench_stream::typed;
use crate::support::cases::rows;

/// The saturation force that `fit` gives for a file, gf.
fn saturation(room: &Room, file: &str) -> f64 {
    let object = room.json(&["fit", file, "--json", "--resamples", "50"], 0);
    number(&object["saturation_force_gf"]["estimate"])
}

/// The demo's table with lines above it.
fn with(room: &Room, lines: &str) -> String {
    room.demo("dunlin-01.csv");
    format!("{lines}{}", room.read("dunlin-01.csv"))
}

#[test]
fn forces_on_the_surface_are_known_by_every_spelling() {
    let room = Room::new();
    room.write("plain.csv", with(&room, ""));
    let plain = saturation(&room, "plain.csv");
    // What acts along the stylus is the force times the cosine of the tilt.
    let tilted = plain * 30_f64.to_radians().cos();
    for key in [
        "force_acts =",
        "force_acts:",
        "Force_acts =",
        "force acts =",
        "force-acts =",
    ] {
        let remarks = format!("# {key} on-surface\n# tilt_deg = 30\n");
        room.write("m.csv", with(&room, &remarks));
        let found = saturation(&room, "m.csv");
        let is_near = (found - tilted).abs() < 0.01 * tilted;
        assert!(is_near, "{key}: {found}, not {tilted}");
    }
    assert!((plain - tilted).abs() > 10.0, "the two can be told apart");
}

/// Lines above a table, which of them is at fault (0 where none is by itself), and what to write.
const PASSED_OVER: &str = "
# force_act = on-surface⏎# tilt_deg = 30⏎ | 1 | # force_acts = on-surface
# tilt_deg = 30⏎ | 0 | force_acts
# force_acts = along-stylus⏎# tilt_deg = 30⏎# tilt_deg = 20⏎ | 3 | keep the one
# exclude line 5⏎ | 1 | # exclude = 12, 17
# skip = 5⏎ | 1 | # exclude = 12, 17
# force_gain_u: much⏎ | 1 | # force_gain_u = 0.002
";

#[test]
fn remarks_that_would_be_passed_over_are_refused_with_what_to_write() {
    let room = Room::new();
    for [lines, line, advice] in rows(PASSED_OVER) {
        room.write("m.csv", with(&room, &lines));
        for args in ["fit m.csv", "check m.csv", "map m.csv --full-at 150gf"] {
            room.ends(args, 2).assert_said(&advice);
        }
        let object = room.json("fit m.csv --json", 2);
        if line != "0" {
            assert_eq!(object["faults"][0]["line"].to_string(), line, "{object}");
        }
    }
    let toml = "[stylus]\nmodel = \"Dunlin\"\n[bench]\nforce = \"gf\"\nreading = \"percent\"\ntilt_deg = 30\n[[seating]]\nsamples = [[1, 0], [5, 10], [9, 50], [12, 100]]\n";
    room.write("m.toml", toml);
    room.refuses("fit m.toml", "force_acts");
    room.write("m.toml", toml.replace("30", "0"));
    room.ends("check m.toml", 0);
}

#[test]
fn remarks_that_change_something_do() {
    let room = Room::new();
    // A gain that is known badly makes the interval wider, whatever stands between key and value.
    let width = |lines: &str| {
        room.write("m.csv", with(&room, lines));
        let object = room.json("fit m.csv --json", 0);
        let interval = &object["saturation_force_gf"];
        number(&interval["high"]) - number(&interval["low"])
    };
    let plain = width("");
    let equals = width("# force_gain_u = 0.02\n");
    assert!(equals > 1.5 * plain, "{equals} {plain}");
    assert_eq!(width("# force_gain_u: 0.02\n"), equals);

    // A seating begins with a remark between rows as it does with a column.
    let text = with(&room, "");
    let rows: Vec<&str> = text.lines().collect();
    let middle = rows.len() - 8;
    let (before, after) = (rows[..middle].join("\n"), rows[middle..].join("\n"));
    room.write("m.csv", format!("{before}\n# seating = 2\n{after}\n"));
    let object = room.json("fit m.csv --json", 0);
    let seatings = items(&object["seatings"]);
    assert_eq!(seatings.len(), 2, "{object}");
    assert_eq!(seatings[1]["index"], 2);
}

#[test]
fn padding_and_quotes_are_no_part_of_names_and_numbers() {
    let room = Room::new();
    let padded = with(&room, "").replace("# model = Dunlin", "# model = Dunlin,");
    room.write("m.csv", padded);
    let object = room.json("fit m.csv --json --resamples 50", 0);
    assert_eq!(object["stylus"]["model"], "Dunlin");
    let quoted = "force_gf,reported_percent\n5,0\n\"1\"2,10\n20,50\n";
    room.write("m.csv", quoted);
    let object = room.json("fit m.csv --json", 2);
    assert_eq!(object["faults"][0]["line"], 3);
    assert_eq!(object["faults"][0]["column"], 1);
}

/// Numbers of the demo's table under another header, and cells with signs.
fn renamed(room: &Room, header: &str, percent: &str) -> String {
    let text = with(room, "");
    let lines = text.lines().map(|line| {
        let cells: Vec<&str> = line.split(',').collect();
        match (line.starts_with('#'), line.starts_with("force_gf")) {
            (true, _) => format!("{line}\n"),
            (_, true) => format!("{header}\n"),
            _ => format!("{},{}{percent},first\n", cells[0], cells[1]),
        }
    });
    lines.collect()
}

#[test]
fn plain_tables_are_read_as_they_are() {
    let room = Room::new();
    room.write("m.csv", with(&room, ""));
    let plain = saturation(&room, "m.csv");
    let tables = [
        format!("Dunlin 01, the first of three\n\n{}", with(&room, "")),
        renamed(&room, "Weight (g),Pressure %,notes", ""),
        renamed(&room, "Force_gf,Reading (%),notes", "%"),
        with(&room, "") + "\n,,\n,,\n",
        format!("sep=,\n{}", with(&room, "")),
    ];
    for table in tables {
        let utf16: Vec<u8> = format!("\u{feff}{table}")
            .encode_utf16()
            .flat_map(u16::to_le_bytes)
            .collect();
        for bytes in [table.clone().into_bytes(), utf16] {
            room.write("m.csv", bytes);
            assert_eq!(saturation(&room, "m.csv"), plain, "{table}");
        }
    }
    // Raw counts, in a column called so.
    room.write(
        "raw.csv",
        "# levels: 101\nforce_gf,Raw\n5,0\n10,5\n20,20\n40,50\n60,75\n80,90\n100,100\n120,100\n",
    );
    let object = room.json("check raw.csv --json", 0);
    assert_eq!(object["files"][0]["samples"], 8);
    assert_eq!(object["files"][0]["read_as"]["columns"][1]["unit"], "raw");
}

#[test]
fn every_fault_of_a_file_is_told_at_once() {
    let room = Room::new();
    room.write(
        "m.csv",
        "# modle = Dunlin\nforce_gf,reported_percent\n5,0\nx,10\n20,500\n-3,60\n",
    );
    let object = room.json("fit m.csv --json", 2);
    let lines = numbers(&object["faults"], "line");
    assert_eq!(lines, [1.0, 4.0, 5.0, 6.0], "{object}");
    for fault in items(&object["faults"]) {
        for key in ["file", "found", "remedy"] {
            assert!(!string(&fault[key]).is_empty(), "{fault}");
        }
    }
    let did = room.run("fit m.csv");
    did.assert_err(["m.csv:1:1", "m.csv:4:1", "m.csv:5:4", "m.csv:6:1"]);
}

#[test]
fn columns_without_a_meaning_are_named_once_and_likely_ones_refused() {
    let room = Room::new();
    let header = "force_gf,reported_percent,notes";
    room.write("m.csv", renamed(&room, header, ""));
    let did = room.ends("check m.csv", 0);
    assert_eq!(did.out.matches("notes").count(), 1, "{}", did.out);
    let mistyped = header.replace("notes", "seatng");
    room.write("m.csv", renamed(&room, &mistyped, ""));
    let did = room.ends("check m.csv", 2);
    did.assert_err("write seating");
}

#[test]
fn of_several_columns_one_can_be_chosen() {
    let room = Room::new();
    room.write(
        "m.csv",
        "Force (gf),Force (N),Pressure %\n5,0.05,0\n10,0.1,10\n20,0.2,40\n40,0.4,80\n60,0.6,100\n",
    );
    let did = room.ends("check m.csv", 2);
    did.assert_err("--column");
    let object = room.json(&["check", "m.csv", "--column", "force (gf)", "--json"], 0);
    let read_as = &object["files"][0]["read_as"];
    assert_eq!(read_as["columns"][0]["name"], "Force (gf)");
    assert_eq!(read_as["ignored"][0], "Force (N)");
    // A map remembers which one it was made from.
    let text = renamed(&room, "force_gf,reported_percent,Force (N)", "");
    room.write("full.csv", text.replace("first", "1"));
    let args = "map full.csv --full-at 150gf --column force_gf --out m.toml";
    room.ends(args, 0);
    room.ends("map --reproduce m.toml", 0);
}

#[test]
fn the_plain_form_can_be_written_and_gives_the_same_fit() {
    let room = Room::new();
    let remarks =
        "# batch = 2025\n# read_at: browser\n# force_acts = on-surface\n# tilt_deg = 20\n";
    let rows = renamed(&room, "Weight (g),Pressure %,notes", "%");
    room.write("m.csv", format!("Measured by hand\n{remarks}{rows}"));
    let before = saturation(&room, "m.csv");
    for out in ["plain.csv", "plain.toml"] {
        room.ends(&["check", "m.csv", "--rewrite", out], 0);
        assert_eq!(saturation(&room, out), before, "{out}\n{}", room.read(out));
        let text = room.read(out);
        let words = ["batch", "2025", "browser", "along-stylus", "20"];
        assert_holds(&text, out, words);
        // What is written is written the same again.
        let again = format!("again-{out}");
        room.ends(&["check", out, "--rewrite", &again], 0);
        assert_eq!(room.read(&again), text);
        room.refuses(&["check", "m.csv", "--rewrite", out], "--force");
    }
    room.ends("check m.csv --rewrite m.csv --force", 2);
    room.ends("check m.csv plain.csv --rewrite both.csv", 2);
    assert!(!room.names().contains(&"both.csv".to_owned()));
}

#[test]
fn measurements_read_at_different_places_are_told_apart() {
    let room = Room::new();
    for (name, place) in [("a.csv", "device"), ("b.csv", "browser")] {
        let text = with(&room, &format!("# read_at = {place}\n"));
        let unit = format!("# unit = {name}");
        room.write(name, text.replace("# unit = 01", &unit));
    }
    let did = room.run("compare a.csv b.csv");
    did.assert_err("different places");
    let object = room.json("compare a.csv b.csv --json", 0);
    let warning = string(&object["warnings"][0]);
    assert_holds(warning, "warning", "1 measurement at the browser");
    room.write("b.csv", room.read("b.csv").replace("browser", "device"));
    let did = room.run("compare a.csv b.csv");
    assert!(!did.err.contains("different places"), "{}", did.err);
}

/// Forces, readings and seatings of a measurement as its plain form has them.
fn plain_rows(room: &Room, file: &str) -> Vec<String> {
    let out = format!("{file}.plain.csv");
    room.ends(&["check", file, "--rewrite", &out, "--force"], 0);
    let text = room.read(&out);
    let rows = text
        .lines()
        .filter(|line| line.starts_with(|c: char| c.is_ascii_digit()));
    rows.map(str::to_owned).collect()
}

#[test]
fn every_measurement_that_a_command_writes_reads_back() {
    let room = Room::new();
    for name in ["placed.csv", "rig.toml", "readings.txt", "dunlin-01.csv"] {
        room.demo(name);
    }
    // A bench that leans: the files must say which force they hold.
    let rig = room.read("rig.toml");
    room.write(
        "rig.toml",
        rig.replace("\ntilt_deg = 0\n", "\ntilt_deg = 12\n"),
    );
    for args in [
        "bench convert placed.csv --rig rig.toml --out converted.csv",
        "bench record recorded.csv --from readings.txt --forces 5gf,20gf,60gf --settle 20",
        "check dunlin-01.csv --rewrite rewritten.csv",
        "check dunlin-01.csv --rewrite rewritten.toml",
        "check converted.csv --rewrite converted.toml",
    ] {
        // Where a person presses Enter, as at the bench; most commands read nothing.
        typed(&room, args, "\n\n\n\n").ended(0);
    }
    let converted = room.read("converted.csv");
    let remarks = ["# force_acts = along-stylus", "# tilt_deg = 12"];
    assert_holds(&converted, "converted.csv", remarks);
    let files = "converted.csv converted.toml recorded.csv rewritten.csv rewritten.toml";
    for file in files.split(' ') {
        let rows = plain_rows(&room, file);
        assert!(rows.len() >= 3, "{file}");
        // The plain form of the plain form is the same.
        let again = plain_rows(&room, &format!("{file}.plain.csv"));
        assert_eq!(again, rows, "{file}");
    }
    for (one, other) in [
        ("converted.csv", "converted.toml"),
        ("rewritten.csv", "rewritten.toml"),
        ("dunlin-01.csv", "rewritten.csv"),
    ] {
        assert_eq!(plain_rows(&room, one), plain_rows(&room, other));
    }
}

#[test]
fn hands_and_targets_read_at_another_place_are_told() {
    let room = Room::new();
    room.write("m.csv", with(&room, "# read_at = device\n"));
    let strokes: String = (0..400_u32)
        .map(|step| {
            let (x, stroke) = (step % 40, step / 40);
            let press = f64::from(40 + step % 50);
            format!("{x},{stroke},{},{press},{stroke}\n", step * 5)
        })
        .collect();
    let header = "x,y,t_ms,reported_percent,stroke";
    let taken = |place: &str| format!("# read_at: {place}\n{header}\n{strokes}");
    for (place, is_told) in [("browser", true), ("device", false)] {
        room.write("strokes.csv", taken(place));
        room.write("like.csv", with(&room, &format!("# read_at = {place}\n")));
        for (args, told) in [
            ("hand strokes.csv --stylus m.csv", "taken at the browser"),
            (
                "map m.csv --full-at 150gf --target like:like.csv",
                "the one to be like at the browser",
            ),
        ] {
            let did = room.ends(args, 0);
            assert_eq!(did.err.contains(told), is_told, "{}", did.err);
        }
    }
    let home = taken("home").replace("read_at:", "read_at =");
    room.write("strokes.csv", home);
    room.ends("hand strokes.csv --stylus m.csv", 2);
}
