//! Bench work from the command line.

use crate::bench_room::{Room, assert_holds, items, line_of, number, numbers, string};
use crate::support::cases::{listed, rows};

#[test]
fn placed_masses_become_a_measurement_with_its_budget() {
    let room = Room::new();
    room.demo("rig.toml");
    room.demo("placed.csv");
    let convert = "bench convert placed.csv --rig rig.toml --out redshank.csv";
    let found = room.json(&format!("{convert} --json"), 0);
    let rows = items(&found["rows"]);
    let of = |placed: &str| rows.iter().find(|row| row["load"] == placed).unwrap();
    assert!((number(&of("100")["force_gf"]) - 300.0).abs() < 0.5);
    // Two ways to the same moment give the same force.
    assert!((number(&of("5")["force_gf"]) - number(&of("5@250+1@250")["force_gf"])).abs() < 1e-9);
    let shares = numbers(&of("100")["contributions"], "fraction_of_variance");
    let whole: f64 = shares.iter().sum();
    assert!(
        (whole - 1.0).abs() < 1e-9,
        "parts make the whole: {shares:?}"
    );
    let text = room.read("redshank.csv");
    let keys = ["force_gain_u", "force_offset_u_gf", "force_scatter_u_gf"];
    assert_holds(&text, "redshank.csv", keys);
    assert_holds(
        &text,
        "redshank.csv",
        ["# bench = window", "# model = Redshank"],
    );
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
    let convert_rough = "bench convert placed.csv --rig rough.toml --out rough.csv";
    room.ends(convert_rough, 0);
    let rough = width("rough.csv");
    assert!(rough > 3.0 * well, "{rough} against {well}");
    // Nothing is replaced unasked.
    room.ends(convert, 2);
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

/// Tables that cannot be placed and what must be said of each, words apart by ` & `; `⏎` ends a line.
const UNPLACED: &str = "
placed,reported_percent⏎5,1⏎5 and 10,2⏎ | placed.csv:3:1 & 5 and 10 & 20+10
placed,reported_percent⏎-5,1⏎ | placed.csv:2:1
placed,reported_percent⏎5@0,1⏎ | placed.csv:2:1
placed,reported_percent⏎NaN,1⏎ | placed.csv:2:1
placed,reported_percent⏎5,many⏎ | placed.csv:2 & many
placed,reported_percent⏎5⏎ | placed.csv:2:2 & an empty cell
mass,reported_percent⏎5,1⏎ | placed.csv:1:1 & name it load
placed,reported_percent⏎ | nothing placed
 | placed.csv
placed⏎5⏎ | no column of readings
";

/// The same of rigs.
const NO_RIGS: &str = r#"
name = "x"⏎ | one of [lever], [scale] and [gauge]
name = "x"⏎[scale]⏎step_g = 0.1⏎within_part = 0.01⏎steps = 3⏎ | bad.toml:5
name = "x"⏎[scale]⏎step_g = nan⏎within_part = 0.01⏎ | 0 or more & bad.toml:3
name = "x"⏎tilt_deg = 89⏎[scale]⏎step_g = 0.1⏎within_part = 0.01⏎ | tilt_deg & bad.toml:2
name = "x"⏎not toml | bad.toml:2
"#;

#[test]
fn what_cannot_be_placed_is_told_with_its_place() {
    let room = Room::new();
    room.demo("rig.toml");
    let convert = "bench convert placed.csv --rig rig.toml --out out.csv";
    for [table, wanted] in rows(UNPLACED) {
        room.write("placed.csv", table);
        room.refuses(convert, listed(&wanted));
        assert!(!room.path("out.csv").exists());
    }
    room.write("placed.csv", "placed\n5\n");
    let refused = |rig: &str, wanted: &str| {
        room.write("bad.toml", rig);
        room.refuses("bench convert placed.csv --rig bad.toml", listed(wanted));
    };
    for [rig, wanted] in rows(NO_RIGS) {
        refused(&rig, &wanted);
    }
    // Every figure of the demo's rig that cannot be meant is pointed at.
    let demo = room.read("rig.toml");
    let keys = "tilt_deg tilt_within_deg nib_arm_mm nib_arm_within_mm pan_arm_mm pan_arm_within_mm \
        hook_within_mm beam_moment_g_mm beam_moment_within_g_mm friction_within_gf";
    for key in keys.split(' ') {
        let line = line_of(&demo, &format!("{key} ="));
        let was = demo.lines().nth(line - 1).unwrap();
        let wrong = demo.replace(was, &format!("{key} = nan"));
        refused(&wrong, &format!("bad.toml:{line}"));
    }
    room.ends("bench convert placed.csv --rig missing.toml", 2);
}

/// Follows the plan on a stylus that is straight from 6 to `saturation` gf, until it stops or 60 forces were placed.
fn followed(room: &Room, saturation: f64, more: &str) -> (Vec<f64>, serde_json::Value) {
    let mut text = "force_gf,reported_percent\n".to_owned();
    let mut placed: Vec<f64> = Vec::new();
    loop {
        room.write("so-far.csv", &text);
        let so_far = if placed.is_empty() { "" } else { "so-far.csv" };
        let did = room.run(&format!(
            "bench plan {so_far} --json --resamples 150 {more}"
        ));
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
    let (placed, last) = followed(&room, 240.0, "");
    assert_eq!(last["step"], "enough", "{placed:?} {last}");
    assert!(placed.len() < 40, "{placed:?}");
    // The ladder rises until full scale and overshoots by one rung at most.
    let full = placed.iter().position(|force| *force >= 240.0).unwrap();
    let climb = &placed[..=full];
    assert!(climb.is_sorted_by(|a, b| a < b), "{placed:?}");
    let most = placed.iter().copied().fold(0.0, f64::max);
    assert!(most <= 2.4 * 240.0, "{placed:?}");
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
    let (placed, last) = followed(&room, 900.0, "--limit 300gf");
    assert_eq!(last["step"], "limit", "{placed:?} {last}");
    assert!(placed.iter().all(|force| *force <= 300.0), "{placed:?}");
    assert!(string(&last["reason"]).contains("300"), "it says why");
    // Cautions before the first weight, near the limit, and beyond a kilogram.
    room.write("near.csv", "force_gf,reported_percent\n5,0\n12,4\n120,40\n");
    for (plan, caution) in [
        ("bench plan", "guard the lever"),
        ("bench plan near.csv --limit 300gf", "near the limit"),
        ("bench plan --limit 2000gf", "maker"),
    ] {
        room.run(plan).assert_out(caution);
    }
    for bad in ["0gf", "-5gf", "12"] {
        room.ends(&["bench", "plan", "--limit", bad], 2);
    }
}

#[test]
fn only_masses_at_hand_are_proposed() {
    let room = Room::new();
    room.demo("rig.toml");
    let (placed, _) = followed(&room, 240.0, "--rig rig.toml");
    // Whole grams at three times their weight.
    for force in &placed {
        let grams = force / 3.0;
        let off = (grams - grams.round()).abs();
        assert!(off < 0.01 * grams.max(1.0), "{force}");
    }
    let plan = "bench plan so-far.csv --rig rig.toml --saturation-within 0.2% --json";
    let step = room.json(plan, 1);
    assert_eq!(step["step"], "bench-limit", "{step}");
    let scale = "name = \"s\"\n[scale]\nstep_g = 0.1\nwithin_part = 0.01\n";
    room.write("scale.toml", scale);
    // A scale can show any whole gf, as near as gravity and its steps allow.
    let first = room.json("bench plan --rig scale.toml --json", 0);
    assert_eq!(first["load"], "5.0", "{first}");
    assert!((number(&first["force_gf"]) - 5.0).abs() < 0.01, "{first}");
    let reason = string(&first["reason"]);
    assert_holds(reason, "reason", "until the scale shows 5.0 g");
}
