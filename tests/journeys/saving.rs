//! Saving replaces nothing by accident and leaves nothing half written.

use crate::bench_room::{Room, Words as _, did};
#[cfg(unix)]
use crate::bench_stream::fifo;

const MAP: &str = "map dunlin-01.csv --full-at 150gf --out map.toml";

#[test]
fn an_existing_target_is_kept_unless_forced() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    room.write("map.toml", "mine");
    room.refuses(MAP, ["map.toml", "--force"]);
    assert_eq!(room.read("map.toml"), "mine");
    room.ends(&format!("{MAP} --force"), 0);
    assert!(room.read("map.toml").contains("format = 1"));
    assert_eq!(room.names(), ["dunlin-01.csv", "map.toml"]);
}

#[test]
fn an_unwritable_target_is_told_and_nothing_is_left() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    std::fs::create_dir(room.path("folder")).unwrap();
    let map = "map dunlin-01.csv --full-at 150gf";
    for target in [
        "no/such/folder/map.toml",
        "folder",
        "dunlin-01.csv/map.toml",
    ] {
        room.refuses(&format!("{map} --out {target} --force"), target);
    }
    assert_eq!(room.names(), ["dunlin-01.csv", "folder"]);
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_device_is_told() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    let full = std::fs::File::create("/dev/full").unwrap();
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_evenhand"))
        .args(["fit", "--json"])
        .arg(room.path("dunlin-01.csv"))
        .stdout(full)
        .output()
        .unwrap();
    did(&"fit to a full device", &output)
        .ended(2)
        .assert_err("could not be written");
}

#[cfg(unix)]
#[test]
fn a_reader_that_leaves_early_is_no_fault() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    let mut child = std::process::Command::new(env!("CARGO_BIN_EXE_evenhand"))
        .args(["fit", "--json"])
        .arg(room.path("dunlin-01.csv"))
        .stdout(std::process::Stdio::piped())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    did(&"fit to a reader that leaves", &output).ended(0);
}

/// Killed at any moment, the target is whole: either the old text or the new one.
#[test]
fn a_kill_in_the_middle_leaves_the_old_or_the_new_file() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    room.ends(MAP, 0);
    let new = room.read("map.toml");
    for delay in 0..40_u64 {
        room.write("map.toml", "the old text");
        let mut child = std::process::Command::new(env!("CARGO_BIN_EXE_evenhand"))
            .current_dir(room.path("."))
            .args(MAP.words())
            .args(["--force", "--quiet"])
            .spawn()
            .unwrap();
        std::thread::sleep(std::time::Duration::from_millis(delay * 5));
        let _ = child.kill();
        child.wait().unwrap();
        let found = room.read("map.toml");
        assert!(
            found == "the old text" || found == new,
            "half a file after {delay} steps"
        );
    }
}

/// Every command that writes a file, with its target last.
const WRITERS: [&str; 7] = [
    "map dunlin-01.csv --full-at 150gf --force --out",
    "fit dunlin-01.csv --force --chart",
    "export map.toml --as csv --force --out",
    "export map.toml --as card --force --out",
    "preview map.toml --force --out",
    "compare dunlin-01.csv --force --chart",
    "bench convert placed.csv --rig rig.toml --force --out",
];

fn furnished() -> Room {
    let room = Room::new();
    for name in ["dunlin-01.csv", "placed.csv", "rig.toml"] {
        room.demo(name);
    }
    room.ends(MAP, 0);
    room
}

#[cfg(unix)]
#[test]
fn a_pipe_is_no_file_and_stays_a_pipe() {
    use std::os::unix::fs::FileTypeExt as _;

    let room = furnished();
    // The ending of a picture, for those that draw one.
    fifo(&room, "pipe.svg");
    std::fs::hard_link(room.path("pipe.svg"), room.path("pipe.html")).unwrap();
    let page = "compare dunlin-01.csv --force --report pipe.html".to_owned();
    for args in WRITERS
        .map(|args| format!("{args} pipe.svg"))
        .iter()
        .chain([&page])
    {
        room.refuses(args, "not a file");
        let pipe = std::fs::metadata(room.path("pipe.svg")).unwrap();
        assert!(pipe.file_type().is_fifo(), "{args}");
    }
}

/// Nobody waits for a pipe to be written to only to find out whether it is the target.
#[cfg(unix)]
#[test]
fn a_pipe_that_nobody_writes_to_holds_nothing_up() {
    let room = furnished();
    fifo(&room, "pipe");
    room.write("old.svg", "old");
    for args in [
        "fit pipe --force --chart old.svg",
        "bench convert pipe --rig rig.toml --force --out old.svg",
        "bench record pipe --from placed.csv",
    ] {
        let output = assert_cmd::Command::new(env!("CARGO_BIN_EXE_evenhand"))
            .current_dir(room.path("."))
            .args(args.words())
            .timeout(std::time::Duration::from_secs(60))
            .output()
            .unwrap();
        assert_eq!(output.status.code(), Some(2), "{args:?}");
    }
    assert_eq!(room.read("old.svg"), "old");
}

#[test]
fn what_is_read_is_not_replaced_by_what_comes_of_it() {
    let room = furnished();
    // Under another name it is the same file.
    for (name, other) in [
        ("dunlin-01.csv", "dunlin.svg"),
        ("map.toml", "map.svg"),
        ("rig.toml", "rig.svg"),
    ] {
        std::fs::hard_link(room.path(name), room.path(other)).unwrap();
    }
    let targets = [
        "dunlin-01.csv dunlin.svg",
        "dunlin.svg",
        "map.toml map.svg",
        "map.svg",
        "map.svg dunlin.svg",
        "dunlin.svg",
        "placed.csv rig.toml rig.svg",
    ];
    for (args, targets) in WRITERS.iter().zip(targets) {
        for target in targets.split(' ') {
            let before = room.bytes(target);
            room.refuses(&format!("{args} {target}"), "read for this");
            assert_eq!(room.bytes(target), before, "{args} {target}");
        }
    }
    // Curves and wishes that are files are read too.
    let args = "map dunlin-01.csv --full-at 150gf --after map.toml --out map.toml --force";
    room.refuses(args, "read for this");
}
