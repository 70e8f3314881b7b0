//! Taking back, going on tomorrow, and being killed.

use std::io::{BufRead as _, BufReader, Write as _};
use std::process::{Command, Stdio};

use crate::bench_room::{Room, Words as _};
use crate::bench_stream::{kept, near, samples, stream, taking, typed};

const FOUR: &str = "--forces 5gf,20gf,60gf,80gf --settle 30";

#[test]
fn one_can_retake_undo_change_the_seating_and_go_on_tomorrow() {
    let room = Room::new();
    room.write("stream.txt", stream(&[1.0, 12.0, 13.0, 40.0, 55.0]));
    let args = taking("new.csv", "stream.txt", FOUR);
    // Take two, retake the second, new seating, another force instead, undo it, stop.
    let first = kept(&room, &args, "\n\nr\n\ns\n70gf\n\nu\nq\n");
    near(&first, &[(5.0, 1.0), (20.0, 13.0)]);
    // Tomorrow: a seating of its own, the list goes on where it was.
    room.write("stream.txt", stream(&[41.0, 54.0]));
    let all = kept(&room, &args, "\n\n");
    near(
        &all,
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
    let args = taking("new.csv", "stream.txt", FOUR);
    // The second placement is taken twice, then enough for today.
    let first = kept(&room, &args, "\n\nr\n\nq\n");
    near(&first, &[(5.0, 1.0), (20.0, 13.0)]);
    // By tomorrow the recording has grown.
    room.write("stream.txt", stream(&[1.0, 12.0, 13.0, 40.0, 54.0]));
    let did = typed(&room, &args, "\n\n").ended(0);
    did.assert_out("where it was left");
    let all = samples(&room, "new.csv");
    near(
        &all,
        &[(5.0, 1.0), (20.0, 13.0), (60.0, 40.0), (80.0, 54.0)],
    );
    room.ends("check new.csv", 0);
}

#[test]
fn another_bench_is_not_gone_on_with() {
    let room = Room::new();
    room.demo("rig.toml");
    room.write("stream.txt", stream(&[1.0, 12.0, 40.0]));
    let with = |more: &str, keys: &str| {
        let args = taking("new.csv", "stream.txt", more);
        typed(&room, &format!("{args} --settle 30"), keys)
    };
    let spaced = room.read("rig.toml").replace("\"window\"", "\" window \"");
    room.write("rig.toml", spaced);
    with("--rig rig.toml", "\nq\n").ended(0);
    let before = room.read("new.csv");
    assert!(before.contains("# tilt_deg = 0") && before.contains("# bench = window"));
    let other = room
        .read("rig.toml")
        .replace("nib_arm_within_mm = 0.5", "nib_arm_within_mm = 2");
    room.write("other.toml", other);
    for (more, told) in [
        ("--rig other.toml", "force_gain_u"),
        ("", "no rig is given"),
    ] {
        let did = with(more, "\n").ended(2);
        did.assert_err(["new.csv", told]);
        assert_eq!(room.read("new.csv"), before);
    }
    // Its own, under another limit, is.
    with("--rig rig.toml --limit 300gf", "\nq\n").ended(0);
    assert_eq!(samples(&room, "new.csv").len(), 2);
}

#[test]
fn the_last_of_a_list_can_be_taken_back() {
    let room = Room::new();
    room.write("stream.txt", stream(&[1.0, 12.0, 40.0, 55.0]));
    let args = taking("new.csv", "stream.txt", "--forces 5gf,20gf --settle 30");
    let all = kept(&room, &args, "\n\nr\n\n90gf\n\n\n");
    near(&all, &[(5.0, 1.0), (20.0, 40.0), (90.0, 55.0)]);
}

#[test]
fn two_hundred_kills_lose_nothing_that_was_kept() {
    let room = Room::new();
    let percents: Vec<f64> = (0..12).map(|i| 8.0 * f64::from(i)).collect();
    let forces: Vec<String> = (0..12).map(|i| format!("{}gf", 5 + 10 * i)).collect();
    room.write("stream.txt", stream(&percents));
    let settings = format!("--settle 30 --forces {}", forces.join(","));
    let are_right = |found: &[(f64, f64)]| {
        let mut both = found.iter().zip(&percents);
        both.all(|(sample, percent)| (sample.1 - percent).abs() < 0.1)
    };
    // A simple generator of times to kill at: anything will do.
    let mut state = 12_345_u64;
    let mut most = 0;
    for turn in 0..200 {
        let name = format!("killed-{turn}.csv");
        let mut child = Command::new(env!("CARGO_BIN_EXE_evenhand"))
            .current_dir(room.path("."))
            .args(taking(&name, "stream.txt", &settings).words())
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
        let mut told = 0;
        let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
        while told < wait_for {
            let Some(Ok(line)) = lines.next() else { break };
            told += u64::from(line.starts_with("kept ") && line.contains("scatter"));
        }
        // A little further on, somewhere within the next sample.
        std::thread::sleep(std::time::Duration::from_micros((state >> 40) % 1500));
        child.kill().unwrap();
        child.wait().unwrap();
        drop(keys);
        let found = if room.path(&name).exists() {
            let is_empty = told == 0 && samples(&room, &name).is_empty();
            let code = if is_empty { 2 } else { 0 };
            let read = room.json(&["check", &name, "--json"], code);
            assert!(told == 0 || read["files"][0]["readable"] == true, "{read}");
            samples(&room, &name)
        } else {
            Vec::new()
        };
        assert!(
            found.len() as u64 >= told,
            "{turn}: {told} told, {} on disk",
            found.len()
        );
        assert!(are_right(&found), "{turn}: {found:?}");
        most = most.max(found.len());
        if turn % 8 == 0 {
            // The same command goes on, with the right reading under each force.
            let args = taking(&name, "stream.txt", &settings);
            let whole = kept(&room, &args, &"\n".repeat(13));
            assert_eq!(whole.len(), percents.len(), "{turn}: {whole:?}");
            assert!(are_right(&whole), "{turn}: {whole:?}");
        }
    }
    assert!(most >= 10, "kills came early and late: {most}");
}
