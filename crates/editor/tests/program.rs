//! The window's program where no window can be.

#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop there"
)]

use std::path::Path;
use std::process::Command;

const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo/dunlin-01.csv");

fn without_display(folder: &Path, args: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_evenhand-window"));
    command
        .current_dir(folder)
        .env("EVENHAND_DATA_DIR", folder.join("data"))
        .args(args);
    for name in ["DISPLAY", "WAYLAND_DISPLAY", "WAYLAND_SOCKET"] {
        command.env_remove(name);
    }
    command
}

/// Standard output and error of a program, which must end with a code and without a panic.
fn ended(command: &mut Command, code: i32) -> (String, String) {
    let output = command.output().unwrap();
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    let (stdout, stderr) = (text(&output.stdout), text(&output.stderr));
    assert_eq!(output.status.code(), Some(code), "{stderr}");
    assert!(!stderr.contains("panicked"), "{stderr}");
    (stdout, stderr)
}

#[test]
#[cfg(target_os = "linux")]
fn without_a_display_it_says_so_and_returns_1() {
    let folder = tempfile::tempdir().unwrap();
    for args in [&[][..], &[DEMO]] {
        let (_, stderr) = ended(&mut without_display(folder.path(), args), 1);
        assert!(stderr.contains("no display"), "{stderr}");
    }
    let mut command = without_display(folder.path(), &["--json", "--", DEMO]);
    let (stdout, _) = ended(&mut command, 1);
    assert!(stdout.contains("\"error\""), "{stdout}");
    // A display that does not answer is no panic either.
    let mut command = without_display(folder.path(), &[DEMO]);
    ended(command.env("DISPLAY", ":987"), 1);
}

#[test]
fn what_cannot_be_opened_is_bad_input_before_any_window() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("bad.csv"), "force_gf,reported\n1,two\n").unwrap();
    for (argument, words) in [
        ("no.csv", "could not be read"),
        ("bad.csv", "bad.csv:2"),
        ("--no-such-option", ""),
    ] {
        let (_, stderr) = ended(&mut without_display(folder.path(), &[argument]), 2);
        assert!(stderr.contains(words), "{stderr}");
    }
}
