//! Taking readings: settling, taking back, going on tomorrow, and being killed.

use std::io::{BufRead as _, BufReader, Write as _};
use std::process::{Command, Stdio};

use crate::bench_room::{Did, Room, did, number};

/// Runs with lines on standard input.
fn typed(room: &Room, args: &[&str], lines: &str) -> Did {
    let mut child = Command::new(env!("CARGO_BIN_EXE_evenhand"))
        .current_dir(room.path("."))
        .args(args)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // It may end before it has read everything.
    let _ = child.stdin.take().unwrap().write_all(lines.as_bytes());
    did(&child.wait_with_output().unwrap())
}

/// A reading that creeps to its place and lies still there, then a blank line.
fn placement(percent: f64) -> String {
    let mut text = String::new();
    for step in 0..80_u32 {
        let creep = 3.0 * (-f64::from(step) / 5.0).exp();
        let wave = 0.02 * (f64::from(step) * 2.1).sin();
        text.push_str(&format!(
            "{:.3}\n",
            (percent - creep + wave).clamp(0.0, 100.0)
        ));
    }
    text.push('\n');
    text
}

fn stream(percents: &[f64]) -> String {
    percents.iter().map(|percent| placement(*percent)).collect()
}

/// Force and percent of every sample.
fn samples(room: &Room, name: &str) -> Vec<(f64, f64)> {
    room.read(name)
        .lines()
        .filter(|line| line.starts_with(|c: char| c.is_ascii_digit()))
        .map(|line| {
            let cells: Vec<f64> = line
                .split(',')
                .take(2)
                .map(|cell| cell.parse().unwrap())
                .collect();
            (cells[0], 100.0 * cells[1])
        })
        .collect()
}

fn near(found: &[(f64, f64)], expected: &[(f64, f64)]) {
    assert_eq!(found.len(), expected.len(), "{found:?}");
    for (a, b) in found.iter().zip(expected) {
        assert!(
            (a.0 - b.0).abs() < 1e-9 && (a.1 - b.1).abs() < 0.1,
            "{a:?} {b:?}"
        );
    }
}

#[test]
fn readings_settle_and_become_a_measurement() {
    let room = Room::new();
    room.write("stream.txt", stream(&[0.0, 12.0, 40.0, 75.0, 103.0]));
    let args = [
        "bench",
        "record",
        "new.csv",
        "--from",
        "stream.txt",
        "--forces",
        "5gf,20gf,60gf,120gf,200gf",
        "--settle",
        "30",
        "--model",
        "Dunlin",
        "--unit",
        "09",
    ];
    let did = typed(&room, &args, "\n\n\n\n\n");
    assert_eq!(did.code, 0, "{}", did.err);
    near(
        &samples(&room, "new.csv"),
        &[
            (5.0, 0.0),
            (20.0, 12.0),
            (60.0, 40.0),
            (120.0, 75.0),
            (200.0, 100.0),
        ],
    );
    assert!(did.out.contains("guard the lever"), "cautions come first");
    assert!(
        room.read("new.csv")
            .contains("# settled over 30 readings, scatter")
    );
    let fit = room.json(&["fit", "new.csv", "--json"], 0);
    assert_eq!(fit["stylus"]["model"], "Dunlin");
    assert!(number(&fit["saturation_force_gf"]["estimate"]) > 120.0);
}

#[test]
fn standard_input_needs_no_keys() {
    let room = Room::new();
    let args = [
        "bench",
        "record",
        "new.csv",
        "--from",
        "-",
        "--forces",
        "5gf,20gf,60gf",
        "--settle",
        "30",
    ];
    let did = typed(&room, &args, &stream(&[0.0, 12.0, 40.0]));
    assert_eq!(did.code, 0, "{}", did.err);
    near(
        &samples(&room, "new.csv"),
        &[(5.0, 0.0), (20.0, 12.0), (60.0, 40.0)],
    );
    // A stream that ends too early keeps what it had and says so.
    let did = typed(
        &room,
        &[
            "bench",
            "record",
            "short.csv",
            "--from",
            "-",
            "--forces",
            "5gf,20gf",
        ],
        &stream(&[3.0]),
    );
    assert_eq!(did.code, 1, "{}", did.err);
    assert_eq!(samples(&room, "short.csv").len(), 1);
}

#[test]
fn one_can_retake_undo_change_the_seating_and_go_on_tomorrow() {
    let room = Room::new();
    room.write("stream.txt", stream(&[1.0, 12.0, 13.0, 40.0, 55.0]));
    let args = [
        "bench",
        "record",
        "new.csv",
        "--from",
        "stream.txt",
        "--forces",
        "5gf,20gf,60gf,80gf",
        "--settle",
        "30",
    ];
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
fn nothing_settles_that_does_not_lie_still() {
    let room = Room::new();
    let climbing: String = (0..200)
        .map(|i| format!("{}\n", 0.3 * f64::from(i)))
        .collect();
    let lost = "no number here\n-5\n200\nNaN\n".repeat(40);
    room.write(
        "stream.txt",
        format!("{climbing}\n{lost}\n{}", placement(30.0)),
    );
    let args = [
        "bench",
        "record",
        "new.csv",
        "--from",
        "stream.txt",
        "--forces",
        "50gf",
        "--settle",
        "30",
    ];
    let did = typed(&room, &args, "\n\n\n\nq\n");
    assert!(
        did.err.contains("before its reading settled"),
        "{}",
        did.out
    );
    near(&samples(&room, "new.csv"), &[(50.0, 30.0)]);
}

#[test]
fn what_cannot_be_recorded_is_refused() {
    let room = Room::new();
    room.write("stream.txt", placement(3.0));
    room.write("mine.csv", "force_gf,reported_percent\n1,2\n");
    let refused = |args: &[&str]| {
        let did = typed(&room, &[&["bench", "record"][..], args].concat(), "\n");
        assert_eq!(did.code, 2, "{args:?}\n{}\n{}", did.out, did.err);
        did.err
    };
    assert!(refused(&["mine.csv", "--from", "stream.txt"]).contains("exists"));
    assert_eq!(
        room.read("mine.csv"),
        "force_gf,reported_percent\n1,2\n",
        "left alone"
    );
    refused(&["new.csv", "--from", "missing.txt"]);
    refused(&["new.csv", "--from", "."]);
    refused(&["new.csv", "--from", "stream.txt", "--as", "raw"]);
    refused(&[
        "new.csv",
        "--from",
        "stream.txt",
        "--as",
        "events",
        "--levels",
        "8192",
    ]);
    refused(&[
        "new.csv", "--from", "-", "--as", "events", "--levels", "8192",
    ]);
    refused(&["new.csv", "--from", "stream.txt", "--forces", "1200gf"]);
    refused(&["new.csv", "--from", "stream.txt", "--json"]);
    assert!(!room.path("new.csv").exists(), "nothing half written");
    refused(&["no/folder/new.csv", "--from", "stream.txt"]);
}

/// A recorded session of events: for each count the pen comes down, rests for a second, and is lifted.
fn events(counts: &[i32], wide: bool, tilt: i32) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut micros = 5_000_000_u64;
    let mut event = |micros: u64, kind: u16, code: u16, value: i32| {
        let (seconds, rest) = (micros / 1_000_000, micros % 1_000_000);
        if wide {
            bytes.extend(seconds.to_le_bytes());
            bytes.extend(rest.to_le_bytes());
        } else {
            bytes.extend(u32::try_from(seconds).unwrap().to_le_bytes());
            bytes.extend(u32::try_from(rest).unwrap().to_le_bytes());
        }
        bytes.extend(kind.to_le_bytes());
        bytes.extend(code.to_le_bytes());
        bytes.extend(value.to_le_bytes());
    };
    for count in counts {
        event(micros, 1, 0x14a, 1);
        event(micros, 3, 0x1a, tilt);
        for step in (0..4).rev() {
            event(micros, 3, 0x18, (count - 100 * step).max(0));
            event(micros, 0, 0, 0);
            micros += 20_000;
        }
        // At rest nothing is told.
        micros += 1_000_000;
        event(micros, 1, 0x14a, 0);
        event(micros, 0, 0, 0);
        micros += 500_000;
    }
    bytes
}

#[test]
fn kernel_events_are_read_in_both_layouts() {
    let room = Room::new();
    for wide in [true, false] {
        let name = if wide { "wide.csv" } else { "narrow.csv" };
        room.write("events.bin", events(&[819, 4095, 8191], wide, 3));
        let args = [
            "bench",
            "record",
            name,
            "--from",
            "events.bin",
            "--levels",
            "8192",
            "--forces",
            "20gf,90gf,200gf",
        ];
        let did = typed(&room, &args, "\n\n\n");
        assert_eq!(did.code, 0, "{}\n{}", did.out, did.err);
        near(
            &samples(&room, name),
            &[(20.0, 9.999), (90.0, 49.994), (200.0, 100.0)],
        );
        assert!(!did.err.contains("leans"), "{}", did.err);
    }
    room.write("events.bin", events(&[819], true, 40));
    let args = [
        "bench",
        "record",
        "leaning.csv",
        "--from",
        "events.bin",
        "--levels",
        "8192",
        "--forces",
        "20gf",
    ];
    let did = typed(&room, &args, "\n");
    assert!(did.err.contains("leans by 40"), "{}", did.err);
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
            .args([
                "bench",
                "record",
                &name,
                "--from",
                "stream.txt",
                "--settle",
                "30",
                "--forces",
            ])
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
            let args = [
                "bench",
                "record",
                &name,
                "--from",
                "stream.txt",
                "--settle",
                "30",
                "--forces",
                &list,
            ];
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

/// A line that goes on telling, as a serial line or a device does.
#[cfg(unix)]
fn fifo(room: &Room, name: &str) {
    let made = Command::new("mkfifo")
        .arg(room.path(name))
        .status()
        .unwrap();
    assert!(made.success());
}

#[cfg(unix)]
#[test]
fn a_slow_serial_line_settles_too() {
    let room = Room::new();
    fifo(&room, "line");
    let path = room.path("line");
    let teller = std::thread::spawn(move || {
        let mut line = std::fs::File::create(path).unwrap();
        // Ten ticks pass in silence between two readings.
        for step in 0..40 {
            if writeln!(line, "t={step} p=41.5").is_err() {
                break;
            }
            std::thread::sleep(std::time::Duration::from_millis(100));
        }
    });
    let args = [
        "bench", "record", "new.csv", "--from", "line", "--forces", "60gf", "--settle", "10",
        "--plain",
    ];
    let did = typed(&room, &args, "\n");
    assert_eq!(did.code, 0, "{}{}", did.out, did.err);
    near(&samples(&room, "new.csv"), &[(60.0, 41.5)]);
    teller.join().unwrap();
}

#[cfg(unix)]
#[test]
fn a_device_at_rest_tells_nothing_and_settles() {
    let room = Room::new();
    fifo(&room, "device");
    let path = room.path("device");
    let (done, wait) = std::sync::mpsc::channel::<()>();
    let teller = std::thread::spawn(move || {
        let mut device = std::fs::File::create(path).unwrap();
        let all = events(&[4095], true, 3);
        // The pen comes down and stays; the last two events lift it.
        let (down, lift) = all.split_at(all.len() - 48);
        // In portions that end within an event.
        for portion in down.chunks(17) {
            device.write_all(portion).unwrap();
            device.flush().unwrap();
        }
        let _ = wait.recv();
        let _ = device.write_all(lift);
    });
    let args = [
        "bench", "record", "new.csv", "--from", "device", "--as", "events", "--levels", "8192",
        "--forces", "90gf", "--plain",
    ];
    let did = typed(&room, &args, "\n");
    assert_eq!(did.code, 0, "{}{}", did.out, did.err);
    near(&samples(&room, "new.csv"), &[(90.0, 49.994)]);
    let _ = done.send(());
    teller.join().unwrap();
}

#[test]
fn a_recording_is_gone_on_with_where_it_was_left() {
    let room = Room::new();
    room.write("stream.txt", stream(&[1.0, 12.0, 13.0, 40.0]));
    let args = [
        "bench",
        "record",
        "new.csv",
        "--from",
        "stream.txt",
        "--forces",
        "5gf,20gf,60gf,80gf",
        "--settle",
        "30",
    ];
    // The second placement is taken twice, then enough for today.
    let did = typed(&room, &args, "\n\nr\n\nq\n");
    assert_eq!(did.code, 0, "{}", did.err);
    near(&samples(&room, "new.csv"), &[(5.0, 1.0), (20.0, 13.0)]);
    // By tomorrow the recording has grown.
    room.write("stream.txt", stream(&[1.0, 12.0, 13.0, 40.0, 54.0]));
    let did = typed(&room, &args, "\n\n");
    assert_eq!(did.code, 0, "{}", did.err);
    assert!(did.out.contains("where it was left"), "{}", did.out);
    near(
        &samples(&room, "new.csv"),
        &[(5.0, 1.0), (20.0, 13.0), (60.0, 40.0), (80.0, 54.0)],
    );
    assert_eq!(room.run(&["check", "new.csv"]).code, 0);
}

#[test]
fn another_bench_is_not_gone_on_with() {
    let room = Room::new();
    room.demo("rig.toml");
    room.write("stream.txt", stream(&[1.0, 12.0, 40.0]));
    let with = |more: &[&str], keys: &str| {
        let args = [
            "bench",
            "record",
            "new.csv",
            "--from",
            "stream.txt",
            "--settle",
            "30",
        ];
        typed(&room, &[&args[..], more].concat(), keys)
    };
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
fn forces_are_those_that_the_masses_make() {
    let room = Room::new();
    room.demo("rig.toml");
    room.write("stream.txt", stream(&[1.0, 12.0, 40.0]));
    let args = [
        "bench",
        "record",
        "new.csv",
        "--from",
        "stream.txt",
        "--settle",
        "30",
        "--rig",
        "rig.toml",
        "--forces",
        "60gf,91gf",
    ];
    // The two of the list, and a typed one.
    let did = typed(&room, &args, "\n\n121gf\n\nq\n");
    assert_eq!(did.code, 0, "{}", did.err);
    assert!(did.out.contains("60.00 gf, hang 20 g"), "{}", did.out);
    assert!(did.out.contains("89.99 gf, hang 20+10 g"), "{}", did.out);
    assert!(did.out.contains("for 91 gf"), "{}", did.out);
    assert!(
        did.out
            .contains("the nearest to 121 gf that this bench makes"),
        "{}",
        did.out
    );
    let forces: Vec<f64> = samples(&room, "new.csv").iter().map(|one| one.0).collect();
    for (force, grams) in forces.iter().zip([20.0, 30.0, 40.0]) {
        let expected = 3.0 * grams * 9.806 / 9.80665;
        assert!((force - expected).abs() < 1e-3, "{forces:?}");
    }
    assert_eq!(forces.len(), 3);
    // What no sum comes near is refused.
    let did = typed(
        &room,
        &[
            &["bench", "record", "far.csv"][..],
            &args[3..9],
            &["--forces", "800gf"],
        ]
        .concat(),
        "\n",
    );
    assert_eq!(did.code, 2, "{}", did.out);
    assert!(did.err.contains("nearest is 630.0 gf"), "{}", did.err);
    assert!(!room.path("far.csv").exists());
}

#[test]
fn the_last_of_a_list_can_be_taken_back() {
    let room = Room::new();
    room.write("stream.txt", stream(&[1.0, 12.0, 40.0, 55.0]));
    let args = [
        "bench",
        "record",
        "new.csv",
        "--from",
        "stream.txt",
        "--forces",
        "5gf,20gf",
        "--settle",
        "30",
    ];
    let did = typed(&room, &args, "\n\nr\n\n90gf\n\n\n");
    assert_eq!(did.code, 0, "{}", did.err);
    near(
        &samples(&room, "new.csv"),
        &[(5.0, 1.0), (20.0, 40.0), (90.0, 55.0)],
    );
}

#[test]
fn what_is_no_reading_is_told() {
    let room = Room::new();
    let told = |text: &str, more: &[&str], wanted: &[&str]| {
        room.write("stream.txt", text);
        let args = [
            "bench",
            "record",
            "new.csv",
            "--from",
            "stream.txt",
            "--forces",
            "50gf",
        ];
        let did = typed(&room, &[&args[..], more].concat(), "\n");
        for word in wanted {
            assert!(did.err.contains(word), "{word}: {}", did.err);
        }
        // Once is enough.
        assert_eq!(did.err.matches("passed over").count(), 1, "{}", did.err);
        std::fs::remove_file(room.path("new.csv")).unwrap();
    };
    told(
        &"4123\n".repeat(80),
        &[],
        &["`4123`", "percentage from 0 to 100"],
    );
    told(
        &"53\n".repeat(80),
        &["--as", "fraction"],
        &["`53`", "from 0 to 1"],
    );
    told(
        &"9000\n".repeat(80),
        &["--as", "raw", "--levels", "8192"],
        &["`9000`", "count from 0 to 8191"],
    );
    told(&"pressing\n".repeat(80), &[], &["`pressing`"]);
    room.write("events.bin", events(&[8191], true, 0));
    let args = [
        "bench",
        "record",
        "new.csv",
        "--from",
        "events.bin",
        "--levels",
        "4096",
        "--forces",
        "50gf",
    ];
    let did = typed(&room, &args, "\n");
    assert!(
        did.err.contains("is not a count from 0 to 4095"),
        "{}",
        did.err
    );
    assert!(samples(&room, "new.csv").is_empty());
}
