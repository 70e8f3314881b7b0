//! Bench work from the command line.

use crate::bench_room::{Room, number};

#[test]
fn placed_masses_become_a_measurement_with_its_budget() {
    let room = Room::new();
    room.demo("rig.toml");
    room.demo("placed.csv");
    let found = room.json(
        "bench convert placed.csv --rig rig.toml --out redshank.csv --json",
        0,
    );
    let rows = found["rows"].as_array().unwrap();
    let of = |placed: &str| rows.iter().find(|row| row["load"] == placed).unwrap();
    assert!((number(&of("100")["force_gf"]) - 300.0).abs() < 0.5);
    // Two ways to the same moment give the same force.
    assert!((number(&of("5")["force_gf"]) - number(&of("5@250+1@250")["force_gf"])).abs() < 1e-9);
    let parts: f64 = of("100")["contributions"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| number(&one["fraction_of_variance"]))
        .sum();
    assert!(
        (parts - 1.0).abs() < 1e-9,
        "parts of the variance make the whole: {parts}"
    );
    let text = room.read("redshank.csv");
    for key in [
        "force_gain_u",
        "force_offset_u_gf",
        "force_scatter_u_gf",
        "# bench = window",
        "# model = Redshank",
    ] {
        assert!(text.contains(key), "{key}");
    }
    // The budget reaches the fit: a bench that knows its arms ten times worse has wider intervals.
    let width = |file: &str| {
        let fit = room.json(&["fit", file, "--json"], 0);
        let saturation = &fit["saturation_force_gf"];
        number(&saturation["high"]) - number(&saturation["low"])
    };
    let well = width("redshank.csv");
    let rough = room
        .read("rig.toml")
        .replace("arm_within_mm = 0.5", "arm_within_mm = 5");
    room.write("rough.toml", rough);
    room.ends(
        "bench convert placed.csv --rig rough.toml --out rough.csv",
        0,
    );
    assert!(
        width("rough.csv") > 3.0 * well,
        "{} against {well}",
        width("rough.csv")
    );
    // Nothing is replaced unasked.
    let again = "bench convert placed.csv --rig rig.toml --out redshank.csv";
    room.ends(again, 2);
    assert_eq!(room.read("redshank.csv"), text);
}

#[test]
fn decimal_commas_and_other_cells_stay() {
    let room = Room::new();
    room.demo("rig.toml");
    room.write("placed.csv", "# unit = 9\nreported_percent;placed;seating\n0;0;1\n12,5;10,5;1\n50;20+10@200;1\n100;100;2\n");
    room.ends("bench convert placed.csv --rig rig.toml --out out.csv", 0);
    let text = room.read("out.csv");
    assert!(text.contains("reported_percent;force_gf;seating"), "{text}");
    assert!(text.contains("12,5;31,49"), "{text}");
    room.ends("check out.csv", 0);
}

#[test]
fn what_cannot_be_placed_is_told_with_its_place() {
    let room = Room::new();
    room.demo("rig.toml");
    let with = |table: &str, wanted: &[&str]| {
        room.write("placed.csv", table);
        let did = room.ends("bench convert placed.csv --rig rig.toml --out out.csv", 2);
        for word in wanted {
            assert!(did.err.contains(word), "{word}: {}", did.err);
        }
        assert!(!room.path("out.csv").exists());
    };
    with(
        "placed,reported_percent\n5,1\n5 and 10,2\n",
        &["placed.csv:3:1", "5 and 10", "20+10"],
    );
    with("placed,reported_percent\n-5,1\n", &["placed.csv:2:1"]);
    with("placed,reported_percent\n5@0,1\n", &["placed.csv:2:1"]);
    with("placed,reported_percent\nNaN,1\n", &["placed.csv:2:1"]);
    with(
        "placed,reported_percent\n5,many\n",
        &["placed.csv:2", "many"],
    );
    with(
        "placed,reported_percent\n5\n",
        &["placed.csv:2:2", "an empty cell"],
    );
    with(
        "mass,reported_percent\n5,1\n",
        &["placed.csv:1:1", "name it load"],
    );
    with("placed,reported_percent\n", &["nothing placed"]);
    with("", &["placed.csv"]);
    with("placed\n5\n", &["no column of readings"]);
    // Rigs.
    let rig = |text: &str, wanted: &str| {
        room.write("placed.csv", "placed\n5\n");
        room.write("bad.toml", text);
        let did = room.ends("bench convert placed.csv --rig bad.toml", 2);
        assert!(did.err.contains(wanted), "{wanted}: {}", did.err);
    };
    rig("name = \"x\"\n", "one of [lever], [scale] and [gauge]");
    rig(
        "name = \"x\"\n[scale]\nstep_g = 0.1\nwithin_part = 0.01\nsteps = 3\n",
        "bad.toml:5",
    );
    rig(
        "name = \"x\"\n[scale]\nstep_g = nan\nwithin_part = 0.01\n",
        "0 or more",
    );
    rig(
        "name = \"x\"\ntilt_deg = 89\n[scale]\nstep_g = 0.1\nwithin_part = 0.01\n",
        "tilt_deg",
    );
    rig("name = \"x\"\nnot toml", "bad.toml:2");
    rig(
        "name = \"x\"\n[scale]\nstep_g = nan\nwithin_part = 0.01\n",
        "bad.toml:3",
    );
    rig(
        "name = \"x\"\ntilt_deg = 89\n[scale]\nstep_g = 0.1\nwithin_part = 0.01\n",
        "bad.toml:2",
    );
    // Every figure of the demo's rig that cannot be meant is pointed at.
    let demo = room.read("rig.toml");
    for key in [
        "tilt_deg",
        "tilt_within_deg",
        "nib_arm_mm",
        "nib_arm_within_mm",
        "pan_arm_mm",
        "pan_arm_within_mm",
        "hook_within_mm",
        "beam_moment_g_mm",
        "beam_moment_within_g_mm",
        "friction_within_gf",
    ] {
        let line = 1 + demo
            .lines()
            .position(|line| line.starts_with(&format!("{key} =")))
            .unwrap();
        let wrong: Vec<String> = demo
            .lines()
            .map(|text| {
                if text.starts_with(&format!("{key} =")) {
                    format!("{key} = nan")
                } else {
                    text.to_owned()
                }
            })
            .collect();
        rig(&wrong.join("\n"), &format!("bad.toml:{line}"));
    }
    room.ends("bench convert placed.csv --rig missing.toml", 2);
}

/// Follows the plan on a stylus that is straight from 6 to `saturation` gf, until it stops or 60 forces were placed.
fn followed(room: &Room, saturation: f64, more: &[&str]) -> (Vec<f64>, serde_json::Value) {
    let mut text = "force_gf,reported_percent\n".to_owned();
    let mut placed: Vec<f64> = Vec::new();
    loop {
        room.write("so-far.csv", &text);
        let mut args = vec!["bench", "plan"];
        if !placed.is_empty() {
            args.push("so-far.csv");
        }
        args.extend(["--json", "--resamples", "150"]);
        args.extend(more);
        let did = room.run(&args);
        assert!(did.code <= 1, "{}", did.err);
        let step: serde_json::Value = serde_json::from_str(&did.out).unwrap();
        if step["step"] != "apply" || placed.len() >= 60 {
            return (placed, step);
        }
        let force = number(&step["force_gf"]);
        placed.push(force);
        // A little scatter, the same each time.
        let wave = 0.3 * (1.7 * placed.len() as f64).sin();
        let percent = 100.0 * (force - 6.0) / (saturation - 6.0);
        let reading = if (0.0..100.0).contains(&percent) {
            (percent + wave).clamp(0.0, 100.0)
        } else {
            percent.clamp(0.0, 100.0)
        };
        text.push_str(&format!("{force},{reading:.2}\n"));
    }
}

#[test]
fn the_plan_climbs_then_narrows_then_stops() {
    let room = Room::new();
    let (placed, last) = followed(&room, 240.0, &[]);
    assert_eq!(last["step"], "enough", "{placed:?} {last}");
    assert!(placed.len() < 40, "{placed:?}");
    // The ladder rises until full scale and overshoots by one rung at most.
    let full = placed.iter().position(|force| *force >= 240.0).unwrap();
    assert!(
        placed[..=full].windows(2).all(|pair| pair[0] < pair[1]),
        "{placed:?}"
    );
    assert!(
        placed.iter().all(|force| *force <= 2.4 * 240.0),
        "{placed:?}"
    );
    // Then it goes where the intervals are: near onset and saturation.
    let ends = placed[full + 1..]
        .iter()
        .filter(|f| **f < 40.0 || **f > 180.0)
        .count();
    assert!(2 * ends >= placed.len() - full - 1, "{placed:?}");
}

#[test]
fn the_plan_never_goes_beyond_the_limit() {
    let room = Room::new();
    let (placed, last) = followed(&room, 900.0, &["--limit", "300gf"]);
    assert_eq!(last["step"], "limit", "{placed:?} {last}");
    assert!(placed.iter().all(|force| *force <= 300.0), "{placed:?}");
    assert!(
        last["reason"].as_str().unwrap().contains("300"),
        "it says why"
    );
    // Cautions before the first weight, near the limit, and beyond a kilogram.
    let first = room.run("bench plan");
    first.assert_out("guard the lever");
    room.write("near.csv", "force_gf,reported_percent\n5,0\n12,4\n120,40\n");
    let near = room.run("bench plan near.csv --limit 300gf");
    near.assert_out("near the limit");
    let far = room.run("bench plan --limit 2000gf");
    far.assert_out("maker");
    for bad in ["0gf", "-5gf", "12"] {
        room.ends(&["bench", "plan", "--limit", bad], 2);
    }
}

#[test]
fn only_masses_at_hand_are_proposed() {
    let room = Room::new();
    room.demo("rig.toml");
    let (placed, _) = followed(&room, 240.0, &["--rig", "rig.toml"]);
    // Whole grams at three times their weight.
    for force in &placed {
        let grams = force / 3.0;
        assert!(
            (grams - grams.round()).abs() < 0.01 * grams.max(1.0),
            "{force}"
        );
    }
    let step = room.json(
        "bench plan so-far.csv --rig rig.toml --saturation-within 0.2% --json",
        1,
    );
    assert_eq!(step["step"], "bench-limit", "{step}");
    room.write(
        "scale.toml",
        "name = \"s\"\n[scale]\nstep_g = 0.1\nwithin_part = 0.01\n",
    );
    // A scale can show any whole gf, as near as gravity and its steps allow.
    let first = room.json("bench plan --rig scale.toml --json", 0);
    assert_eq!(first["load"], "5.0", "{first}");
    assert!((number(&first["force_gf"]) - 5.0).abs() < 0.01, "{first}");
    assert!(
        first["reason"]
            .as_str()
            .unwrap()
            .contains("until the scale shows 5.0 g"),
        "{first}"
    );
}
