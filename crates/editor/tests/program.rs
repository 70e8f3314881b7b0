//! The window's program where no window can be.

#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop there"
)]

use std::path::Path;
use std::process::{Command, Output};

const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo/dunlin-01.csv");

fn without_display(folder: &Path, args: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_evenhand-window"));
    command
        .current_dir(folder)
        .env("EVENHAND_DATA_DIR", folder.join("data"))
        .args(args);
    for name in ["DISPLAY", "WAYLAND_DISPLAY", "WAYLAND_SOCKET"] {
        command.env_remove(name);
    }
    let output = command.output().unwrap();
    assert!(!said(&output).contains("panicked"), "{}", said(&output));
    output
}

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

#[test]
#[cfg(target_os = "linux")]
fn without_a_display_it_says_so_and_returns_1() {
    let folder = tempfile::tempdir().unwrap();
    for args in [&[][..], &[DEMO]] {
        let output = without_display(folder.path(), args);
        assert_eq!(output.status.code(), Some(1), "{}", said(&output));
        assert!(said(&output).contains("no display"), "{}", said(&output));
    }
    let output = without_display(folder.path(), &["--json", "--", DEMO]);
    assert_eq!(output.status.code(), Some(1));
    let text = String::from_utf8_lossy(&output.stdout);
    assert!(text.contains("\"error\""), "{text}");
    // A display that does not answer is no panic either.
    let mut command = Command::new(env!("CARGO_BIN_EXE_evenhand-window"));
    command
        .arg(DEMO)
        .current_dir(folder.path())
        .env_remove("WAYLAND_DISPLAY")
        .env("EVENHAND_DATA_DIR", folder.path().join("data"))
        .env("DISPLAY", ":987");
    let output = command.output().unwrap();
    assert_eq!(output.status.code(), Some(1), "{}", said(&output));
    assert!(!said(&output).contains("panicked"), "{}", said(&output));
}

#[test]
fn what_cannot_be_opened_is_bad_input_before_any_window() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("bad.csv"), "force_gf,reported\n1,two\n").unwrap();
    for (file, words) in [("no.csv", "could not be read"), ("bad.csv", "bad.csv:2")] {
        let output = without_display(folder.path(), &[file]);
        assert_eq!(output.status.code(), Some(2), "{}", said(&output));
        assert!(said(&output).contains(words), "{}", said(&output));
    }
    let output = without_display(folder.path(), &["--no-such-option"]);
    assert_eq!(output.status.code(), Some(2), "{}", said(&output));
}
