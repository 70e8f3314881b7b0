//! What files say is shown, but steers no terminal and turns no writing around: escape and direction characters in
//! every text field of every format, and in the names of files, are never printed as they are.

use crate::bench_room::{Room, Words};

/// Red from here on, and right to left from here on.
const STEERS: &str = "A\u{1b}[31mB\u{202e}C";
/// The same where a file has it as an escape.
const ESCAPED: &str = "A\\u001b[31mB\\u202eC";

fn assert_clean(text: &str, what: &str) {
    for steering in ['\u{1b}', '\u{202e}'] {
        assert!(
            !text.contains(steering),
            "{what} holds {steering:?} as it is:\n{}",
            text.escape_debug()
        );
    }
}

/// Runs, and looks at all that is printed; gives the exit code and standard output.
fn run(room: &Room, args: impl Words) -> (i32, String) {
    let did = room.run(args);
    assert_clean(&did.out, &format!("standard output of {args:?}"));
    assert_clean(&did.err, &format!("standard error of {args:?}"));
    (did.code, did.out)
}

/// Runs as text and as JSON, with whatever code.
fn run_both(room: &Room, args: &str) {
    run(room, args);
    run(room, &format!("{args} --json"));
}

/// Runs as text and as JSON; both have to end with this code.
#[track_caller]
fn both(room: &Room, args: impl Words, code: i32) -> serde_json::Value {
    let (found, out) = run(room, args);
    assert_eq!(found, code, "{args:?}\n{out}");
    let mut json = args.words();
    let writes = json.iter().any(|word| word == "--out" || word == "--chart");
    json.push("--json".to_owned());
    json.extend(writes.then(|| "--force".to_owned()));
    let (found, out) = run(room, &json);
    assert_eq!(found, code, "{json:?}\n{out}");
    // A form that is data of its own stays that.
    serde_json::from_str(&out).unwrap_or_default()
}

/// A measurement with steering characters in every remark.
fn measurement(room: &Room, name: &str) {
    room.demo("dunlin-01.csv");
    let demo = room.read("dunlin-01.csv");
    let rows = &demo[demo.find("force_gf").unwrap()..];
    let remarks: String = ["model", "unit", "date", "bench", "lever", "notes", "batch"]
        .iter()
        .map(|key| format!("# {key} = {STEERS}\n"))
        .collect();
    room.write(name, format!("# {STEERS}\n{remarks}{rows}"));
}

#[test]
fn measurements_and_all_that_is_made_of_them() {
    let room = Room::new();
    let csv = format!("{STEERS}.csv");
    measurement(&room, &csv);
    both(&room, &["fit", &csv], 0);
    both(&room, &["check", &csv], 0);
    both(&room, &["fit", &csv, "--chart", "fit.svg"], 0);
    assert_clean(&room.read("fit.svg"), "the chart of a fit");
    room.demo("dunlin-03.toml");
    let quoted = format!("\"{ESCAPED}\"");
    let more = format!("{quoted}\nname = {quoted}\nnotes = {quoted}");
    let toml = room
        .read("dunlin-03.toml")
        .replace("\"Dunlin\"", &quoted)
        .replace("\"03\"", &quoted)
        .replace("\"2026-03-03\"", &more)
        .replace("\"beam 300 mm, nib at 100 mm\"", &quoted);
    room.write("m.toml", &toml);
    both(&room, "fit m.toml", 0);
    let compare = format!("compare {csv} m.toml");
    let page = format!("{compare} --report page.html --chart all.svg");
    let (code, out) = run(&room, &page);
    assert_eq!(code, 0, "{out}");
    assert!(out.contains("A\u{fffd}[31mB\u{fffd}C"), "{out}");
    for name in ["page.html", "all.svg"] {
        assert_clean(&room.read(name), name);
    }
    for of in ["groups", "units"] {
        let chart = format!("{compare} --chart of.svg --chart-of {of} --force");
        assert_eq!(run(&room, &chart).0, 0);
        assert_clean(&room.read("of.svg"), of);
    }
    both(&room, &compare, 0);
    // A name that is nearly one of them is answered with that.
    let near = format!("{STEERS} {STEERS}x");
    run(&room, &["compare", "m.toml", "--exclude", &near]);
    run(&room, &["compare", "m.toml", "--like", &near]);
    // Nor is what is wrong with a file a way out.
    for broken in [
        format!("# model = {STEERS}\nforce_gf,{STEERS}\n1,2\n"),
        format!("force_gf,reported_percent\n1,{STEERS}\n"),
        format!("# {STEERS} = {STEERS}\nforce_gf,reported_percent,{STEERS}\n1,2,3\n1,2\n"),
        format!("# levels = {STEERS}\nforce_gf,reported_raw\n1,2\n"),
    ] {
        room.write("broken.csv", broken);
        for command in ["fit", "check", "compare"] {
            run_both(&room, &format!("{command} broken.csv"));
        }
    }
    for (key, instead) in [("model", "modl"), ("\"gf\"", "\"\\u001b\\u202e\"")] {
        room.write("broken.toml", toml.replace(key, instead));
        for command in ["fit", "check"] {
            both(&room, &[command, "broken.toml"], 2);
        }
    }
}

#[test]
fn maps_and_all_that_is_made_of_them() {
    let room = Room::new();
    let csv = format!("{STEERS}.csv");
    measurement(&room, &csv);
    room.write(
        "target.toml",
        format!("name = \"t\"\ntitle = \"{ESCAPED}\"\nnotes = \"{ESCAPED}\"\n[shape]\nkind = \"points\"\npoints = [[0, 0], [0.5, 0.4], [1, 1]]\n"),
    );
    // A title of one line may turn; what steers a terminal is refused there.
    room.write(
        "receiver.toml",
        "name = \"r\"\ntitle = \"A\\u202eC\"\nnotes = \"A\\u202eC\"\n[curve]\nkind = \"points\"\ninterpolation = \"linear\"\npoints = { min = 2, max = 5 }\n",
    );
    both(&room, "receivers target.toml", 0);
    let shown = both(&room, "receivers receiver.toml", 0);
    assert_eq!(shown["title"], "A\u{202e}C");
    let (_, copy) = run(&room, &["receivers", "receiver.toml"]);
    room.write("copy.toml", copy);
    assert_eq!(both(&room, "receivers copy.toml", 0)["title"], "A\u{202e}C");
    let named = |name: &str| format!("{STEERS}-{name}.toml");
    std::fs::copy(room.path("target.toml"), room.path(&named("target"))).unwrap();
    std::fs::copy(room.path("receiver.toml"), room.path(&named("receiver"))).unwrap();
    let (target, receiver) = (named("target"), named("receiver"));
    let map = format!("map {csv} --full-at 120gf --resamples 50");
    let map = format!("{map} --target {target} --receiver {receiver} --out map.toml");
    both(&room, &map, 0);
    // What else a map says of itself.
    let text = room
        .read("map.toml")
        .replacen(
            &format!("version = \"{}\"", env!("CARGO_PKG_VERSION")),
            &format!("version = \"{ESCAPED}\""),
            1,
        )
        .replacen(
            "[source]\n",
            &format!(
                "[source]\nhand = \"{ESCAPED}\"\nhand_sha256 = \"{}\"\n",
                "0".repeat(64)
            ),
            1,
        )
        + &format!(
            "\n[strokes]\nleast_width = 1.0\ngreatest_width = 9.0\nwidth_law = \"linear\"\n[[strokes.hands]]\nname = \"{ESCAPED}\"\nforce_gf = 80.0\n"
        );
    let own = format!("{STEERS}.map.toml");
    room.write(&own, &text);
    for form in ["csv", "json", "css", "svg", "inkml", "table", "card"] {
        assert_eq!(run(&room, &["export", &own, "--as", form]).0, 0, "{form}");
    }
    let card = ["export", &own, "--as", "card", "--out", "card.svg"];
    assert_eq!(run(&room, &card).0, 0);
    assert_clean(&room.read("card.svg"), "the card");
    let sheet = both(&room, &["preview", &own, "--out", "sheet.svg"], 0);
    // The value is what the file says, however it is printed.
    assert_eq!(sheet["hands"][0]["name"], STEERS);
    assert_clean(&room.read("sheet.svg"), "the sheet");
    both(&room, &["map", "--reproduce", &own], 1);
    room.write(
        "checks.csv",
        format!("# model = {STEERS}\n# unit = {STEERS}\n# notes = {STEERS}\nforce_gf,output_percent\n20,10\n40,25\n60,45\n80,60\n100,80\n110,90\n"),
    );
    for checks in ["checks.csv", "missing\u{1b}.csv"] {
        run_both(&room, &format!("verify {own} {checks}"));
    }
    // Every key with what it cannot be, and what cannot be read at all.
    let refused = |text: String| {
        room.write("broken.toml", text);
        both(&room, "export broken.toml --as csv", 2);
    };
    for line in text.lines().filter(|line| line.contains(" = ")) {
        let (key, _) = line.split_once(" = ").unwrap();
        // TOML takes what turns writing around as it is.
        for value in [ESCAPED, "A\u{202e}C"] {
            refused(text.replacen(line, &format!("{key} = [\"{value}\", 7]"), 1));
        }
    }
    refused(text.replacen("[map]", &format!("\"{ESCAPED}\" = 1\n[map]"), 1));
    refused(text.replacen("format = 1", "format = 2", 1));
    refused(format!("{text}\n{STEERS}\n"));
    let exchanged = |name, from, to: &str| (name, room.read(name).replace(from, to));
    let quoted = format!("\"{ESCAPED}\"");
    for (name, text) in [
        exchanged("receiver.toml", "\"r\"", &quoted),
        exchanged("receiver.toml", "A\\u202eC", ESCAPED),
        exchanged("target.toml", "\"points\"", &quoted),
        ("target.toml", format!("{STEERS} = 3\n")),
    ] {
        room.write(&format!("{STEERS}-{name}"), text);
        both(&room, &["receivers", &format!("{STEERS}-{name}")], 2);
    }
    for word in [STEERS, &format!("{STEERS}.toml"), &format!("like:{STEERS}")] {
        for option in ["--target", "--receiver", "--before"] {
            let (code, _) = run(&room, &["map", &csv, "--full-at", "120gf", option, word]);
            assert_eq!(code, 2, "{option} {word:?}");
        }
    }
    both(&room, &["map", &csv, "--full-at", STEERS], 2);
}

#[test]
fn strokes_and_the_bench() {
    let room = Room::new();
    let csv = format!("{STEERS}.csv");
    measurement(&room, &csv);
    room.demo("grass.inkml");
    let ink = format!("{STEERS}.inkml");
    // The demo's comment and name, with what XML lets through: the escape character is no part of it.
    let text = room
        .read("grass.inkml")
        .replace("A visitor's page", "A\u{202e}C page")
        .replace(
            "xml:id=\"tablet\"",
            "xml:id=\"tablet\" description=\"A\u{202e}C\"",
        );
    room.write(&ink, &text);
    run_both(&room, &format!("hand {ink} --stylus {csv}"));
    for broken in [
        text.replace("name=\"F\"", "name=\"\u{202e}\""),
        format!("<ink>{STEERS}</ink>"),
    ] {
        room.write("broken.inkml", broken);
        run(&room, &["hand", "broken.inkml", "--stylus", &csv]);
    }
    room.write(
        "strokes.csv",
        format!("# {STEERS}\nx,y,t_s,reported\n0,0,0,{STEERS}\n"),
    );
    run(&room, &["hand", "strokes.csv", "--stylus", &csv]);
    room.demo("rig.toml");
    let rig = room.read("rig.toml");
    let named = format!("{STEERS}-rig.toml");
    room.write(&named, rig.replace("\"window\"", &format!("\"{ESCAPED}\"")));
    room.write(
        "placed.csv",
        format!("# model = {STEERS}\n# notes = {STEERS}\nplaced,reported_percent,{STEERS}\n5,10,{STEERS}\n10,30,x\n20,70,x\n"),
    );
    for args in ["convert placed.csv", "plan", &format!("plan {csv}")] {
        run_both(&room, &format!("bench {args} --rig {named}"));
    }
    assert_eq!(run(&room, &["bench", "plan", "--rig", &named]).0, 0);
    room.write("readings.txt", "12\n12\n12\n12\n12\n12\n12\n12\n12\n12\n");
    let record = format!("bench record {STEERS}-new.csv --from readings.txt --rig {named}");
    let labels = format!("--model {STEERS} --unit {STEERS}");
    run(&room, &format!("{record} {labels} --settle 5 --plain"));
    for (from, to) in [
        ("name = \"window\"", format!("name = [\"{ESCAPED}\"]")),
        ("tilt_deg = 0", format!("tilt_deg = \"{ESCAPED}\"")),
        ("mass_class = \"M2\"", format!("mass_class = \"{ESCAPED}\"")),
        ("hook_within_mm", format!("\"{ESCAPED}\"")),
        ("[lever]", format!("{STEERS}\n[lever]")),
    ] {
        room.write(&named, rig.replacen(from, &to, 1));
        both(&room, &["bench", "plan", "--rig", &named], 2);
    }
}
