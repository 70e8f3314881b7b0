//! `evenhand edit`, which starts the window's program.

#![cfg(unix)]

use std::path::Path;
use std::process::Command;

use crate::bench_room::{Did, Room, Words, did};

/// Copies a program. Another process does it: while this one has a program open to write, a child that another test
/// begins has it open as well, and it cannot be run.
fn copy_program(from: &Path, to: &Path) {
    let copied = Command::new("cp").arg("-p").args([from, to]).status();
    assert!(copied.unwrap().success(), "{}", to.display());
}

/// Runs a copy of the program that has no other beside it; `path` is all it can find programs on.
fn alone(room: &Room, path: &Path, args: impl Words) -> Did {
    let program = room.path("evenhand");
    if !program.exists() {
        copy_program(Path::new(env!("CARGO_BIN_EXE_evenhand")), &program);
    }
    let mut command = Command::new(program);
    command
        .current_dir(room.path("."))
        .env("PATH", path)
        .args(args.words());
    did(&args, &command.output().unwrap())
}

#[test]
fn without_the_window_program_it_says_how_to_install_it() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    for args in ["edit", "edit dunlin-01.csv"] {
        let did = alone(&room, &room.path("nothing"), args);
        assert_eq!(did.code, 2, "{}", did.err);
        did.assert_err("evenhand-window");
        did.assert_err("cargo install --path crates/editor");
    }
    let did = alone(&room, &room.path("nothing"), &["edit", "--json"]);
    assert_eq!(did.code, 2);
    did.assert_out("evenhand-window");
}

#[test]
fn the_window_program_gets_file_and_options_and_its_code_is_passed_on() {
    use std::os::unix::fs::PermissionsExt as _;

    let room = Room::new();
    let script = "#!/bin/sh\nprintf '<%s>' \"$@\"\nexit 7\n";
    let written = room.write("script", script);
    let runnable = std::fs::Permissions::from_mode(0o755);
    std::fs::set_permissions(&written, runnable).unwrap();
    std::fs::create_dir(room.path("programs")).unwrap();
    // On the path, then beside the program although the path has none.
    for name in ["programs/evenhand-window", "evenhand-window"] {
        let file = room.path(name);
        copy_program(&written, &file);
        let did = alone(
            &room,
            &room.path("programs"),
            &["edit", "--json", "--color", "never", "--", "-odd name.csv"],
        );
        assert_eq!(did.code, 7, "{}", did.err);
        assert_eq!(did.out, "<--json><--color=never><--><-odd name.csv>");
        std::fs::remove_file(file).unwrap();
    }
}
