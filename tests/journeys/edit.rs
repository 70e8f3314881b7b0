//! `evenhand edit` where no window can be.

use std::process::Command;

use crate::bench_room::{Room, did};

fn without_display(room: &Room, args: &[&str]) -> crate::bench_room::Did {
    let mut command = Command::new(env!("CARGO_BIN_EXE_evenhand"));
    command
        .current_dir(room.path("."))
        .env("EVENHAND_DATA_DIR", room.path("data"))
        .args(args);
    for name in ["DISPLAY", "WAYLAND_DISPLAY", "WAYLAND_SOCKET"] {
        command.env_remove(name);
    }
    did(&command.output().unwrap())
}

#[test]
#[cfg(target_os = "linux")]
fn without_a_display_it_says_so_and_returns_1() {
    let room = Room::new();
    room.demo("dunlin-01.csv");
    for args in [&["edit"][..], &["edit", "dunlin-01.csv"]] {
        let did = without_display(&room, args);
        assert_eq!(did.code, 1, "{}", did.err);
        assert!(did.err.contains("no display"), "{}", did.err);
    }
    let did = without_display(&room, &["edit", "dunlin-01.csv", "--json"]);
    assert_eq!(did.code, 1);
    assert!(did.out.contains("\"error\""), "{}", did.out);
    // A display that does not answer is no panic either.
    let mut command = Command::new(env!("CARGO_BIN_EXE_evenhand"));
    command
        .args(["edit", "dunlin-01.csv"])
        .current_dir(room.path("."))
        .env_remove("WAYLAND_DISPLAY")
        .env("EVENHAND_DATA_DIR", room.path("data"))
        .env("DISPLAY", ":987");
    assert_eq!(did_of(&mut command).code, 1);
}

fn did_of(command: &mut Command) -> crate::bench_room::Did {
    did(&command.output().unwrap())
}

#[test]
fn what_cannot_be_opened_is_bad_input_before_any_window() {
    let room = Room::new();
    room.write("bad.csv", "force_gf,reported\n1,two\n");
    for (file, said) in [("no.csv", "could not be read"), ("bad.csv", "bad.csv:2")] {
        let did = without_display(&room, &["edit", file]);
        assert_eq!(did.code, 2, "{}", did.err);
        assert!(did.err.contains(said), "{}", did.err);
    }
}
