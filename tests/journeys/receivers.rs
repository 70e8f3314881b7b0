//! `evenhand receivers`: list, show, validate.

use crate::bench_room::{Room, project};

#[test]
fn lists_and_shows_what_is_shipped() {
    let room = Room::new();
    let list = room.run("receivers");
    assert_eq!(list.code, 0);
    for name in ["segments-8", "smooth-8", "bezier", "power", "table-256"] {
        assert!(list.out.contains(name), "{name} is missing:\n{}", list.out);
        let shown = room.run(&["receivers", name]);
        assert_eq!(shown.code, 0);
        assert!(
            shown.out.contains(name) && shown.out.contains("[curve]"),
            "{}",
            shown.out
        );
    }
    let object = room.json("receivers --json", 0);
    assert!(object["receivers"].as_array().unwrap().len() >= 8);
}

#[test]
fn every_shipped_file_validates_by_path() {
    let room = Room::new();
    let mut seen = 0;
    for entry in std::fs::read_dir(project().join("profiles/receivers")).unwrap() {
        let path = entry.unwrap().path();
        room.ends(&["receivers", path.to_str().unwrap()], 0);
        seen += 1;
    }
    assert!(seen >= 8);
}

#[test]
fn a_wrong_receiver_file_is_refused_with_its_place() {
    let room = Room::new();
    let right = "name = \"mine\"\ntitle = \"Mine\"\n[curve]\nkind = \"points\"\ninterpolation = \"linear\"\npoints = { min = 2, max = 4 }\n";
    room.write("mine.toml", right);
    room.ends("receivers mine.toml", 0);
    for (from, to, place, word) in [
        ("max = 4", "max = 1", ":6:", "1"),
        ("interpolation", "interpolatoin", ":5:", "interpolation"),
        ("\"points\"", "\"dots\"", ":4:", "points"),
        ("\"linear\"", "\"wavy\"", ":5:", "linear"),
        ("[curve]", "[curve", ":3:", ""),
    ] {
        room.write("mine.toml", right.replacen(from, to, 1));
        let did = room.ends("receivers mine.toml", 2);
        let told = did.err.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(
            told.contains(&format!("mine.toml{place}")),
            "{to} at {place}:\n{}",
            did.err
        );
        assert!(
            told.contains(word) && told.contains("help:"),
            "{to}:\n{}",
            did.err
        );
    }
    room.ends("receivers segments-7", 2);
}
