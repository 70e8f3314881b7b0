//! Every wrong file gets its place, what was found and what to write instead; nothing is written.

use crate::bench_room::{Room, string};
use crate::support::cases::{listed, rows};

/// Checks one wrong file through `fit`, `map` and `check`: the place that must be named, and words that must appear.
fn refused(name: &str, bytes: impl AsRef<[u8]>, place: &str, words: &str) {
    let room = Room::new();
    room.write(name, bytes);
    let named = format!("{name}{place}");
    for args in [
        format!("fit {name}"),
        format!("map {name} --full-at 150gf --out map.toml"),
        format!("check {name}"),
    ] {
        let did = room.ends(&args, 2);
        did.assert_said([&named, "help:"]);
        did.assert_said(listed(words));
        assert_eq!(room.names(), [name], "{args:?} must write nothing");
    }
    let object = room.json(&["fit", name, "--json"], 2);
    let fault = &object["faults"][0];
    assert_eq!(fault["file"], name);
    if let Some(line) = place.split(':').nth(1) {
        assert_eq!(fault["line"].to_string(), line);
    }
    for key in ["found", "remedy"] {
        assert!(!string(&fault[key]).is_empty(), "{object}");
    }
}

/// Wrong tables with the place behind the file's name and what must be said, words apart by ` & `; `⏎` ends a line.
const WRONG: &str = "
 |  | empty
force_gf,reported_percent⏎ |  | no samples
force_gf,reported_percent⏎1,0⏎2,NaN⏎ | :3:3 | NaN
force_gf,reported_percent⏎1,0⏎inf,5⏎ | :3:1 | inf
force_gf,reported_percent⏎-1,0⏎2,5⏎ | :2:1 | -1
force_gf,reported_percent⏎1,0⏎2,104⏎ | :3:3 | 104
# levels = 1024⏎force_gf,reported_raw⏎1,0⏎2,1024⏎ | :4:3 | 1023
force,reported_percent⏎1,0⏎ | :1:1 | force_gf
force_kg,reported_percent⏎1,0⏎ | :1:1 | force_gf
force_gf,reading⏎1,0⏎ | :1:10 | reported
force_gf,reported_raw⏎1,0⏎2,9⏎ | :1 | levels
force_gf,force_n,reported_percent⏎1,1,0⏎ | :1:10 | force_n & force_gf
";

#[test]
fn wrong_tables_are_refused_with_their_place() {
    for [table, place, words] in rows(WRONG) {
        refused("m.csv", &table, &place, &words);
    }
}

#[test]
fn wrong_toml_files_are_refused_with_their_place() {
    refused("m.toml", "", "", "");
    let infinite = "[bench]\nforce = \"gf\"\nreading = \"percent\"\n[[seating]]\nsamples = [[1, 0], [2, nan]]\n";
    refused("m.toml", infinite, ":5:", "nan");
}

#[test]
fn binary_file_and_folder() {
    let mut bytes = b"force_gf,reported_percent\n".to_vec();
    bytes.extend([0, 159, 146, 150, 0, 1]);
    refused("m.csv", bytes, "", "");
    let room = Room::new();
    std::fs::create_dir(room.path("bench")).unwrap();
    for name in ["bench", "nowhere.csv"] {
        room.refuses(&["fit", name], name);
    }
}

#[test]
fn huge_file() {
    let room = Room::new();
    let path = room.path("huge.csv");
    // Sparse on most file systems: the size is what counts.
    std::fs::File::create(&path)
        .unwrap()
        .set_len(200 << 20)
        .unwrap();
    room.refuses("fit huge.csv", ["huge.csv", "MiB"]);
}

#[test]
fn one_sample() {
    let room = Room::new();
    room.write("m.csv", "force_gf,reported_percent\n100,40\n");
    room.refuses("fit m.csv", ["m.csv", "1 sample"]);
}

#[test]
fn no_map_is_written_for_a_bad_receiver_or_a_bare_force() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    let did = room.ends("map dunlin-01.csv --full-at 150 --out map.toml", 2);
    assert!(
        did.err.contains("150gf") && did.err.contains("1.8N") | did.err.contains("150N"),
        "{}",
        did.err
    );
    let unknown = "map dunlin-01.csv --full-at 150gf --receiver nothing";
    room.refuses(unknown, "segments-8");
    assert_eq!(room.names(), ["dunlin-01.csv"]);
}

#[test]
fn faults_of_usage_are_json_too() {
    let room = Room::new();
    for args in [
        "fit --json",
        "fit m.csv --no-such-option --json",
        "map m.csv --full-at 150 --json",
        "--json",
    ] {
        let object = room.json(args, 2);
        let fault = &object["faults"][0];
        assert!(!string(&fault["found"]).is_empty(), "{object}");
        assert!(fault["file"].is_null(), "{object}");
    }
}
