//! State first: what commands do to a session, without a window.

#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop there"
)]

use std::path::{Path, PathBuf};

use evenhand_editor::{Command, Opened, Session, demo, left_behind, open};
use evenhand_inversion::{NamedShape, TargetShape};
use evenhand_measurement::{Force, HoldAngle};
use evenhand_preview::{Theme, WidthScale};
use evenhand_receiver::{ControlPoint, ExportForm, profile, shipped, verify_legal};
use evenhand_workflow::{MapFile, reopened};
use proptest::prelude::*;

const AVOCET: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo/avocet-01.csv");

/// A session with what was opened, whose slow solves go on in the background.
fn session_of(opened: Opened) -> Session {
    Session::new(opened, None, || ()).unwrap()
}

fn session() -> Session {
    session_of(demo().unwrap()).waiting_for_answers()
}

fn session_in(folder: &Path) -> Session {
    Session::new(demo().unwrap(), Some(folder.to_path_buf()), || ())
        .unwrap()
        .waiting_for_answers()
}

fn receiver(name: &str) -> Command {
    Command::SetReceiver(Box::new(profile(name).unwrap().clone()))
}

fn moved(session: &Session, index: usize, dx: f64, dy: f64) -> Command {
    let at = session.document().points[index];
    Command::MovePoint {
        index,
        to: ControlPoint::new(at.input + dx, at.output + dy),
    }
}

fn target(shape: TargetShape) -> Command {
    Command::SetTarget(NamedShape {
        label: shape.to_string(),
        shape,
    })
}

fn full_at(force_gf: f64) -> Command {
    Command::SetFullAt(Force::from_gf(force_gf))
}

fn lock(index: usize) -> Command {
    Command::SetLock {
        index,
        locked: true,
    }
}

/// Another force for the lightest hand.
fn lightest(force_gf: f64) -> Command {
    Command::SetHand { index: 0, force_gf }
}

fn worst_error(session: &Session) -> f64 {
    session.figures().built.achieved.max_error
}

/// Reads a map back, which must be what would be saved again, byte for byte.
fn assert_reopens(out: &Path) {
    let (saved, text) = MapFile::read(out).unwrap();
    let job = reopened(out, &saved).unwrap();
    assert_eq!(job.document(&saved.source.file).to_toml().unwrap(), text);
}

/// A session that waits for the best map of a slow receiver.
fn slow_session() -> Session {
    let mut session = session_of(demo().unwrap());
    session.perform(receiver("power"));
    settled(&mut session);
    session
}

/// Waits until nothing is solved any more.
fn settled(session: &mut Session) {
    while session.is_solving() {
        session.poll();
        std::thread::yield_now();
    }
}

#[test]
fn a_new_map_is_the_best_one() {
    let session = session();
    let document = session.document();
    assert_eq!(document.profile.name(), "segments-8");
    assert!(!document.is_tuned() && !session.is_changed() && !session.can_undo());
    assert_eq!(session.figures().beyond_optimum(), Some(0.0));
    assert!(worst_error(&session) < 0.01);
}

#[test]
fn a_moved_point_is_worse_and_solving_again_mends_it() {
    let mut session = session();
    let best = worst_error(&session);
    assert!(session.perform(moved(&session, 3, 0.02, -0.03)));
    assert!(session.document().is_tuned() && session.is_changed());
    let beyond = session.figures().beyond_optimum().unwrap();
    assert!(beyond > 0.01, "{beyond}");
    assert!((worst_error(&session) - best - beyond).abs() < 1e-12);
    assert!(session.perform(Command::SolveAgain));
    assert!(!session.document().is_tuned());
    assert_eq!(worst_error(&session), best);
}

#[test]
fn locked_points_stay_while_the_rest_is_solved() {
    let mut session = session();
    session.perform(moved(&session, 3, 0.0, 0.04));
    session.perform(lock(3));
    let held = session.document().points[3];
    let worst = worst_error(&session);
    session.perform(Command::SolveAgain);
    assert_eq!(session.document().points[3], held);
    assert!(session.document().is_locked(3) && session.document().is_tuned());
    assert!(worst_error(&session) <= worst);
    // Another request solves the others around it too.
    session.perform(full_at(120.0));
    assert_eq!(session.document().points[3], held);
    assert!(session.figures().beyond_optimum().unwrap() > 0.0);
}

#[test]
fn a_gesture_of_many_changes_is_undone_at_once() {
    let mut session = session();
    let start = session.document().points.clone();
    for step in 1..=20 {
        session.apply(full_at(143.0 - f64::from(step)));
    }
    session.end_gesture();
    let after = session.document().points.clone();
    assert_ne!(start, after);
    assert!(session.undo());
    assert_eq!(session.document().points, start);
    assert!(!session.undo() && !session.is_changed());
    assert!(session.redo());
    assert_eq!(session.document().points, after);
    assert_eq!(session.document().request.full_at.gf(), 123.0);
    assert!(!session.redo());
}

#[test]
fn requests_that_cannot_be_met_are_refused_with_a_reason() {
    let mut session = session();
    let before = session.document().points.clone();
    assert!(!session.perform(full_at(2.0)));
    assert!(session.notice().unwrap().is_fault);
    assert_eq!(session.document().points, before);
    assert_eq!(session.document().request.full_at.gf(), 143.0);
    // Beyond saturation the best there is comes with its reason.
    assert!(session.perform(full_at(400.0)));
    assert!(session.figures().built.unmet.is_some());
}

#[test]
fn every_receiver_can_be_chosen() {
    let mut session = session();
    for profile in shipped() {
        let name = profile.name();
        assert!(session.perform(receiver(name)), "{name}");
        verify_legal(profile, &session.document().points).unwrap();
        assert!(!session.is_solving());
        assert!(!session.document().is_tuned(), "{name}");
    }
}

#[test]
fn slow_receivers_are_solved_in_the_background() {
    let mut session = session_of(demo().unwrap());
    session.perform(receiver("power"));
    assert!(session.is_solving());
    assert_eq!(session.figures().beyond_optimum(), None);
    verify_legal(profile("power").unwrap(), &session.document().points).unwrap();
    while !session.poll() {
        std::thread::yield_now();
    }
    assert!(!session.is_solving() && !session.document().is_tuned());
    assert_eq!(session.figures().beyond_optimum(), Some(0.0));
    // One step back leads to the map before, however late the answer came.
    assert!(session.undo());
    assert_eq!(session.document().profile.name(), "segments-8");
    assert!(!session.undo());
    assert!(session.redo());
    assert_eq!(session.document().profile.name(), "power");
}

#[test]
fn a_save_waits_for_the_map_to_be_solved() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("m.map.toml");
    let mut session = slow_session();
    session.perform(full_at(120.0));
    assert!(session.is_solving());
    session.save(&out, false).unwrap();
    assert!(!out.exists() && session.is_changed());
    assert!(session.export(ExportForm::Csv).is_err());
    settled(&mut session);
    assert!(!session.is_changed());
    assert_reopens(&out);
}

#[test]
fn other_changes_do_not_cancel_a_solve() {
    let mut session = slow_session();
    session.perform(full_at(120.0));
    session.perform(lightest(33.0));
    settled(&mut session);
    assert!(!session.document().is_tuned());
    assert_eq!(session.figures().beyond_optimum(), Some(0.0));
}

#[test]
fn undo_and_redo_around_a_solve_end_with_the_best_map_known() {
    let mut session = slow_session();
    session.perform(full_at(120.0));
    session.perform(moved(&session, 1, -0.05, 0.0));
    session.undo();
    session.redo();
    settled(&mut session);
    assert!(session.document().is_tuned());
    assert!(session.figures().beyond_optimum().unwrap() > 0.0);
    session.undo();
    settled(&mut session);
    assert!(!session.document().is_tuned());
    assert_eq!(session.figures().beyond_optimum(), Some(0.0));
}

#[test]
fn only_points_of_a_curve_through_points_are_locked() {
    let mut session = session();
    session.perform(receiver("power"));
    assert!(!session.perform(lock(1)));
    session.perform(full_at(120.0));
    assert!(session.document().exponent.is_some());
}

#[test]
fn hands_and_brush_are_saved_with_the_map() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("m.map.toml");
    let mut session = session();
    session.perform(lightest(33.0));
    session.perform(Command::SetWidths(
        WidthScale::new(2.0, 9.0, evenhand_preview::WidthLaw::Area).unwrap(),
    ));
    assert!(session.is_changed());
    session.save(&out, false).unwrap();
    assert_reopens(&out);
    let again = session_of(open(&out).unwrap());
    assert_eq!(again.document().hands, session.document().hands);
    assert_eq!(again.document().scale, session.document().scale);
    session.undo();
    session.undo();
    assert_ne!(session.document().hands[0].force_gf, 33.0);
}

#[test]
fn what_a_fault_ends_is_kept() {
    let folder = tempfile::tempdir().unwrap();
    let data = folder.path().to_path_buf();
    let ended = std::thread::spawn(move || {
        let mut session = session_in(&data);
        session.perform(full_at(120.0));
        panic!("a fault");
    });
    assert!(ended.join().is_err());
    assert_eq!(left_behind(folder.path()).len(), 1);
}

#[test]
fn a_stylus_that_is_full_at_a_touch_is_no_fault() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("feather.csv");
    let mut rows = String::from("force_gf,reported_percent\n");
    for step in 0..16 {
        let force = 0.1 * f64::from(step);
        let percent = (100.0 * (force - 0.3) / 0.6).clamp(0.0, 100.0);
        rows.push_str(&format!("{force:.1},{percent:.1}\n"));
    }
    std::fs::write(&file, rows).unwrap();
    let mut session = session_of(open(&file).unwrap());
    session.perform(full_at(0.8));
    assert!((session.document().request.full_at.gf() - 0.8).abs() < 1e-12);
}

#[test]
fn an_answer_that_comes_too_late_changes_nothing() {
    let mut session = session_of(demo().unwrap());
    let before = session.document().points.clone();
    session.perform(receiver("power"));
    session.undo();
    let deadline = std::time::Instant::now() + std::time::Duration::from_millis(600);
    while std::time::Instant::now() < deadline {
        session.poll();
        std::thread::yield_now();
    }
    assert_eq!(session.document().points, before);
}

#[test]
fn what_is_saved_is_what_is_open() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("tuned.map.toml");
    let mut session = session();
    session.perform(target(TargetShape::Power(0.8)));
    session.perform(moved(&session, 2, 0.01, 0.02));
    session.perform(lock(2));
    session.save(&out, false).unwrap();
    assert!(!session.is_changed());
    // The demo's measurement lies beside its map now, and both open again, byte for byte.
    assert_reopens(&out);
    let again = session_of(open(&out).unwrap());
    assert_eq!(again.document().points, session.document().points);
    assert!(again.document().is_locked(2) && again.document().is_tuned());
    assert_eq!(
        again.figures().beyond_optimum().unwrap(),
        session.figures().beyond_optimum().unwrap()
    );
    // A file that is not its own is not replaced unasked.
    let other = folder.path().join("other.toml");
    std::fs::write(&other, "mine").unwrap();
    assert!(session.save(&other, false).is_err());
    assert_eq!(std::fs::read_to_string(&other).unwrap(), "mine");
    session.save(&out, false).unwrap();
}

#[test]
fn exports_are_those_of_the_points_that_are_open() {
    let mut session = session();
    session.perform(moved(&session, 3, 0.02, -0.03));
    let csv = session.export(ExportForm::Csv).unwrap();
    let rows: Vec<(f64, f64)> = csv
        .lines()
        .skip(1)
        .map(|line| {
            let (x, y) = line.split_once(',').unwrap();
            (x.parse().unwrap(), y.parse().unwrap())
        })
        .collect();
    let points = &session.document().points;
    assert_eq!(rows.len(), points.len());
    for (row, point) in rows.iter().zip(points) {
        assert_eq!(*row, (point.input, point.output));
    }
    for form in [
        ExportForm::Json,
        ExportForm::Css,
        ExportForm::Svg,
        ExportForm::Inkml,
        ExportForm::Card,
    ] {
        assert!(!session.export(form).unwrap().is_empty());
    }
    assert!(session.card(Theme::Light).unwrap().starts_with("<svg"));
}

/// As if the session had been killed: nothing of it is dropped in order.
fn killed(session: Session, folder: &Path) {
    std::mem::forget(session);
    // The lock of a killed program ends with it; this program lives on, so its file is taken away.
    for entry in std::fs::read_dir(folder).unwrap() {
        let path: PathBuf = entry.unwrap().path();
        if path.extension().is_some_and(|ending| ending == "lock") {
            std::fs::remove_file(path).unwrap();
        }
    }
}

#[test]
fn work_outlives_a_kill() {
    let folder = tempfile::tempdir().unwrap();
    let mut session = session_in(folder.path());
    session.perform(moved(&session, 3, 0.02, -0.03));
    session.perform(full_at(130.0));
    session.perform(moved(&session, 4, 0.01, 0.01));
    let points = session.document().points.clone();
    assert!(session.left_behind().is_empty(), "it is alive");
    killed(session, folder.path());

    let mut next = session_in(folder.path());
    let left = next.left_behind();
    assert_eq!(left.len(), 1);
    next.recover(&left[0]).unwrap();
    assert_eq!(next.document().points, points);
    assert_eq!(next.document().request.full_at.gf(), 130.0);
    assert!(next.is_changed() && next.left_behind().is_empty());
    // It is kept again at once: a second kill loses nothing either.
    killed(next, folder.path());
    assert_eq!(left_behind(folder.path()).len(), 1);
}

#[test]
fn a_session_that_ends_in_order_leaves_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let mut session = session_in(folder.path());
    session.perform(full_at(120.0));
    let out = folder.path().join("m.map.toml");
    session.save(&out, false).unwrap();
    drop(session);
    for entry in std::fs::read_dir(folder.path()).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        assert!(!name.starts_with("session"), "{name}");
    }
}

#[test]
fn a_file_that_cannot_be_written_or_vanishes_loses_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let mut session = session_in(folder.path());
    session.perform(full_at(120.0));
    let nowhere = folder.path().join("no/such/folder/m.toml");
    assert!(session.save(&nowhere, false).is_err());
    assert!(session.is_changed());
    let out = folder.path().join("m.map.toml");
    session.save(&out, false).unwrap();
    std::fs::remove_file(&out).unwrap();
    session.perform(full_at(110.0));
    session.save(&out, false).unwrap();
    assert!(out.exists());
    assert!(session.open(Path::new("/no/such/file.csv")).is_err());
    assert_eq!(session.document().request.full_at.gf(), 110.0);
}

#[test]
fn a_measurement_is_not_replaced_by_its_map() {
    let folder = tempfile::tempdir().unwrap();
    let measurement = folder.path().join("avocet.csv");
    std::fs::copy(AVOCET, &measurement).unwrap();
    let before = std::fs::read(&measurement).unwrap();
    let mut session = session_in(folder.path());
    session.open(&measurement).unwrap();
    let failure = session.save(&measurement, true).unwrap_err();
    assert!(failure.message.contains("is itself read"), "{failure}");
    assert_eq!(std::fs::read(&measurement).unwrap(), before);
    // Nor is the map replaced by what is drawn or written of it.
    let map = folder.path().join("m.map.toml");
    session.save(&map, false).unwrap();
    assert_eq!(session.inputs(), [measurement.as_path(), map.as_path()]);
    session.save(&map, false).unwrap();
}

#[test]
fn opening_another_file_keeps_what_was_not_saved() {
    let folder = tempfile::tempdir().unwrap();
    let mut session = session_in(folder.path());
    session.perform(full_at(120.0));
    session.open(Path::new(AVOCET)).unwrap();
    assert!(!session.is_changed() && !session.can_undo());
    assert_eq!(session.bench().name(), "Avocet 01");
    assert_eq!(session.left_behind().len(), 1);
}

fn commands() -> impl Strategy<Value = Command> {
    let coordinate = || prop_oneof![9 => -0.1..1.1_f64, 1 => Just(f64::NAN)];
    let index = || 0_usize..9;
    prop_oneof![
        8 => (index(), coordinate(), coordinate()).prop_map(|(index, x, y)| Command::MovePoint {
            index,
            to: ControlPoint::new(x, y),
        }),
        3 => (index(), any::<bool>()).prop_map(|(index, locked)| Command::SetLock { index, locked }),
        2 => coordinate().prop_map(|input| Command::AddPoint { input }),
        2 => index().prop_map(|index| Command::RemovePoint { index }),
        1 => (0.1..4.0_f64).prop_map(|exponent| Command::SetExponent { exponent }),
        3 => (1.0..260.0_f64).prop_map(full_at),
        2 => prop::option::of(0.5..90.0_f64).prop_map(|gf| Command::SetLightAt(gf.map(Force::from_gf))),
        2 => (0.2..3.0_f64).prop_map(|e| target(TargetShape::Power(e))),
        1 => (0.0..0.5_f64).prop_map(Command::SetOutputFloor),
        1 => prop::option::of(20.0..90.0_f64).prop_map(|d| Command::SetHoldAngle(d.and_then(HoldAngle::from_degrees))),
        2 => prop::sample::select(vec!["segments-8", "segments-8-percent", "segments-5"]).prop_filter_map("shipped", |name| {
            profile(name).map(|profile| Command::SetReceiver(Box::new(profile.clone())))
        }),
        2 => Just(Command::SolveAgain),
        1 => (0_usize..4, 0.0..400.0_f64).prop_map(|(index, force_gf)| Command::SetHand { index, force_gf }),
        1 => Just(Command::SetWidths(WidthScale::default())),
    ]
}

/// What of a session a user sees.
fn seen(session: &Session) -> String {
    let document = session.document();
    format!(
        "{:?} {:?} {:?} {} {:?} {:?}",
        document.points,
        document.locks(),
        document.request.full_at,
        document.profile.name(),
        document.hands,
        session.figures().built.achieved,
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn any_commands_leave_a_legal_map_and_undo_to_the_start(commands in prop::collection::vec((commands(), any::<bool>()), 1..24)) {
        let mut session = session();
        let mut states = vec![seen(&session)];
        for (command, ends) in commands {
            session.apply(command.clone());
            if ends {
                session.end_gesture();
            }
            let document = session.document();
            verify_legal(&document.profile, &document.points)
                .map_err(|broken| TestCaseError::fail(format!("{broken} after {command:?}")))?;
            states.push(seen(&session));
        }
        session.end_gesture();
        let last = states[states.len() - 1].clone();
        let mut steps = 0;
        while session.undo() {
            steps += 1;
            prop_assert!(states.contains(&seen(&session)));
        }
        prop_assert_eq!(&seen(&session), &states[0]);
        prop_assert!(!session.is_changed());
        for _ in 0..steps {
            prop_assert!(session.redo());
        }
        prop_assert_eq!(seen(&session), last);
    }
}

#[test]
fn a_map_that_is_not_what_was_saved_says_so_when_it_is_opened() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("m.map.toml");
    let mut session = session();
    session.save(&out, false).unwrap();
    let text = std::fs::read_to_string(&out).unwrap();
    let own = format!("version = \"{}\"", env!("CARGO_PKG_VERSION"));
    let notice = |text: &str| {
        std::fs::write(&out, text).unwrap();
        let opened = session_of(open(&out).unwrap());
        opened.notice().map(|notice| notice.text.clone())
    };
    assert_eq!(notice(&text), None);
    // Another version alone changes nothing.
    let other = text.replace(&own, "version = \"0.0.9\"");
    assert_eq!(notice(&other), None);
    let line = text.lines().find(|line| line.starts_with("max_error"));
    let changed = |text: &str| text.replace(line.unwrap(), "max_error = 0.25");
    let sentence = notice(&changed(&other)).unwrap();
    for words in ["0.0.9", env!("CARGO_PKG_VERSION"), "max_error: 0.25 → 0.0"] {
        assert!(sentence.contains(words), "{words}: {sentence}");
    }
    let sentence = notice(&changed(&text)).unwrap();
    assert!(sentence.contains("edited by hand"), "{sentence}");
    // In place of another map as well.
    session.open(&out).unwrap();
    let sentence = &session.notice().unwrap().text;
    assert!(sentence.contains("edited by hand"), "{sentence}");
}

#[cfg(unix)]
#[test]
fn a_measurement_whose_name_is_not_unicode_is_opened_exported_and_not_saved() {
    use std::os::unix::ffi::OsStrExt as _;

    let folder = tempfile::tempdir().unwrap();
    let name = std::ffi::OsStr::from_bytes(b"gr\xf6\xdfe.csv");
    let file = folder.path().join(name);
    let demo = include_str!("../../../demo/dunlin-01.csv");
    if std::fs::write(&file, demo).is_err() {
        // Some file systems have no such names.
        return;
    }
    let state = folder.path().join("state");
    let session = Session::new(open(&file).unwrap(), Some(state), || ());
    let mut session = session.unwrap().waiting_for_answers();
    assert!(!session.bench().has_changed_on_disk());
    assert!(session.export(ExportForm::Csv).is_ok());
    let out = folder.path().join("m.map.toml");
    let failure = session.save(&out, false).unwrap_err();
    assert!(failure.message.contains("not Unicode"), "{failure}");
    assert!(!out.exists());
    // It is said that nothing is kept for recovery either.
    session.perform(full_at(100.0));
    let notice = session.notice().unwrap();
    assert!(notice.is_fault, "{notice:?}");
    assert!(notice.text.contains("not Unicode"), "{notice:?}");
    std::fs::write(&file, format!("{demo}200,100.0\n")).unwrap();
    let written = std::fs::File::options().append(true).open(&file).unwrap();
    let later = std::time::SystemTime::now() + std::time::Duration::from_secs(5);
    written.set_modified(later).unwrap();
    assert!(session.bench().has_changed_on_disk());
}
