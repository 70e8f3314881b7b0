//! Every command the README shows is run.

use std::io::Write as _;
use std::path::Path;

use crate::bench_room::{Words as _, did, project};

/// Commands in the fenced `sh` blocks of a text, continued lines joined, comments left out.
fn commands(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut inside = false;
    let mut pending = String::new();
    for line in text.lines() {
        if line.starts_with("```") {
            inside = line == "```sh";
            continue;
        }
        let line = line.split(" #").next().unwrap_or_default().trim();
        if !inside || line.is_empty() || line.starts_with('#') {
            continue;
        }
        pending.push_str(line.trim_end_matches('\\'));
        if !line.ends_with('\\') {
            found.push(std::mem::take(&mut pending));
        }
    }
    found
}

/// A copy of what a clone holds that the commands need, so that they may write.
fn copy_folder(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let target = to.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            copy_folder(&entry.path(), &target);
        } else {
            std::fs::copy(entry.path(), target).unwrap();
        }
    }
}

#[test]
fn the_readme_does_what_it_shows() {
    let text = std::fs::read_to_string(project().join("README.md")).unwrap();
    let commands = commands(&text);
    assert!(
        commands.iter().any(|c| c.contains(" map ")),
        "the main job is missing"
    );
    assert!(
        commands.iter().any(|c| c.starts_with("cargo test")),
        "the test command is missing"
    );
    let folder = tempfile::tempdir().unwrap();
    for name in ["demo", "profiles"] {
        copy_folder(&project().join(name), &folder.path().join(name));
    }
    let mut run = 0;
    let mut is_window_installed = false;
    for command in &commands {
        // The tests cannot run themselves, and a build needs the whole clone: these stand for it.
        let words = command.words();
        let words: Vec<&str> = words.iter().map(String::as_str).collect();
        let arguments = match words.as_slice() {
            ["cargo", "test", ..] => {
                assert_eq!(command, "cargo test --workspace");
                continue;
            }
            [
                "cargo",
                "run",
                "--release",
                "--bin",
                "evenhand",
                "--",
                rest @ ..,
            ] => rest,
            ["cargo", "install", "--path", folder] => {
                let manifest = project().join(folder).join("Cargo.toml");
                let manifest = std::fs::read_to_string(manifest).unwrap();
                assert!(manifest.contains("evenhand"), "{folder} is a program");
                is_window_installed |= manifest.contains("evenhand-window");
                continue;
            }
            // The window is opened by its own test, where there is a display.
            ["evenhand", "edit", map] => {
                assert!(is_window_installed, "the window comes first");
                assert!(folder.path().join(map).exists(), "{map} is made before");
                continue;
            }
            ["evenhand", rest @ ..] => rest,
            _ => panic!("the README shows a command no test knows: {command}"),
        };
        let mut child = std::process::Command::new(env!("CARGO_BIN_EXE_evenhand"))
            .current_dir(folder.path())
            .args(arguments)
            .stdin(std::process::Stdio::piped())
            .stdout(std::process::Stdio::piped())
            .stderr(std::process::Stdio::piped())
            .spawn()
            .unwrap();
        // Where a person presses Enter, as at the bench; most commands read nothing.
        let _ = child.stdin.take().unwrap().write_all(b"\n\n\n\n");
        did(command, &child.wait_with_output().unwrap()).ended(0);
        run += 1;
    }
    assert!(run >= 5, "only {run} commands were run");
}
