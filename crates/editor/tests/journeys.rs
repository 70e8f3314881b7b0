//! Journeys through the window, without a display: what a reader of screens finds, hands drag and keys press.

#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop there"
)]

use std::path::{Path, PathBuf};

use egui::{Key, Modifiers, Pos2, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use evenhand_editor::{Document, Start, left_behind};
use evenhand_workflow::MapFile;

mod room;

use room::{Window, window, window_of};

fn project(name: &str) -> PathBuf {
    Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../..")).join(name)
}

fn document<'w>(window: &'w Window<'_>) -> &'w Document {
    window.state().session().document()
}

fn points(window: &Window<'_>) -> Vec<(f64, f64)> {
    let points = document(window).points.iter();
    points.map(|p| (p.input, p.output)).collect()
}

fn middle(window: &Window<'_>, label: &str) -> Pos2 {
    window.get_by_label_contains(label).rect().center()
}

fn drag(window: &mut Window<'_>, label: &str, by: egui::Vec2) {
    let from = middle(window, label);
    window.hover_at(from);
    window.run_steps(2);
    window.drag_at(from);
    window.run_steps(2);
    for step in 1..=5_u8 {
        window.hover_at(from + by * (f32::from(step) / 5.0));
        window.run_steps(1);
    }
    window.drop_at(from + by);
    window.run_steps(3);
}

fn click(window: &mut Window<'_>, label: &str) {
    window.get_by_label(label).click();
    window.run_steps(4);
    // Files are opened in the background.
    while window.state().session().is_opening() {
        std::thread::yield_now();
        window.run_steps(1);
    }
    window.run_steps(2);
}

/// The window with a file open.
fn opened<'a>(file: PathBuf) -> Window<'a> {
    window_of(&Start {
        file: Some(file),
        data_folder: None,
    })
}

/// Whether a label, and no second one, has these words in it.
fn shows(window: &Window<'_>, part: &str) -> bool {
    window.query_by_label_contains(part).is_some()
}

fn press(window: &mut Window<'_>, modifiers: Modifiers, key: Key) {
    window.key_press_modifiers(modifiers, key);
    window.run_steps(2);
}

/// Names a file in the dialog that is open, and ends it.
fn choose(window: &mut Window<'_>, path: &Path, button: &str) {
    let field = window.get_by_label("Name or path");
    field.set_text_value_accesskit(&path.display().to_string());
    window.run_steps(3);
    click(window, button);
}

#[test]
fn the_first_start_shows_a_demo_and_help_in_place() {
    let mut window = window();
    assert!(shows(&window, "Upper right is your stylus"));
    assert!(window.query_by_label("Dunlin 01").is_some());
    click(&mut window, "Got it");
    assert!(!shows(&window, "Upper right is your stylus"));
}

#[test]
fn a_point_is_dragged_undone_and_done_again() {
    let mut window = window();
    let before = points(&window);
    drag(&mut window, "Control point 4 of 8", vec2(-20.0, 15.0));
    let after = points(&window);
    for (index, (a, b)) in before.iter().zip(&after).enumerate() {
        if index == 3 {
            // To the left is more output, downwards is less input.
            assert!(b.1 > a.1 + 0.01 && b.0 < a.0 - 0.01, "{a:?} {b:?}");
        } else {
            assert_eq!(a, b, "{index}");
        }
    }
    assert!(shows(&window, "changed"));
    click(&mut window, "Undo");
    assert_eq!(points(&window), before, "one gesture, one step");
    click(&mut window, "Redo");
    assert_eq!(points(&window), after);
    click(&mut window, "Solve again");
    assert_eq!(points(&window), before);
}

#[test]
fn the_wanted_result_is_dragged_and_the_map_follows() {
    let mut window = window();
    let before = points(&window);
    drag(&mut window, "Full output at", vec2(-60.0, 0.0));
    let full_at = document(&window).request.full_at;
    assert!(full_at.gf() < 135.0, "{full_at}");
    let is_tuned = document(&window).is_tuned();
    assert!(!is_tuned, "the best for the new request");
    assert_ne!(points(&window), before);
    drag(&mut window, "Shape linear", vec2(0.0, 30.0));
    let label = &document(&window).request.target.label;
    assert!(label.starts_with("power:0."), "{label}");
    drag(&mut window, "Output leaves 0", vec2(15.0, 0.0));
    let light = document(&window).request.light_at.unwrap();
    assert!(light.gf() > 5.0, "{light}");
    click(&mut window, "from onset");
    assert!(document(&window).request.light_at.is_none());
    for _ in 0..4 {
        window.key_press_modifiers(Modifiers::COMMAND, Key::Z);
        window.run_steps(3);
    }
    assert_eq!(points(&window), before);
}

#[test]
fn all_of_a_point_is_done_by_keys() {
    let mut window = window();
    let before = points(&window);
    window.get_by_label_contains("Control point 3 of 8").focus();
    window.run_steps(2);
    press(&mut window, Modifiers::NONE, Key::ArrowUp);
    press(&mut window, Modifiers::NONE, Key::ArrowLeft);
    let after = points(&window);
    assert!((after[2].0 - before[2].0 - 0.005).abs() < 1e-12);
    assert!((after[2].1 - before[2].1 - 0.005).abs() < 1e-12);
    press(&mut window, Modifiers::SHIFT, Key::ArrowDown);
    assert!((points(&window)[2].0 - after[2].0 + 0.05).abs() < 1e-12);
    press(&mut window, Modifiers::NONE, Key::Space);
    assert!(document(&window).is_locked(2));
    assert!(shows(&window, "Control point 3 of 8: input"));
    let point = window.get_by_label_contains("Control point 3 of 8");
    let label = point.accesskit_node().label().unwrap();
    assert!(label.contains("locked"), "{label}");
    press(&mut window, Modifiers::NONE, Key::Delete);
    assert_eq!(points(&window).len(), 7);
}

#[test]
fn a_locked_point_stays_while_the_rest_is_solved() {
    let mut window = window();
    drag(&mut window, "Control point 4 of 8", vec2(-14.0, 10.0));
    let held = points(&window)[3];
    window.get_by_label("Lock point 4").click_accesskit();
    window.run_steps(3);
    let worst = window.state().session().figures().built.achieved.max_error;
    click(&mut window, "Solve again");
    assert_eq!(points(&window)[3], held);
    let session = window.state().session();
    assert!(session.figures().built.achieved.max_error <= worst);
    assert!(session.figures().beyond_optimum().unwrap() > 0.0);
    // The difference is always told.
    assert!(window.query_by_label("by hand beyond it").is_some());
}

#[test]
fn the_tracer_follows_the_pointer_and_says_its_values() {
    let mut window = window();
    let full = middle(&window, "Full output at");
    let response = Pos2::new(full.x, middle(&window, "Control point 6 of 8").y);
    window.hover_at(response);
    window.run_steps(3);
    let traced = window.state().traced_gf();
    assert!((traced - 143.0).abs() < 2.0, "{traced}");
    assert!(shows(&window, "   output 99") || shows(&window, "   output 100"));
    // Over the map's quadrant the reading leads: that of a point gives its output.
    let point = middle(&window, "Control point 5 of 8");
    window.hover_at(point + vec2(30.0, 0.0));
    window.run_steps(3);
    let output = 100.0 * points(&window)[4].1;
    assert!(shows(&window, &format!("   output {output:.1}")));
}

#[test]
fn a_map_is_saved_by_name_and_opened_again() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("tuned.map.toml");
    let mut window = window();
    drag(&mut window, "Control point 4 of 8", vec2(-20.0, 15.0));
    click(&mut window, "Save as…");
    choose(&mut window, &out, "Save file");
    assert!(shows(&window, "saved as"));
    let (saved, _) = MapFile::read(&out).unwrap();
    let kept = saved.map.points();
    let kept: Vec<(f64, f64)> = kept.iter().map(|p| (p.input, p.output)).collect();
    assert_eq!(kept, points(&window));
    // Another file of that name is asked about.
    let other = folder.path().join("other.map.toml");
    std::fs::write(&other, "mine").unwrap();
    click(&mut window, "Save as…");
    choose(&mut window, &other, "Save file");
    assert_eq!(std::fs::read_to_string(&other).unwrap(), "mine");
    assert!(shows(&window, "exists"));
    click(&mut window, "Cancel");

    let again = opened(out);
    assert_eq!(points(&again), kept);
}

#[test]
fn a_file_is_opened_from_the_dialog() {
    let mut window = window();
    click(&mut window, "Open…");
    let path = project("demo/godwit-01.toml");
    choose(&mut window, &path, "Open file");
    assert!(window.query_by_label("Godwit 01").is_some());
    click(&mut window, "Open…");
    choose(&mut window, Path::new("/no/such/file.csv"), "Open file");
    assert!(shows(&window, "could not be read"));
    assert!(
        window.query_by_label("Godwit 01").is_some(),
        "what was open stays"
    );
}

#[test]
fn points_are_exported_and_copied() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = window();
    click(&mut window, "Export…");
    click(&mut window, "CSV");
    click(&mut window, "Copy");
    assert!(window.query_by_label("copied").is_some());
    click(&mut window, "Save export…");
    let out = folder.path().join("points.csv");
    choose(&mut window, &out, "Save file");
    let text = std::fs::read_to_string(&out).unwrap();
    assert_eq!(text.lines().count(), 1 + points(&window).len());
    click(&mut window, "Export…");
    click(&mut window, "Picture of the chart…");
    let out = folder.path().join("chart.svg");
    choose(&mut window, &out, "Save file");
    let svg = std::fs::read_to_string(&out).unwrap();
    assert!(svg.contains("Response, map, brush and result"));
}

#[test]
fn another_receiver_is_chosen_and_units_are_changed() {
    let mut window = window();
    click(&mut window, "N");
    assert!(shows(&window, "full at, N"));
    click(&mut window, "Straight segments through at most 8 points");
    click(&mut window, "segments-8-percent");
    let document = document(&window);
    assert_eq!(document.profile.name(), "segments-8-percent");
    for point in &document.points {
        let steps = 100.0 * point.input;
        assert!((steps - steps.round()).abs() < 1e-9);
    }
}

#[test]
fn a_number_is_typed_into_the_table() {
    let mut window = window();
    let before = points(&window);
    let field = window.get_by_label("Point 4 output, percent");
    field.focus();
    window.run_steps(2);
    window.key_press(Key::ArrowUp);
    window.run_steps(3);
    let after = points(&window);
    assert!(after[3].1 > before[3].1, "{:?} {:?}", before[3], after[3]);
    assert_eq!(after[4], before[4]);
}

#[test]
fn work_of_a_killed_session_is_offered_and_recovered() {
    let folder = tempfile::tempdir().unwrap();
    let start = Start {
        file: Some(project("demo/dunlin-01.csv")),
        data_folder: Some(folder.path().to_path_buf()),
    };
    let mut window = window_of(&start);
    drag(&mut window, "Control point 4 of 8", vec2(-20.0, 15.0));
    let lost = points(&window);
    // Killed: nothing is dropped in order, and the lock ends with the program.
    std::mem::forget(window);
    let recovery = folder.path().join("recovery");
    for entry in std::fs::read_dir(&recovery).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|ending| ending == "lock") {
            std::fs::remove_file(path).unwrap();
        }
    }
    assert_eq!(left_behind(&recovery).len(), 1);
    let mut next = window_of(&start);
    assert_ne!(points(&next), lost);
    click(&mut next, "Recover");
    assert_eq!(points(&next), lost);
    assert!(next.query_by_label("Recover").is_none());
    assert!(shows(&next, "changed"));
}

#[test]
fn the_pad_draws_with_a_force_it_names() {
    let mut window = window();
    drag(&mut window, "Pad to draw on", vec2(60.0, 20.0));
    assert!(shows(&window, ", speed"));
    click(&mut window, "speed");
    drag(&mut window, "Pad to draw on", vec2(60.0, 20.0));
    assert!(window.query_by_label("143 gf").is_some());
    click(&mut window, "Clear");
}

#[test]
fn strokes_follow_the_forces_of_the_hand() {
    let mut window = window();
    let words = |window: &Window<'_>| {
        let node = window.get_by_label_contains("Strokes. light");
        node.accesskit_node().label().unwrap()
    };
    let before = words(&window);
    assert!(
        before.contains("firm: width") && before.contains("with the map"),
        "{before}"
    );
    drag(&mut window, "Full output at", vec2(-80.0, 0.0));
    assert_ne!(words(&window), before);
}

#[test]
fn targets_and_receivers_come_from_files_and_are_saved() {
    let folder = tempfile::tempdir().unwrap();
    let mut window = window();
    for (file, notice) in [
        ("profiles/targets/soft-ends.toml", "shape of"),
        ("profiles/receivers/segments-5.toml", "receiver segments-5"),
    ] {
        click(&mut window, "Open…");
        let path = project(file);
        choose(&mut window, &path, "Open file");
        assert!(shows(&window, notice), "{file}");
    }
    assert_eq!(points(&window).len(), 5);
    let out = folder.path().join("m.map.toml");
    window.state_mut().session_mut().save(&out, false).unwrap();
    let again = opened(out);
    assert_eq!(points(&again), points(&window));
    assert!(!again.state().session().document().is_tuned());
}

#[test]
fn every_shipped_shape_is_saved_so_that_it_opens_again() {
    let folder = tempfile::tempdir().unwrap();
    for name in [
        "linear",
        "logarithmic",
        "early",
        "late",
        "soft-ends",
        "power",
    ] {
        let mut window = window();
        window.get_by_label("shape").click();
        window.run_steps(4);
        let entries: Vec<_> = window.get_all_by_label(name).collect();
        entries.last().unwrap().click();
        drop(entries);
        window.run_steps(4);
        let out = folder.path().join(format!("{name}.map.toml"));
        window.state_mut().session_mut().save(&out, false).unwrap();
        let again = opened(out);
        assert_eq!(points(&again), points(&window), "{name}");
    }
}

#[test]
fn the_brush_is_chosen_beside_the_chart() {
    let mut window = window();
    let before = document(&window).scale;
    window.get_by_label("area").click_accesskit();
    window.run_steps(3);
    let after = document(&window).scale;
    assert_ne!(after.law(), before.law());
    click(&mut window, "Undo");
    assert_eq!(document(&window).scale, before);
}

#[test]
fn typed_numbers_are_taken_when_they_are_finished() {
    let mut window = window();
    window.get_by_label("full at, gf").click();
    window.run_steps(3);
    for digit in ["1", "5", "0"] {
        window.event(egui::Event::Text(digit.to_owned()));
        window.run_steps(2);
    }
    window.key_press(Key::Enter);
    window.run_steps(4);
    assert_eq!(document(&window).request.full_at.gf(), 150.0);
    assert!(window.state().session().notice().is_none());
    click(&mut window, "Undo");
    assert_eq!(document(&window).request.full_at.gf(), 143.0);
}

#[test]
fn going_through_the_fields_changes_nothing() {
    let mut window = window();
    let before = points(&window);
    window.get_by_label("Open…").focus();
    window.run_steps(2);
    for _ in 0..60 {
        press(&mut window, Modifiers::NONE, Key::Tab);
    }
    let session = window.state().session();
    assert!(!session.is_changed() && !session.can_undo());
    assert!(session.document().request.light_at.is_none());
    assert_eq!(points(&window), before);
}

#[test]
fn a_measurement_that_grows_is_followed() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("growing.csv");
    let text = std::fs::read_to_string(project("demo/dunlin-01.csv")).unwrap();
    let lines: Vec<&str> = text.lines().collect();
    let part = |rows: usize| lines[..lines.len() - rows].join("\n") + "\n";
    std::fs::write(&file, part(6)).unwrap();
    let mut window = opened(file.clone());
    window.get_by_label("Lock point 3").click_accesskit();
    window.run_steps(3);
    let held = points(&window)[2];
    let write = |rows: usize| {
        std::fs::write(&file, part(rows)).unwrap();
        // A second and more later, whatever the file system's clock.
        let later = std::time::SystemTime::now()
            + std::time::Duration::from_secs(10 + 10 * (9 - rows as u64));
        std::fs::File::open(&file)
            .unwrap()
            .set_modified(later)
            .unwrap();
    };
    let wait = |window: &mut Window<'_>| {
        for _ in 0..80 {
            window.run_steps(1);
        }
        while window.state().session().is_opening() {
            std::thread::yield_now();
            window.run_steps(1);
        }
        window.run_steps(2);
    };
    let samples = |window: &Window<'_>| {
        let bench = window.state().session().bench();
        bench.read.measurement.samples.len()
    };
    let before = samples(&window);
    write(3);
    wait(&mut window);
    assert_eq!(samples(&window), before, "asked first");
    click(&mut window, "Read it again");
    assert_eq!(samples(&window), before + 3);
    assert!(shows(&window, "measured again"));
    assert_eq!(points(&window)[2], held, "a locked point stays");
    window.get_by_label("follow the file").click_accesskit();
    window.run_steps(2);
    write(0);
    wait(&mut window);
    assert_eq!(samples(&window), before + 6);
    // Half a file, as while it is written, is told and changes nothing.
    std::fs::write(&file, "force_gf,reported_percent\n0,0\n5,").unwrap();
    wait(&mut window);
    assert_eq!(samples(&window), before + 6);
    assert!(window.state().session().notice().unwrap().is_fault);
}
