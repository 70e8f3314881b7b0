//! Where a machine gives little: few threads or none, little room, few open files.

#![cfg(target_os = "linux")]

use std::os::unix::fs::{MetadataExt as _, PermissionsExt as _};
use std::os::unix::process::CommandExt as _;
use std::path::{Path, PathBuf};
use std::process::Command;

use crate::bench_room::{Did, Room, did};

/// A user who owns nothing (common practice, no source).
const NOBODY: u32 = 65_534;

/// What every command of a map's life does, in this order.
const COMMANDS: [&str; 7] = [
    "fit dunlin-01.csv --json --chart fit.svg --force",
    "check dunlin-01.csv --json",
    "map dunlin-01.csv --full-at 150gf --out map.toml --force --json",
    "export map.toml --as card",
    "preview map.toml --out sheet.svg --force --json",
    "compare dunlin-01.csv dunlin-02.csv --json",
    "bench plan dunlin-01.csv --json",
];

fn room() -> Room {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    room.demo("dunlin-02.csv");
    room
}

/// Runs a command after these limits of a shell.
fn limited(room: &Room, program: &Path, limits: &str, args: &str, user: Option<u32>) -> Did {
    let mut command = Command::new("bash");
    command
        .args([
            "-c",
            &format!("{limits} && exec {} {args}", program.display()),
        ])
        .current_dir(room.path(""));
    if let Some(user) = user {
        command.uid(user);
    }
    did(&args, &command.output().unwrap())
}

fn program() -> PathBuf {
    assert_cmd::cargo::cargo_bin("evenhand")
}

#[test]
fn numbers_of_threads_change_nothing() {
    let room = room();
    // What is worked out by several threads.
    for args in [COMMANDS[0], COMMANDS[2], COMMANDS[5]] {
        let plain = room.ends(args, 0);
        for count in ["1", "100000", "many"] {
            let set = format!("export RAYON_NUM_THREADS={count}");
            let found = limited(&room, &program(), &set, args, None).ended(0);
            assert_eq!(found.out, plain.out, "{args} with {count} threads");
        }
    }
}

#[test]
fn who_may_start_no_thread_gets_the_same() {
    let room = room();
    // Nobody enters the folder that holds the program, and writes into the room.
    std::fs::copy(program(), room.path("evenhand")).unwrap();
    let open = |name: &str, mode: u32| {
        std::fs::set_permissions(room.path(name), std::fs::Permissions::from_mode(mode)).unwrap();
    };
    open("", 0o777);
    open("evenhand", 0o755);
    let is_root = std::fs::metadata(room.path("")).unwrap().uid() == 0;
    for args in COMMANDS {
        let plain = room.ends(args, 0);
        for name in room.names() {
            open(&name, if name == "evenhand" { 0o755 } else { 0o666 });
        }
        let user = is_root.then_some(NOBODY);
        let found = limited(&room, Path::new("./evenhand"), "ulimit -u 1", args, user).ended(0);
        assert_eq!(found.out, plain.out, "{args}");
    }
    // A device needs a thread that waits for it.
    let args = "bench record new.csv --from /dev/zero --as percent --forces 20gf --plain";
    let user = is_root.then_some(NOBODY);
    let found = limited(&room, Path::new("./evenhand"), "ulimit -u 1", args, user).ended(2);
    found.assert_said(["/dev/zero", "no thread can be started"]);
}

#[test]
fn little_room_and_few_files_are_enough() {
    let room = room();
    for args in COMMANDS {
        let plain = room.ends(args, 0);
        let limits = "ulimit -v 1572864 -n 32";
        let found = limited(&room, &program(), limits, args, None).ended(0);
        assert_eq!(found.out, plain.out, "{args}");
    }
}

/// Zeros without end are no readings; what is kept of them stays within bounds.
#[test]
fn a_stream_without_end_is_read_in_bounded_memory() {
    let room = Room::new();
    let args = "bench record new.csv --from /dev/zero --as percent --forces 20gf --plain";
    // Nobody types, and nobody goes.
    let args = format!("{args} < <(sleep 6)");
    let limits = "ulimit -v 400000";
    let within = format!("timeout 4 {}", program().display());
    let found = limited(&room, Path::new(&within), limits, &args, None);
    // Stopped from outside while it waits for a reading.
    assert_eq!(found.code, 124, "{}\n{}", found.out, found.err);
}
