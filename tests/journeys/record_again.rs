//! Taking back, going on tomorrow, and being killed.

use std::io::{BufRead as _, BufReader, Write as _};
use std::process::{Command, Stdio};

use crate::bench_room::Room;
use crate::bench_stream::{near, samples, stream, taking, typed};

#[test]
fn one_can_retake_undo_change_the_seating_and_go_on_tomorrow() {
    let room = Room::new();
    room.write("stream.txt", stream(&[1.0, 12.0, 13.0, 40.0, 55.0]));
    let args = taking(
        "new.csv",
        "stream.txt",
        &["--forces", "5gf,20gf,60gf,80gf", "--settle", "30"],
    );
    // Take two, retake the second, new seating, another force instead, undo it, stop.
    let did = typed(&room, &args, "\n\nr\n\ns\n70gf\n\nu\nq\n");
    assert_eq!(did.code, 0, "{}", did.err);
    near(&samples(&room, "new.csv"), &[(5.0, 1.0), (20.0, 13.0)]);
    // Tomorrow: a seating of its own, the list goes on where it was.
    room.write("stream.txt", stream(&[41.0, 54.0]));
    let did = typed(&room, &args, "\n\n");
    assert_eq!(did.code, 0, "{}", did.err);
    near(
        &samples(&room, "new.csv"),
        &[(5.0, 1.0), (20.0, 13.0), (60.0, 41.0), (80.0, 54.0)],
    );
    let text = room.read("new.csv");
    let seatings: Vec<&str> = text
        .lines()
        .filter(|line| line.starts_with(|c: char| c.is_ascii_digit()))
        .map(|line| line.split(',').nth(2).unwrap())
        .collect();
    assert_eq!(seatings, ["1", "1", "2", "2"]);
}

#[test]
fn a_recording_is_gone_on_with_where_it_was_left() {
    let room = Room::new();
    room.write("stream.txt", stream(&[1.0, 12.0, 13.0, 40.0]));
    let args = taking(
        "new.csv",
        "stream.txt",
        &["--forces", "5gf,20gf,60gf,80gf", "--settle", "30"],
    );
    // The second placement is taken twice, then enough for today.
    let did = typed(&room, &args, "\n\nr\n\nq\n");
    assert_eq!(did.code, 0, "{}", did.err);
    near(&samples(&room, "new.csv"), &[(5.0, 1.0), (20.0, 13.0)]);
    // By tomorrow the recording has grown.
    room.write("stream.txt", stream(&[1.0, 12.0, 13.0, 40.0, 54.0]));
    let did = typed(&room, &args, "\n\n");
    assert_eq!(did.code, 0, "{}", did.err);
    did.assert_out("where it was left");
    near(
        &samples(&room, "new.csv"),
        &[(5.0, 1.0), (20.0, 13.0), (60.0, 40.0), (80.0, 54.0)],
    );
    room.ends("check new.csv", 0);
}

#[test]
fn another_bench_is_not_gone_on_with() {
    let room = Room::new();
    room.demo("rig.toml");
    room.write("stream.txt", stream(&[1.0, 12.0, 40.0]));
    let with = |more: &[&str], keys: &str| {
        let args = taking("new.csv", "stream.txt", &["--settle", "30"]);
        typed(&room, &[&args[..], more].concat(), keys)
    };
    let spaced = room.read("rig.toml").replace("\"window\"", "\" window \"");
    room.write("rig.toml", spaced);
    assert_eq!(with(&["--rig", "rig.toml"], "\nq\n").code, 0);
    let before = room.read("new.csv");
    assert!(before.contains("# tilt_deg = 0") && before.contains("# bench = window"));
    let other = room
        .read("rig.toml")
        .replace("nib_arm_within_mm = 0.5", "nib_arm_within_mm = 2");
    room.write("other.toml", other);
    for (more, told) in [
        (&["--rig", "other.toml"][..], "force_gain_u"),
        (&[], "no rig is given"),
    ] {
        let did = with(more, "\n");
        assert_eq!(did.code, 2, "{}", did.out);
        assert!(
            did.err.contains("new.csv") && did.err.contains(told),
            "{}",
            did.err
        );
        assert_eq!(room.read("new.csv"), before);
    }
    // Its own, under another limit, is.
    let did = with(&["--rig", "rig.toml", "--limit", "300gf"], "\nq\n");
    assert_eq!(did.code, 0, "{}", did.err);
    assert_eq!(samples(&room, "new.csv").len(), 2);
}

#[test]
fn the_last_of_a_list_can_be_taken_back() {
    let room = Room::new();
    room.write("stream.txt", stream(&[1.0, 12.0, 40.0, 55.0]));
    let args = taking(
        "new.csv",
        "stream.txt",
        &["--forces", "5gf,20gf", "--settle", "30"],
    );
    let did = typed(&room, &args, "\n\nr\n\n90gf\n\n\n");
    assert_eq!(did.code, 0, "{}", did.err);
    near(
        &samples(&room, "new.csv"),
        &[(5.0, 1.0), (20.0, 40.0), (90.0, 55.0)],
    );
}

#[test]
fn two_hundred_kills_lose_nothing_that_was_kept() {
    let room = Room::new();
    let percents: Vec<f64> = (0..12).map(|i| 8.0 * f64::from(i)).collect();
    let forces: Vec<String> = (0..12).map(|i| format!("{}gf", 5 + 10 * i)).collect();
    room.write("stream.txt", stream(&percents));
    // A simple generator of times to kill at: anything will do.
    let mut state = 12_345_u64;
    let mut most = 0;
    for turn in 0..200 {
        let name = format!("killed-{turn}.csv");
        let mut child = Command::new(env!("CARGO_BIN_EXE_evenhand"))
            .current_dir(room.path("."))
            .args(taking(&name, "stream.txt", &["--settle", "30", "--forces"]))
            .arg(forces.join(","))
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut keys = child.stdin.take().unwrap();
        let _ = keys.write_all("\n".repeat(12).as_bytes());
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1);
        let wait_for = (state >> 33) % 13;
        let mut kept = 0;
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
        while kept < wait_for {
            let Some(Ok(line)) = lines.next() else { break };
            kept += u64::from(line.starts_with("kept ") && line.contains("scatter"));
        }
        // A little further on, somewhere within the next sample.
        std::thread::sleep(std::time::Duration::from_micros((state >> 40) % 1500));
        child.kill().unwrap();
        child.wait().unwrap();
        drop(keys);
        let found = if room.path(&name).exists() {
            let read = room.json(
                &["check", &name, "--json"],
                if kept == 0 && samples(&room, &name).is_empty() {
                    2
                } else {
                    0
                },
            );
            assert!(kept == 0 || read["files"][0]["readable"] == true, "{read}");
            samples(&room, &name)
        } else {
            Vec::new()
        };
        assert!(
            found.len() as u64 >= kept,
            "{turn}: {kept} told, {} on disk",
            found.len()
        );
        for (sample, percent) in found.iter().zip(&percents) {
            assert!((sample.1 - percent).abs() < 0.1, "{turn}: {found:?}");
        }
        most = most.max(found.len());
        if turn % 8 == 0 {
            // The same command goes on, with the right reading under each force.
            let list = forces.join(",");
            let args = taking(&name, "stream.txt", &["--settle", "30", "--forces", &list]);
            let did = typed(&room, &args, &"\n".repeat(13));
            assert_eq!(did.code, 0, "{}", did.err);
            let whole = samples(&room, &name);
            assert_eq!(whole.len(), percents.len(), "{turn}: {whole:?}");
            for (sample, percent) in whole.iter().zip(&percents) {
                assert!((sample.1 - percent).abs() < 0.1, "{turn}: {whole:?}");
            }
        }
    }
    assert!(most >= 10, "kills came early and late: {most}");
}
