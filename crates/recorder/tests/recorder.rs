//! What a session keeps, asks for and refuses.

#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop there"
)]

use std::path::Path;

use evenhand_measurement::Force;
use evenhand_recorder::{
    Action, Next, Outcome, Recorder, RecorderSettings, Source, SourceSettings, Unsettled,
};

fn still(percent: f64) -> String {
    format!("{percent:.3}\n").repeat(30) + "\n"
}

fn source(folder: &Path, stream: &str) -> Source {
    let path = folder.join("stream.txt");
    std::fs::write(&path, stream).unwrap();
    Source::open(&SourceSettings {
        path,
        ..SourceSettings::default()
    })
    .unwrap()
}

/// A recorder in a folder that reads this stream.
fn recorder(folder: &Path, stream: &str) -> Recorder {
    Recorder::open(settings(folder), source(folder, stream)).unwrap()
}

fn settings(folder: &Path) -> RecorderSettings {
    RecorderSettings {
        settle: 20,
        ..RecorderSettings::new(folder.join("new.csv"))
    }
}

/// Places what is asked for, or what is given, and watches until something comes of it.
fn place(recorder: &mut Recorder, instead: Option<f64>) -> Outcome {
    if let Some(force) = instead {
        let force = Force::from_gf(force);
        recorder.act(Action::UseForce(force)).unwrap();
    }
    let outcome = recorder.act(Action::TakeReading).unwrap();
    assert_eq!(outcome, Outcome::Watching);
    loop {
        if let Some(outcome) = recorder.watch().unwrap().pop() {
            return outcome;
        }
    }
}

#[test]
fn without_a_list_the_plan_asks() {
    let folder = tempfile::tempdir().unwrap();
    // A stylus that answers from 10 gf on and is full at 160 gf.
    let reading = |force: f64| (100.0 * (force - 10.0) / 150.0).clamp(0.0, 100.0);
    let same_seating = || RecorderSettings {
        same_seating: true,
        ..settings(folder.path())
    };
    let mut forces = Vec::new();
    let why = loop {
        assert!(forces.len() < 40, "{forces:?}");
        // A recorder for what is asked, and one whose stream holds the answer.
        let mut recorder = Recorder::open(same_seating(), source(folder.path(), "")).unwrap();
        let force = match recorder.next_step() {
            Next::Place(placed) => placed.force_gf,
            Next::Done(why) => break why.clone(),
        };
        let answer = source(folder.path(), &still(reading(force)));
        let mut recorder = Recorder::open(same_seating(), answer).unwrap();
        assert!(matches!(place(&mut recorder, None), Outcome::Kept(_)));
        forces.push(force);
    };
    assert!(why.contains("are reached"), "{why}");
    assert!(forces.iter().any(|force| *force >= 160.0), "{forces:?}");
    assert!(forces.iter().all(|force| *force <= 1000.0));
    // Once the range is known, forces are asked for where they say most, not ever larger ones.
    let largest = forces.iter().max_by(|a, b| a.total_cmp(b));
    assert!(forces.last() < largest, "{forces:?}");
    let mut recorder = recorder(folder.path(), "");
    assert_eq!(recorder.rows().len(), forces.len());
    let progress = recorder.progress();
    assert_eq!(progress.samples.len(), forces.len());
    assert!(progress.curve.len() >= 200);
    let saturation = recorder.fit().unwrap().response.saturation().unwrap().gf();
    assert!((saturation - 160.0).abs() < 8.0, "{saturation}");
}

#[test]
fn what_others_wrote_is_kept() {
    let folder = tempfile::tempdir().unwrap();
    let stream = still(5.0) + &still(20.0);
    let mut taking = recorder(folder.path(), &stream);
    place(&mut taking, Some(10.0));
    let file = folder.path().join("new.csv");
    // While it runs nobody else writes: the sample is refused, the other's words stay.
    let theirs = std::fs::read_to_string(&file).unwrap() + "# the lamp was moved\n";
    std::fs::write(&file, &theirs).unwrap();
    taking.act(Action::TakeReading).unwrap();
    let failure = loop {
        match taking.watch() {
            Ok(_) => {}
            Err(failure) => break failure,
        }
    };
    let told = failure.to_string();
    assert!(told.contains("changed by another"), "{told}");
    assert_eq!(std::fs::read_to_string(&file).unwrap(), theirs);
    assert_eq!(taking.rows().len(), 1);
    // Where there is room again, the same placement is read for the same force.
    std::fs::remove_file(&file).unwrap();
    let outcome = place(&mut taking, None);
    let Outcome::Kept(row) = outcome else {
        panic!("{outcome:?}");
    };
    assert!((row.reading - 0.2).abs() < 1e-9, "{row:?}");
    taking.act(Action::Undo).unwrap();
    std::fs::write(&file, &theirs).unwrap();
    // Begun again it goes on with all of it.
    let mut taking = recorder(folder.path(), &still(20.0));
    place(&mut taking, Some(40.0));
    let text = std::fs::read_to_string(&file).unwrap();
    assert!(text.contains("# the lamp was moved\n40,0.2"), "{text}");
    // A file that was taken away is written anew, with everything.
    std::fs::remove_file(&file).unwrap();
    taking.act(Action::Undo).unwrap();
    let text = std::fs::read_to_string(&file).unwrap();
    let is_kept = text.contains("# the lamp was moved");
    assert!(is_kept && !text.contains("\n40,"), "{text}");
}

#[test]
fn watching_ends_where_its_reason_does() {
    let folder = tempfile::tempdir().unwrap();
    let stream = "1\n2\n3\n\n".to_owned() + &still(20.0) + "5\n6\n";
    let mut taking = recorder(folder.path(), &stream);
    let outcome = place(&mut taking, Some(10.0));
    assert_eq!(outcome, Outcome::NotKept(Unsettled::PlacementEnded));
    // Another force, a new seating or taking back leave a placement that is being watched.
    taking.act(Action::TakeReading).unwrap();
    assert!(taking.is_watching());
    let seated = |taking: &mut Recorder| taking.act(Action::NewSeating).unwrap();
    assert_eq!(seated(&mut taking), Outcome::Seating(1));
    assert!(!taking.is_watching());
    assert!(matches!(place(&mut taking, None), Outcome::Kept(_)));
    for why in ["a new one", "an empty one is not left"] {
        assert_eq!(seated(&mut taking), Outcome::Seating(2), "{why}");
    }
    assert_eq!(place(&mut taking, Some(30.0)), Outcome::SourceEnded);
    assert!(taking.has_ended());
    assert_eq!(taking.rows().len(), 1);
}

#[test]
fn limits_are_kept() {
    let folder = tempfile::tempdir().unwrap();
    let limited = |limit: f64| {
        let limited = RecorderSettings {
            limit: Force::from_gf(limit),
            ..settings(folder.path())
        };
        Recorder::open(limited, source(folder.path(), ""))
    };
    for limit in [0.0, -5.0, f64::NAN, f64::INFINITY] {
        assert!(limited(limit).is_err(), "{limit}");
    }
    let mut recorder = limited(50.0).unwrap();
    let mut using = |force: f64| {
        let force = Force::from_gf(force);
        recorder.act(Action::UseForce(force)).unwrap()
    };
    assert!(matches!(using(60.0), Outcome::BeyondLimit { .. }));
    using(45.0);
    match recorder.next_step() {
        Next::Place(placed) => assert!(placed.caution.as_ref().unwrap().contains("near the limit")),
        Next::Done(why) => panic!("{why}"),
    }
}

#[test]
fn taking_readings_as_they_come_keeps_what_waiting_keeps() {
    let percents = [5.0, 20.0, 45.0, 70.0];
    // Placements of every length, so that they end anywhere among the readings that are taken at once.
    for length in 13..32 {
        let stream: String = percents
            .iter()
            .map(|percent| format!("{percent}\n").repeat(length) + "\n")
            .collect();
        let kept = |waits: bool| -> Vec<(f64, f64)> {
            let folder = tempfile::tempdir().unwrap();
            let listed = RecorderSettings {
                forces: [10.0, 30.0, 60.0, 90.0].map(Force::from_gf).to_vec(),
                settle: 13,
                ..settings(folder.path())
            };
            let mut recorder = Recorder::open(listed, source(folder.path(), &stream)).unwrap();
            for _ in percents {
                recorder.act(Action::TakeReading).unwrap();
                while recorder.is_watching() {
                    if waits {
                        recorder.watch().unwrap();
                    } else {
                        recorder.poll().unwrap();
                    }
                }
            }
            let rows = recorder.rows().iter();
            rows.map(|row| (row.force_gf, row.reading)).collect()
        };
        let expected = [(10.0, 0.05), (30.0, 0.2), (60.0, 0.45), (90.0, 0.7)];
        assert_eq!(kept(true), expected, "{length} readings, waiting");
        assert_eq!(kept(false), expected, "{length} readings, as they come");
    }
}
