//! Readings from files, serial lines and devices.

use std::io::Write as _;

use crate::bench_room::Room;
#[cfg(unix)]
use crate::bench_stream::fifo;
use crate::bench_stream::{events, kept, near, samples, taking, typed};

#[test]
fn kernel_events_are_read_in_both_layouts() {
    let room = Room::new();
    for wide in [true, false] {
        let name = if wide { "wide.csv" } else { "narrow.csv" };
        room.write("events.bin", events(&[819, 4095, 8191], wide, 3));
        let args = taking(name, "events.bin", "--levels 8192 --forces 20gf,90gf,200gf");
        let did = typed(&room, &args, "\n\n\n").ended(0);
        let expected = [(20.0, 9.999), (90.0, 49.994), (200.0, 100.0)];
        near(&samples(&room, name), &expected);
        assert!(!did.err.contains("leans"), "{}", did.err);
    }
    room.write("events.bin", events(&[819], true, 40));
    let args = taking("leaning.csv", "events.bin", "--levels 8192 --forces 20gf");
    typed(&room, &args, "\n").assert_err("leans by 40");
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
    let args = taking("new.csv", "line", "--forces 60gf --settle 10 --plain");
    near(&kept(&room, &args, "\n"), &[(60.0, 41.5)]);
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
    let more = "--as events --levels 8192 --forces 90gf --plain";
    let args = taking("new.csv", "device", more);
    near(&kept(&room, &args, "\n"), &[(90.0, 49.994)]);
    let _ = done.send(());
    teller.join().unwrap();
}

#[test]
fn what_is_no_reading_is_told() {
    let room = Room::new();
    for (reading, more, wanted) in [
        ("4123", "", ["`4123`", "percentage from 0 to 100"]),
        ("53", "--as fraction", ["`53`", "from 0 to 1"]),
        (
            "9000",
            "--as raw --levels 8192",
            ["`9000`", "count from 0 to 8191"],
        ),
        ("pressing", "", ["`pressing`", ""]),
    ] {
        room.write("stream.txt", format!("{reading}\n").repeat(80));
        let args = taking("new.csv", "stream.txt", &format!("--forces 50gf {more}"));
        let did = typed(&room, &args, "\n");
        did.assert_err(wanted);
        // Once is enough.
        assert_eq!(did.err.matches("passed over").count(), 1, "{}", did.err);
        std::fs::remove_file(room.path("new.csv")).unwrap();
    }
    room.write("events.bin", events(&[8191], true, 0));
    let args = taking("new.csv", "events.bin", "--levels 4096 --forces 50gf");
    typed(&room, &args, "\n").assert_err("is not a count from 0 to 4095");
    assert!(samples(&room, "new.csv").is_empty());
}
