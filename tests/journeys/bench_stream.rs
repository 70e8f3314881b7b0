//! Streams of readings as a session takes them, and sessions that are typed to.

use std::io::Write as _;
use std::process::{Command, Stdio};

use crate::bench_room::{Did, Room, Words, did};

/// Runs with lines on standard input.
pub(crate) fn typed(room: &Room, args: impl Words, lines: &str) -> Did {
    let mut child = Command::new(env!("CARGO_BIN_EXE_evenhand"))
        .current_dir(room.path("."))
        .args(args.words())
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // It may end before it has read everything.
    let _ = child.stdin.take().unwrap().write_all(lines.as_bytes());
    did(&args, &child.wait_with_output().unwrap())
}

/// The command that records to a file from a source.
pub(crate) fn taking(out: &str, from: &str, more: &str) -> String {
    format!("bench record {out} --from {from} {more}")
}

/// Records to a file from a stream with keys, and gives what is kept then.
#[track_caller]
pub(crate) fn kept(room: &Room, args: &str, keys: &str) -> Vec<(f64, f64)> {
    typed(room, args, keys).ended(0);
    samples(room, args.split_whitespace().nth(2).expect("a file"))
}

/// A reading that creeps to its place and lies still there, then a blank line.
pub(crate) fn placement(percent: f64) -> String {
    let mut text = String::new();
    for step in 0..80_u32 {
        let creep = 3.0 * (-f64::from(step) / 5.0).exp();
        let wave = 0.02 * (f64::from(step) * 2.1).sin();
        let reading = (percent - creep + wave).clamp(0.0, 100.0);
        text.push_str(&format!("{reading:.3}\n"));
    }
    text.push('\n');
    text
}

pub(crate) fn stream(percents: &[f64]) -> String {
    percents.iter().map(|percent| placement(*percent)).collect()
}

/// Force and percent of every sample.
pub(crate) fn samples(room: &Room, name: &str) -> Vec<(f64, f64)> {
    room.read(name)
        .lines()
        .filter(|line| line.starts_with(|c: char| c.is_ascii_digit()))
        .map(|line| {
            let mut cells = line.split(',').map(str::parse::<f64>);
            let mut next = || cells.next().unwrap().unwrap();
            (next(), 100.0 * next())
        })
        .collect()
}

pub(crate) fn near(found: &[(f64, f64)], expected: &[(f64, f64)]) {
    assert_eq!(found.len(), expected.len(), "{found:?}");
    for (a, b) in found.iter().zip(expected) {
        assert!(
            (a.0 - b.0).abs() < 1e-9 && (a.1 - b.1).abs() < 0.1,
            "{a:?} {b:?}"
        );
    }
}

/// A recorded session of events: for each count the pen comes down, rests for a second, and is lifted.
pub(crate) fn events(counts: &[i32], wide: bool, tilt: i32) -> Vec<u8> {
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

/// A line that goes on telling, as a serial line or a device does.
#[cfg(unix)]
pub(crate) fn fifo(room: &Room, name: &str) {
    let made = Command::new("mkfifo").arg(room.path(name)).status();
    assert!(made.unwrap().success());
}
