//! `evenhand receivers`: list, show, validate.

use crate::bench_room::{Room, items, project};

#[test]
fn lists_and_shows_what_is_shipped() {
    let room = Room::new();
    let list = room.ends("receivers", 0);
    for name in ["segments-8", "smooth-8", "bezier", "power", "table-256"] {
        list.assert_out(name);
        room.ends(&["receivers", name], 0)
            .assert_out([name, "[curve]"]);
    }
    let object = room.json("receivers --json", 0);
    assert!(items(&object["receivers"]).len() >= 8);
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
        did.assert_said([&format!("mine.toml{place}"), word, "help:"]);
    }
    room.ends("receivers segments-7", 2);
}
