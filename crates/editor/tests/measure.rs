//! Measuring in the window, without a display: the form, a session, and a map of it.

#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop there"
)]

use std::path::Path;

use egui::Key;
use egui_kittest::kittest::{NodeT as _, Queryable as _};

mod room;

use room::{Window, window};

/// Label of the field that names what is written.
const OUT: &str = "Measurement to write, new or begun before";

fn click(window: &mut Window<'_>, label: &str) {
    window.get_by_label(label).click();
    window.run_steps(4);
}

fn write(window: &mut Window<'_>, label: &str, text: &str) {
    let field = window.get_by_label(label);
    field.focus();
    field.type_text(text);
    window.run_steps(3);
}

fn shows(window: &Window<'_>, part: &str) -> bool {
    window.query_all_by_label_contains(part).next().is_some()
}

/// Readings that lie still for a while, placement by placement.
fn stream(folder: &Path, percents: &[f64]) -> String {
    let text: String = percents
        .iter()
        .map(|percent| format!("{percent}\n").repeat(80) + "\n")
        .collect();
    let path = folder.join("readings.txt");
    std::fs::write(&path, text).unwrap();
    path.display().to_string()
}

fn kept(path: &Path) -> Vec<String> {
    std::fs::read_to_string(path)
        .unwrap_or_default()
        .lines()
        .filter(|line| line.starts_with(|c: char| c.is_ascii_digit()))
        .map(str::to_owned)
        .collect()
}

#[test]
fn a_session_is_begun_run_and_made_a_map_of() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("new.csv");
    let percents = [0.0, 4.0, 5.0, 20.0, 45.0, 70.0, 90.0, 100.0];
    let readings = stream(folder.path(), &percents);
    let mut window = window();
    click(&mut window, "Measure");
    assert!(shows(&window, "guard the lever"), "cautions come first");
    click(&mut window, "Begin measuring");
    assert!(shows(&window, "is not named"), "a form that is empty");
    write(&mut window, OUT, &out.display().to_string());
    write(&mut window, "Readings come from", &readings);
    write(&mut window, "model", "Dunlin");
    let forces = "5gf,12gf,30gf,60gf,90gf,120gf,160gf,999gf";
    write(&mut window, "forces", forces);
    click(&mut window, "Begin measuring");
    assert!(shows(&window, "Next force, gf"));
    assert!(shows(&window, "seating 1, 0 samples, never above 1000 gf"));
    click(&mut window, "It hangs still");
    assert!(shows(&window, "watching: "), "seen while it settles");
    window.run_steps(12);
    assert_eq!(kept(&out).len(), 1);
    assert!(shows(&window, "kept 5.00 gf: 0.00 %"));
    click(&mut window, "It hangs still");
    window.run_steps(12);
    click(&mut window, "Retake");
    assert!(shows(&window, "took back 12.00 gf at 4.00 %"));
    click(&mut window, "It hangs still");
    window.run_steps(12);
    assert_eq!(kept(&out)[1].split(',').nth(1), Some("0.050000"));
    click(&mut window, "New seating");
    assert!(shows(&window, "seating 2, 2 samples"));
    // The key does what the button does, where nothing else has the focus.
    for _ in 0..4 {
        window.get_by_label("New seating").focus();
        window.run_steps(1);
        window.key_press(Key::Escape);
        window.run_steps(2);
        window.key_press(Key::Enter);
        window.run_steps(14);
    }
    assert_eq!(kept(&out).len(), 6);
    write(&mut window, "another force", "170");
    click(&mut window, "Place that");
    assert!(shows(&window, "unit"), "a force without a unit is none");
    write(&mut window, "another force", "gf");
    click(&mut window, "Place that");
    assert!(shows(&window, "170 gf instead"));
    click(&mut window, "It hangs still");
    window.run_steps(14);
    assert!(kept(&out)[6].starts_with("170,1.0"));
    assert!(shows(&window, "The curve so far, of 7 samples"));
    click(&mut window, "Make a map of it");
    while window.state().session().is_opening() {
        std::thread::yield_now();
        window.run_steps(1);
    }
    window.run_steps(3);
    let bench = window.state().session().bench();
    assert_eq!(bench.read.measurement.samples.len(), 7);
    assert_eq!(bench.name(), "Dunlin");
    // The session is still there, and ends when one has had enough.
    click(&mut window, "Measure");
    assert!(shows(&window, "near the limit"), "999 gf is asked for");
    click(&mut window, "Enough for today");
    assert!(shows(&window, "kept 7 samples in"));
    assert!(shows(&window, "Begin measuring"));
}

#[test]
fn what_cannot_be_begun_says_why_and_leaves_files_alone() {
    let folder = tempfile::tempdir().unwrap();
    let mine = folder.path().join("mine.csv");
    std::fs::write(&mine, "force_gf,reported_percent\n1,2\n").unwrap();
    let readings = stream(folder.path(), &[1.0]);
    for (out, from, levels, forces, why) in [
        ("mine.csv", &*readings, "", "", "was not recorded"),
        ("new.csv", "missing.txt", "", "", "could not be opened"),
        ("new.csv", "-", "", "", "no standard input"),
        ("new.csv", &readings, "one", "", "no number of levels"),
        ("new.csv", &readings, "1", "", "no number of levels"),
        ("new.csv", &readings, "", "60", "unit"),
        ("new.csv", &readings, "", "2000gf", "is not between 0"),
        ("no/folder/new.csv", &readings, "", "", "could not be saved"),
    ] {
        let mut window = window();
        click(&mut window, "Measure");
        let out = folder.path().join(out).display().to_string();
        write(&mut window, OUT, &out);
        write(&mut window, "Readings come from", from);
        write(&mut window, "levels", levels);
        write(&mut window, "forces", forces);
        click(&mut window, "Begin measuring");
        let notice = window.state().session().notice().unwrap();
        let says_why = notice.is_fault && notice.text.contains(why);
        assert!(says_why, "{why}: {}", notice.text);
        assert!(shows(&window, "Begin measuring"));
    }
    let text = std::fs::read_to_string(&mine).unwrap();
    assert_eq!(text, "force_gf,reported_percent\n1,2\n");
    assert!(!folder.path().join("new.csv").exists());
}

#[test]
fn files_are_chosen_in_the_window() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("new.csv");
    let mut window = window();
    click(&mut window, "Measure");
    click(&mut window, "Choose the measurement");
    write(&mut window, "Name or path", &out.display().to_string());
    click(&mut window, "Choose this");
    let named = window.get_by_label(OUT).accesskit_node().value();
    assert_eq!(named, Some(out.display().to_string()));
}
