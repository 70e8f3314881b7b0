//! The real window, on a display: a point is dragged by the pointer, and the saved file proves that it moved.
//!
//! Needs a display and xdotool: `xvfb-run -a -s "-screen 0 1400x900x24" cargo test -p evenhand-editor --test window
//! -- --ignored`.

#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop there"
)]

use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use evenhand_editor::{Editor, Session, Start, open};
use evenhand_workflow::{MapFile, reopened};

/// Size of the window as it opens, and what the harness puts around its content.
const SIZE: [f32; 2] = [1280.0, 820.0];
const AROUND: f32 = 8.0;
/// Tries, a quarter of a second apart, before something counts as missing.
const TRIES: u32 = 160;

fn window(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_evenhand-window"));
    command
        .current_dir(folder)
        .env("EVENHAND_DATA_DIR", folder.join("data"));
    command
}

/// Saves the map that the window offers for a measurement.
fn make_map(measurement: &Path, out: &Path) {
    let opened = open(measurement).unwrap();
    let mut session = Session::new(opened, None, || ())
        .unwrap()
        .waiting_for_answers();
    session.save(out, false).unwrap();
}

fn xdotool(args: &[&str]) -> String {
    let output = Command::new("xdotool").args(args).output().unwrap();
    String::from_utf8_lossy(&output.stdout).trim().to_owned()
}

fn wait_for<T>(what: &str, mut look: impl FnMut() -> Option<T>) -> T {
    for _ in 0..TRIES {
        if let Some(found) = look() {
            return found;
        }
        std::thread::sleep(Duration::from_millis(250));
    }
    panic!("waited in vain for {what}");
}

/// Where something of the window's content lies, by the same layout without a display.
fn place(map: &Path, label: &str) -> (f32, f32) {
    let start = Start {
        file: Some(map.to_path_buf()),
        data_folder: None,
    };
    let editor = Editor::new(&start, || ()).unwrap();
    let mut harness = Harness::builder()
        .with_size(SIZE.map(|side| side + 2.0 * AROUND))
        .with_context_setup(Editor::dress)
        .build_ui_state(|ui, editor: &mut Editor| editor.ui(ui), editor);
    harness.run_steps(4);
    let centre = harness.get_by_label_contains(label).rect().center();
    (centre.x - AROUND, centre.y - AROUND)
}

/// Ends the window whatever happens.
struct Shown(Child);

impl Drop for Shown {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

fn points(map: &Path) -> Vec<(f64, f64)> {
    let (saved, _) = MapFile::read(map).unwrap();
    saved
        .map
        .points()
        .iter()
        .map(|p| (p.input, p.output))
        .collect()
}

#[test]
#[ignore = "needs a display and xdotool; .ci/run gives it both"]
fn a_dragged_point_is_saved_where_it_was_dropped() {
    let folder = tempfile::tempdir().unwrap();
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo/dunlin-01.csv");
    std::fs::copy(demo, folder.path().join("dunlin-01.csv")).unwrap();
    let map = folder.path().join("m.map.toml");
    make_map(&folder.path().join("dunlin-01.csv"), &map);
    let before = points(&map);
    let (x, y) = place(&map, "Control point 4 of 8");

    let child = window(folder.path())
        .arg("m.map.toml")
        .stderr(Stdio::inherit())
        .spawn()
        .unwrap();
    let _shown = Shown(child);
    let window = wait_for("the window", || {
        let found = xdotool(&["search", "--onlyvisible", "--name", "^Evenhand$"]);
        found.lines().next().map(str::to_owned)
    });
    // The first frames.
    std::thread::sleep(Duration::from_secs(3));
    xdotool(&["windowmove", &window, "0", "0"]);
    xdotool(&["windowfocus", &window]);
    std::thread::sleep(Duration::from_millis(500));
    let at = |dx: f32, dy: f32| [x + dx, y + dy].map(|value| format!("{value:.0}"));
    let point_to = |place: &[String; 2]| {
        xdotool(&["mousemove", &place[0], &place[1]]);
        std::thread::sleep(Duration::from_millis(150));
    };
    point_to(&at(0.0, 0.0));
    xdotool(&["mousedown", "1"]);
    for step in 1..=6_u8 {
        let part = f32::from(step) / 6.0;
        point_to(&at(-24.0 * part, 18.0 * part));
    }
    xdotool(&["mouseup", "1"]);
    std::thread::sleep(Duration::from_millis(500));
    xdotool(&["key", "ctrl+s"]);
    let after = wait_for("the saved map", || {
        let now = points(&map);
        (now != before).then_some(now)
    });
    for (index, (a, b)) in before.iter().zip(&after).enumerate() {
        if index == 3 {
            // Left is more output, downwards less input; a pixel is about a third of a percent.
            assert!(b.1 - a.1 > 0.03 && b.1 - a.1 < 0.12, "{a:?} {b:?}");
            assert!(a.0 - b.0 > 0.02 && a.0 - b.0 < 0.12, "{a:?} {b:?}");
        } else {
            assert_eq!(a, b, "point {index}");
        }
    }
    let (saved, text) = MapFile::read(&map).unwrap();
    assert!(saved.tuned.is_some(), "a point was moved by hand");
    let again = reopened(&map, &saved).unwrap();
    assert_eq!(
        again.document(&saved.source.file).to_toml().unwrap(),
        text,
        "the saved map can be rebuilt"
    );
}
