//! Saved maps that come from elsewhere: another version, another format, another hand, another name.

use crate::bench_room::{Room, assert_holds, items, line_of, number, string};
use crate::support::cases::rows;

const VERSION: &str = env!("CARGO_PKG_VERSION");

/// A room with a saved map, and the map's text.
fn saved(receiver: &str) -> (Room, String) {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    room.ends(&mapped(receiver), 0);
    let text = room.read("map.toml");
    (room, text)
}

/// The command that saves a map for a receiver.
fn mapped(receiver: &str) -> String {
    let map = "map dunlin-01.csv --full-at 120gf --resamples 50";
    format!("{map} --receiver {receiver} --out map.toml")
}

/// Outputs to verify a map with.
const CHECKS: &str = "force_gf,output_percent\n20,10\n";

/// Everything that reads a map.
const READERS: [&str; 5] = [
    "export map.toml --as csv",
    "preview map.toml --out sheet.svg",
    "verify map.toml checks.csv",
    "map --reproduce map.toml",
    "map dunlin-01.csv --full-at 90gf --before map.toml",
];

#[test]
fn a_map_of_a_later_format_is_told_as_such_whatever_else_it_holds() {
    let (room, text) = saved("segments-8");
    let later = text
        .replace("format = 1", "format = 3")
        .replace(&format!("version = \"{VERSION}\""), "version = \"7.1.0\"")
        .replace("[settings]", "[wishes]")
        .replace("seed = 1", "seed = \"one\"");
    room.write("map.toml", later);
    room.write("checks.csv", CHECKS);
    for args in READERS {
        let did = room.ends(args, 2);
        did.assert_said([
            "map.toml:2:10",
            "a map of format 3, written by evenhand 7.1.0",
            &format!("format 1, which evenhand {VERSION} reads"),
            "make the map again from its measurement",
        ]);
        assert!(!did.said().contains("wishes"), "{}", did.err);
    }
    let object = room.json("export map.toml --as csv --json", 2);
    assert_eq!(items(&object["faults"]).len(), 1, "{object}");
    assert_eq!(object["faults"][0]["line"], 2);
}

#[test]
fn a_map_of_another_version_is_reproduced_or_its_changes_are_listed() {
    let (room, text) = saved("segments-8");
    let own = format!("version = \"{VERSION}\"");
    assert!(text.contains(&own), "{text}");
    let reproduce = "map --reproduce map.toml";
    let other = text.replace(&own, "version = \"0.0.9\"");
    for only_version in [other.clone(), text.replace(VERSION, "0.0.9")] {
        room.write("map.toml", only_version);
        let did = room.ends(reproduce, 0);
        did.assert_out(["the same but the version", "0.0.9"]);
        room.json(&format!("{reproduce} --json"), 0);
    }
    // Figures and points as another version might have found them.
    let line = |key: &str| {
        let line = text.lines().find(|line| line.starts_with(key));
        line.unwrap().to_owned()
    };
    let points = line("control_points");
    let moved = points.replacen("], [", "], [0.001, 0.0005], [", 1);
    let changed = other
        .replace(&line("max_error"), "max_error = 0.25")
        .replace(&points, &moved);
    room.write("map.toml", &changed);
    let did = room.ends(reproduce, 1);
    let builds = format!("evenhand {VERSION} builds");
    did.assert_said(["written by evenhand 0.0.9", &builds]);
    did.assert_out([
        "max_error: 0.25 → 0.00",
        "control point 2, input: 0.001 → ",
        "control point 9, output: 1 → none",
    ]);
    assert!(!did.out.contains("rms_error"), "{}", did.out);
    let object = room.json(&format!("{reproduce} --json"), 1);
    assert_eq!(object["written_by"], "0.0.9");
    assert_eq!(object["rebuilt_by"], VERSION);
    let changes = items(&object["changes"]);
    assert_eq!(changes[0]["figure"], "max_error");
    assert_eq!(number(&changes[0]["saved"]), 0.25);
    assert!(number(&changes[0]["rebuilt"]) < 0.01, "{object}");
    assert!(string(&object["error"]["message"]).contains("0.0.9"));

    // The same by this version is an edit by hand.
    room.write("map.toml", changed.replace("version = \"0.0.9\"", &own));
    let did = room.ends(reproduce, 1);
    did.assert_said("edited by hand");
    did.assert_out("max_error: 0.25 → 0.00");
    room.write("map.toml", text + "# mine\n");
    let did = room.ends(reproduce, 1);
    did.assert_said("no figure by its first six digits");
}

/// The text of a map with one of its points moved to where its receiver takes it as well.
fn moved(receiver: &str, text: &str) -> String {
    let line = text
        .lines()
        .find(|line| line.starts_with("control_points"))
        .unwrap();
    let list = line.trim_start_matches("control_points = ");
    let mut points: Vec<[f64; 2]> = serde_json::from_str(list).unwrap();
    match receiver {
        // Its second point is the ceiling.
        "power" => points[1][0] -= 0.05,
        "table-256" => points[100][1] = points[101][1],
        // On any grid of percent.
        _ => points[1][1] = (points[1][1] * 100.0).round() / 100.0 + 0.02,
    }
    let list = serde_json::to_string(&points).unwrap();
    text.replace(line, &format!("control_points = {list}"))
}

#[test]
fn points_edited_by_hand_are_noticed_wherever_they_are_used() {
    for receiver in [
        "segments-8",
        "segments-8-percent",
        "bezier",
        "power",
        "table-256",
    ] {
        let (room, text) = saved(receiver);
        let uses = |name: &str| {
            let export = format!("export {name} --as csv");
            let preview = format!("preview {name} --out s.svg --force");
            [export, preview].map(|args| room.ends(&args, 0))
        };
        for did in uses("map.toml") {
            assert_eq!(did.err, "", "{receiver}: a map of ours is not suspected");
        }
        let edited = moved(receiver, &text);
        assert_ne!(edited, text, "{receiver}");
        room.write("edited.toml", &edited);
        let said = [
            "warning: edited.toml",
            "edited by hand",
            "make the map again",
        ];
        for did in uses("edited.toml") {
            assert_holds(&did.err, receiver, said);
        }
        let sheet = "preview edited.toml --out s.svg --force --json";
        let object = room.json(sheet, 0);
        assert!(string(&object["warnings"][0]).contains("edited by hand"));
        // What is written to a file is told as well, and quiet is quiet.
        let card = room.run("export edited.toml --as card --out card.txt");
        assert_holds(&card.err, receiver, "edited by hand");
        let quiet = room.run("export edited.toml --as card --out quiet.txt --quiet");
        assert_eq!((quiet.code, quiet.err.as_str()), (0, ""), "{receiver}");
    }
}

#[test]
fn settings_edited_by_hand_are_noticed_too() {
    let (room, text) = saved("segments-8");
    room.write(
        "map.toml",
        text.replacen("full_at_gf = 120.0", "full_at_gf = 90.0", 1),
    );
    let did = room.ends("export map.toml --as css", 0);
    did.assert_err("full_at_gf is saved as 120");
}

#[test]
fn every_reader_of_maps_has_one_list_of_interpolations() {
    let (room, text) = saved("segments-8");
    room.write("checks.csv", CHECKS);
    let line = line_of(&text, "interpolation");
    for (word, near) in [
        ("natural", "natural-cubic"),
        ("Linear", "linear"),
        ("catmull_rom", "catmull-rom"),
        ("monotone", "monotone-cubic"),
    ] {
        let from = "interpolation = \"linear\"";
        room.write(
            "map.toml",
            text.replacen(from, &format!("interpolation = \"{word}\""), 1),
        );
        for args in READERS {
            // Lines are broken after hyphens too.
            let said = room.ends(args, 2).said().replace("- ", "-");
            assert_holds(
                &said,
                args,
                [
                    &format!("map.toml:{line}:17"),
                    "linear, monotone-cubic, catmull-rom, natural-cubic, cubic-bezier, power, table",
                    &format!("write interpolation = \"{near}\""),
                ],
            );
        }
    }
    // The names of the list are those of receivers, of their maps, and of what is printed of them.
    for (receiver, name) in [
        ("segments-8", "linear"),
        ("smooth-8", "monotone-cubic"),
        ("bezier", "cubic-bezier"),
        ("power", "power"),
        ("table-256", "table"),
    ] {
        let (room, text) = saved(receiver);
        assert_holds(&text, receiver, &format!("interpolation = \"{name}\""));
        let exported = room.json("export map.toml --as json", 0);
        assert_eq!(exported["interpolation"], name);
        let list = room.json("receivers --json", 0);
        let listed = items(&list["receivers"]).iter();
        let found = listed.clone().find(|one| one["name"] == receiver).unwrap();
        assert_eq!(found["interpolation"], name);
    }
    for name in ["catmull-rom", "natural-cubic"] {
        let room = Room::new();
        room.demo("dunlin-01.csv");
        room.write("own.toml", format!("name = \"own\"\ntitle = \"Own\"\n[curve]\nkind = \"points\"\ninterpolation = \"{name}\"\npoints = {{ min = 2, max = 5 }}\n"));
        room.ends(&mapped("own.toml"), 0);
        let sheet = room.run("preview map.toml --out s.svg");
        assert_eq!((sheet.code, sheet.err.as_str()), (0, ""), "{name}");
    }
}

/// A line of a map, what it cannot be instead, and the option that cannot be so either.
const LIMITS: &str = "
resamples = 50 | resamples = 49 | --resamples 49
resamples = 50 | resamples = 1000001 | --resamples 1000001
confidence = 0.95 | confidence = 1.0 | --confidence 1.0
confidence = 0.95 | confidence = 0 | --confidence 0
seed = 1 | seed = -1 | --seed -1
seed = 1 | seed = 1.5 | --seed 1.5
[stylus] | [stylus]⏎levels = 1 | --levels 1
[stylus] | [stylus]⏎levels = 16777217 | --levels 16777217
[settings] | [settings]⏎output_floor = 0.95 | --output-floor 0.95
[settings] | [settings]⏎hold_angle_deg = 4 | --hold-angle 4deg
";

#[test]
fn figures_in_a_file_have_the_limits_of_their_options() {
    let (room, text) = saved("segments-8");
    room.write("checks.csv", CHECKS);
    for [from, to, option] in rows(LIMITS) {
        room.ends(&format!("map dunlin-01.csv --full-at 120gf {option}"), 2);
        let edited = text.replacen(&from, &to, 1);
        assert_ne!(edited, text);
        let is_edited = |line: &str| line == to.lines().last().unwrap();
        let line = 1 + edited.lines().position(is_edited).unwrap();
        room.write("map.toml", edited);
        for args in READERS {
            let did = room.ends(args, 2);
            assert_holds(&did.said(), &to, [&format!("map.toml:{line}:"), "help:"]);
        }
    }
    // All at once.
    let edited = text
        .replace("resamples = 50", "resamples = 49")
        .replace("confidence = 0.95", "confidence = 1.0")
        .replace("seed = 1", "seed = -1");
    room.write("map.toml", edited);
    let object = room.json("export map.toml --as csv --json", 2);
    assert_eq!(items(&object["faults"]).len(), 3, "{object}");
}

/// Names that are not Unicode.
#[cfg(unix)]
mod odd_names {
    use std::ffi::{OsStr, OsString};
    use std::os::unix::ffi::OsStrExt as _;

    use super::{Room, items};

    const ODD: &[u8] = b"gr\xf6\xdfe";

    fn odd(ending: &str) -> OsString {
        let mut name = OsStr::from_bytes(ODD).to_owned();
        name.push(ending);
        name
    }

    fn map(file: &OsStr, out: &OsStr, more: &[&str]) -> Vec<OsString> {
        let mut args: Vec<OsString> = ["map", "--full-at", "120gf", "--resamples", "50", "--out"]
            .map(OsString::from)
            .to_vec();
        args.extend([out.to_owned(), file.to_owned()]);
        args.extend(more.iter().map(OsString::from));
        args
    }

    #[test]
    fn a_measurement_that_a_map_cannot_name_is_refused_and_its_map_printed() {
        let room = Room::new();
        room.demo("dunlin-01.csv");
        let file = odd(".csv");
        let folder = room.path("");
        if std::fs::rename(room.path("dunlin-01.csv"), folder.join(&file)).is_err() {
            // Some file systems have no such names.
            return;
        }
        let did = room
            .run_os(&map(&file, OsStr::new("map.toml"), &[]))
            .ended(2);
        did.assert_out("worst error");
        assert!(!did.out.contains("saved as"), "{}", did.out);
        did.assert_said(["not Unicode text", "help: rename"]);
        assert!(!room.path("map.toml").exists());
        let json = map(&file, OsStr::new("map.toml"), &["--json"]);
        let did = room.run_os(&json).ended(2);
        let object: serde_json::Value = serde_json::from_str(&did.out).unwrap();
        assert!(items(&object["control_points"]).len() > 2);
        assert_eq!(items(&object["faults"]).len(), 1, "{object}");
    }

    #[test]
    fn a_folder_that_is_not_unicode_is_no_hindrance_where_map_and_measurement_share_it() {
        let room = Room::new();
        room.demo("dunlin-01.csv");
        let folder = room.path("").join(odd(""));
        if std::fs::create_dir(&folder).is_err() {
            return;
        }
        let file = folder.join("dunlin-01.csv");
        std::fs::rename(room.path("dunlin-01.csv"), &file).unwrap();
        let out = folder.join("map.toml");
        room.run_os(&map(file.as_os_str(), out.as_os_str(), &[]))
            .ended(0);
        let again = ["map".as_ref(), "--reproduce".as_ref(), out.as_os_str()];
        room.run_os(&again).ended(0);
    }
}
