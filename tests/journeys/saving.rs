//! Saving replaces nothing by accident and leaves nothing half written.

use crate::bench_room::Room;

const MAP: [&str; 6] = [
    "map",
    "dunlin-01.csv",
    "--full-at",
    "150gf",
    "--out",
    "map.toml",
];

#[test]
fn an_existing_target_is_kept_unless_forced() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    room.write("map.toml", "mine");
    let did = room.run(&MAP);
    assert_eq!(did.code, 2);
    assert!(
        did.err.contains("map.toml") && did.err.contains("--force"),
        "{}",
        did.err
    );
    assert_eq!(room.read("map.toml"), "mine");
    let forced = room.run(&[&MAP[..], &["--force"]].concat());
    assert_eq!(forced.code, 0, "{}", forced.err);
    assert!(room.read("map.toml").contains("format = 1"));
    assert_eq!(room.names(), ["dunlin-01.csv", "map.toml"]);
}

#[test]
fn an_unwritable_target_is_told_and_nothing_is_left() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    std::fs::create_dir(room.path("folder")).unwrap();
    for target in [
        "no/such/folder/map.toml",
        "folder",
        "dunlin-01.csv/map.toml",
    ] {
        let did = room.run(&[
            "map",
            "dunlin-01.csv",
            "--full-at",
            "150gf",
            "--out",
            target,
            "--force",
        ]);
        assert_eq!(did.code, 2, "{target}: {}", did.err);
        assert!(did.err.contains(target), "{target}: {}", did.err);
    }
    assert_eq!(room.names(), ["dunlin-01.csv", "folder"]);
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_device_is_told() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    let full = std::fs::OpenOptions::new()
        .write(true)
        .open("/dev/full")
        .unwrap();
    let status = std::process::Command::new(env!("CARGO_BIN_EXE_evenhand"))
        .args(["fit", "--json"])
        .arg(room.path("dunlin-01.csv"))
        .stdout(full)
        .output()
        .unwrap();
    assert_eq!(status.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&status.stderr).contains("could not be written"));
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
    let error = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(!error.contains("panicked"), "{error}");
    assert_eq!(output.status.code(), Some(0), "{error}");
}

/// Killed at any moment, the target is whole: either the old text or the new one.
#[test]
fn a_kill_in_the_middle_leaves_the_old_or_the_new_file() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    let done = room.run(&MAP);
    assert_eq!(done.code, 0, "{}", done.err);
    let new = room.read("map.toml");
    for delay in 0..40_u64 {
        room.write("map.toml", "the old text");
        let mut child = std::process::Command::new(env!("CARGO_BIN_EXE_evenhand"))
            .current_dir(room.path("."))
            .args(MAP)
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
