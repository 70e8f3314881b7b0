//! Taking readings: settling, planned and listed forces, and what is refused.

use crate::bench_room::{Room, assert_holds, number};
use crate::bench_stream::{kept, near, placement, samples, stream, taking, typed};

#[test]
fn readings_settle_and_become_a_measurement() {
    let room = Room::new();
    room.write("stream.txt", stream(&[0.0, 12.0, 40.0, 75.0, 103.0]));
    let more = "--forces 5gf,20gf,60gf,120gf,200gf --settle 30 --model Dunlin --unit 09";
    let args = taking("new.csv", "stream.txt", more);
    let did = typed(&room, &args, "\n\n\n\n\n").ended(0);
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
    // Cautions come first.
    did.assert_out("guard the lever");
    let text = room.read("new.csv");
    assert_holds(&text, "new.csv", "# settled over 30 readings, scatter");
    let fit = room.json("fit new.csv --json", 0);
    assert_eq!(fit["stylus"]["model"], "Dunlin");
    assert!(number(&fit["saturation_force_gf"]["estimate"]) > 120.0);
}

#[test]
fn standard_input_needs_no_keys() {
    let room = Room::new();
    let args = taking("new.csv", "-", "--forces 5gf,20gf,60gf --settle 30");
    let found = kept(&room, &args, &stream(&[0.0, 12.0, 40.0]));
    near(&found, &[(5.0, 0.0), (20.0, 12.0), (60.0, 40.0)]);
    // A stream that ends too early keeps what it had and says so.
    let args = taking("short.csv", "-", "--forces 5gf,20gf");
    typed(&room, &args, &stream(&[3.0])).ended(1);
    assert_eq!(samples(&room, "short.csv").len(), 1);
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
    let args = taking("new.csv", "stream.txt", "--forces 50gf --settle 30");
    let did = typed(&room, &args, "\n\n\n\nq\n");
    did.assert_err("before its reading settled");
    near(&samples(&room, "new.csv"), &[(50.0, 30.0)]);
}

#[test]
fn what_cannot_be_recorded_is_refused() {
    let room = Room::new();
    room.write("stream.txt", placement(3.0));
    room.write("mine.csv", "force_gf,reported_percent\n1,2\n");
    let refused = |args: &str| typed(&room, &format!("bench record {args}"), "\n").ended(2);
    refused("mine.csv --from stream.txt").assert_err("exists");
    let mine = room.read("mine.csv");
    assert_eq!(mine, "force_gf,reported_percent\n1,2\n", "left alone");
    for source in [
        "missing.txt",
        ".",
        "stream.txt --as raw",
        "stream.txt --as events --levels 8192",
        "- --as events --levels 8192",
        "stream.txt --forces 1200gf",
        "stream.txt --json",
    ] {
        refused(&format!("new.csv --from {source}"));
    }
    assert!(!room.path("new.csv").exists(), "nothing half written");
    refused("no/folder/new.csv --from stream.txt");
}

#[test]
fn forces_are_those_that_the_masses_make() {
    let room = Room::new();
    room.demo("rig.toml");
    room.write("stream.txt", stream(&[1.0, 12.0, 40.0]));
    let to = |out: &str, forces: &str| {
        let more = format!("--settle 30 --rig rig.toml --forces {forces}");
        taking(out, "stream.txt", &more)
    };
    // The two of the list, and a typed one.
    let args = to("new.csv", "60gf,91gf");
    let did = typed(&room, &args, "\n\n121gf\n\nq\n").ended(0);
    did.assert_out(["60.00 gf, hang 20 g", "89.99 gf, hang 20+10 g"]);
    did.assert_out(["for 91 gf", "the nearest to 121 gf that this bench makes"]);
    let forces: Vec<f64> = samples(&room, "new.csv").iter().map(|one| one.0).collect();
    for (force, grams) in forces.iter().zip([20.0, 30.0, 40.0]) {
        let expected = 3.0 * grams * 9.806 / 9.80665;
        assert!((force - expected).abs() < 1e-3, "{forces:?}");
    }
    assert_eq!(forces.len(), 3);
    // What no sum comes near is refused.
    let did = typed(&room, &to("far.csv", "800gf"), "\n").ended(2);
    did.assert_err("nearest is 630.0 gf");
    assert!(!room.path("far.csv").exists());
}
