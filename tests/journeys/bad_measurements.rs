//! Every wrong file gets its place, what was found and what to write instead; nothing is written.

use crate::bench_room::Room;

/// A wrong file: name, bytes, the place that must be named, and words that must appear.
struct Wrong {
    name: &'static str,
    bytes: Vec<u8>,
    place: &'static str,
    words: &'static [&'static str],
}

fn wrong(
    name: &'static str,
    text: &str,
    place: &'static str,
    words: &'static [&'static str],
) -> Wrong {
    Wrong {
        name,
        bytes: text.as_bytes().to_vec(),
        place,
        words,
    }
}

/// Checks one wrong file through `fit`, `map` and `check`.
fn refused(case: &Wrong) {
    let room = Room::new();
    room.write(case.name, &case.bytes);
    for args in [
        vec!["fit", case.name],
        vec!["map", case.name, "--full-at", "150gf", "--out", "map.toml"],
        vec!["check", case.name],
    ] {
        let did = room.ends(&args, 2);
        let told = did.err.split_whitespace().collect::<Vec<_>>().join(" ");
        let place = format!("{}{}", case.name, case.place);
        assert!(
            told.contains(&place),
            "{args:?} must name {place}:\n{}",
            did.err
        );
        assert!(
            told.contains("help:"),
            "{args:?} must say what to write:\n{}",
            did.err
        );
        for word in case.words {
            assert!(
                told.contains(word),
                "{args:?} must say `{word}`:\n{}",
                did.err
            );
        }
        assert_eq!(room.names(), [case.name], "{args:?} must write nothing");
    }
    let object = room.json(&["fit", case.name, "--json"], 2);
    let fault = &object["faults"][0];
    assert_eq!(fault["file"], case.name);
    if let Some(line) = case.place.split(':').nth(1) {
        assert_eq!(fault["line"].to_string(), line);
    }
    for key in ["found", "remedy"] {
        assert!(!fault[key].as_str().unwrap().is_empty(), "{object}");
    }
}

#[test]
fn empty_file() {
    refused(&wrong("m.csv", "", "", &["empty"]));
    refused(&wrong("m.toml", "", "", &[]));
}

#[test]
fn header_only() {
    refused(&wrong(
        "m.csv",
        "force_gf,reported_percent\n",
        "",
        &["no samples"],
    ));
}

#[test]
fn not_a_number_and_infinite() {
    refused(&wrong(
        "m.csv",
        "force_gf,reported_percent\n1,0\n2,NaN\n",
        ":3:3",
        &["NaN"],
    ));
    refused(&wrong(
        "m.csv",
        "force_gf,reported_percent\n1,0\ninf,5\n",
        ":3:1",
        &["inf"],
    ));
    refused(&wrong(
        "m.toml",
        "[bench]\nforce = \"gf\"\nreading = \"percent\"\n[[seating]]\nsamples = [[1, 0], [2, nan]]\n",
        ":5:",
        &["nan"],
    ));
}

#[test]
fn negative_force() {
    refused(&wrong(
        "m.csv",
        "force_gf,reported_percent\n-1,0\n2,5\n",
        ":2:1",
        &["-1"],
    ));
}

#[test]
fn reading_above_full_scale() {
    refused(&wrong(
        "m.csv",
        "force_gf,reported_percent\n1,0\n2,104\n",
        ":3:3",
        &["104"],
    ));
    refused(&wrong(
        "m.csv",
        "# levels = 1024\nforce_gf,reported_raw\n1,0\n2,1024\n",
        ":4:3",
        &["1023"],
    ));
}

#[test]
fn wrong_or_missing_unit() {
    refused(&wrong(
        "m.csv",
        "force,reported_percent\n1,0\n",
        ":1:1",
        &["force_gf"],
    ));
    refused(&wrong(
        "m.csv",
        "force_kg,reported_percent\n1,0\n",
        ":1:1",
        &["force_gf"],
    ));
    refused(&wrong(
        "m.csv",
        "force_gf,reading\n1,0\n",
        ":1:10",
        &["reported"],
    ));
    refused(&wrong(
        "m.csv",
        "force_gf,reported_raw\n1,0\n2,9\n",
        ":1",
        &["levels"],
    ));
}

#[test]
fn two_force_columns() {
    refused(&wrong(
        "m.csv",
        "force_gf,force_n,reported_percent\n1,1,0\n",
        ":1:10",
        &["force_n", "force_gf"],
    ));
}

#[test]
fn binary_file_and_folder() {
    let mut bytes = b"force_gf,reported_percent\n".to_vec();
    bytes.extend([0, 159, 146, 150, 0, 1]);
    refused(&Wrong {
        name: "m.csv",
        bytes,
        place: "",
        words: &[],
    });
    let room = Room::new();
    std::fs::create_dir(room.path("bench")).unwrap();
    for args in [vec!["fit", "bench"], vec!["fit", "nowhere.csv"]] {
        let did = room.ends(&args, 2);
        assert!(did.err.contains(args[1]), "{}", did.err);
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
    let did = room.ends("fit huge.csv", 2);
    assert!(
        did.err.contains("huge.csv") && did.err.contains("MiB"),
        "{}",
        did.err
    );
}

#[test]
fn one_sample() {
    let room = Room::new();
    room.write("m.csv", "force_gf,reported_percent\n100,40\n");
    let did = room.ends("fit m.csv", 2);
    assert!(
        did.err.contains("m.csv") && did.err.contains("1 sample"),
        "{}",
        did.err
    );
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
    let did = room.ends("map dunlin-01.csv --full-at 150gf --receiver nothing", 2);
    did.assert_err("segments-8");
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
        assert!(!fault["found"].as_str().unwrap().is_empty(), "{object}");
        assert!(fault["file"].is_null(), "{object}");
    }
}
