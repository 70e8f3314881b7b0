//! Rigs as their owners write them: masses of every number, calibrations, scales, gauges, and what speaks against them.

use crate::bench_room::{Room, assert_holds, items, number, project, string};
use crate::support::cases::{listed, rows};

const CALIBRATED: &str = "name = \"plain\"
[lever]
mass_within_g = 0.01
masses_g = [5, 10, 20]
[lever.calibration]
pairs_g = [[0, 0.4], [10, 31.4], [20, 62.4], [50, 155.4]]
placed_u_g = 0.01
scale_u_g = 0.05
";

/// The masses of the demo's rig.
const MASSES: &str = "masses_g = [1, 2, 2, 5, 10, 20, 20, 50, 100]";

fn converted(room: &Room, placed: &str, rig: &str) -> serde_json::Value {
    room.write("placed.csv", placed);
    room.write("rig.toml", rig);
    room.json("bench convert placed.csv --rig rig.toml --json", 0)
}

fn first_of(room: &Room, rig: &str) -> serde_json::Value {
    room.write("rig.toml", rig);
    room.json("bench plan --rig rig.toml --json", 0)
}

#[test]
fn many_masses_leave_no_small_force_out() {
    let room = Room::new();
    room.demo("rig.toml");
    let few = room.read("rig.toml");
    let masses = MASSES.strip_prefix("masses_g = ").unwrap();
    assert!(few.contains(masses));
    // Washers weighed one by one: two to the power of 60 sums.
    let washer = |index: i32| format!(", {:.3}", 9.0 + 0.037 * f64::from(index * index % 61));
    let washers: String = (0..59).map(washer).collect();
    let many = few.replace(masses, &format!("[1.013{washers}]"));
    let first = first_of(&room, &many);
    // The ladder begins at 5 gf or a little more; nothing between 1.013 and 9 g can be hung.
    assert!(number(&first["force_gf"]) < 28.0, "{first}");
    // Sums of several are there as well: the next rung is met within a hundredth.
    room.write("so-far.csv", "force_gf,reported_percent\n27,0\n");
    let next = room.json("bench plan so-far.csv --rig rig.toml --json", 0);
    let force = number(&next["force_gf"]);
    assert!((64.8..65.5).contains(&force), "{next}");
    // What is said to be hung makes that force.
    let placed = string(&next["load"]);
    let each: Vec<&str> = placed.split('+').collect();
    let grams: f64 = each.iter().map(|word| word.parse::<f64>().unwrap()).sum();
    assert!((3.0 * grams - force).abs() < 0.01 * force, "{next}");
    // No mass hangs twice.
    assert!(each.iter().all(|word| many.contains(word)), "{next}");
    let twice = each.iter().filter(|word| **word == each[0]).count();
    assert!(twice <= many.matches(each[0]).count(), "{next}");
}

#[test]
fn a_bench_that_makes_no_force_says_so() {
    let room = Room::new();
    room.demo("rig.toml");
    let demo = room.read("rig.toml");
    let refused = |masses: &str, wanted: &str| {
        let mut rig = demo
            .replace(MASSES, masses)
            .replace("friction_within_gf = 0.3\nmasses", "masses");
        if masses.contains("beam_moment") {
            rig = rig.replace("beam_moment_g_mm = 0\n", "");
        }
        room.write("none.toml", rig);
        for args in [
            "bench plan --rig none.toml",
            "bench record new.csv --from - --rig none.toml",
        ] {
            room.refuses(args, wanted);
        }
        assert!(!room.path("new.csv").exists());
    };
    refused("", "lists no masses");
    refused("masses_g = [500, 1000]", "up to 1000.0 gf");
    refused(
        "masses_g = [5]\nfriction_within_gf = 0.3\nbeam_moment_g_mm = 120000",
        "the beam of the bench window alone presses with 1199.9 gf",
    );
    // So is a leap, where nothing smaller can be made.
    room.write("one.toml", demo.replace(MASSES, "masses_g = [150]"));
    let first = room.ends("bench plan --rig one.toml", 0);
    first.assert_out("a leap from 0");
    // Masses that run out are told as such.
    room.write("few.toml", demo.replace(MASSES, "masses_g = [10, 20]"));
    room.write("near.csv", "force_gf,reported_percent\n30,4\n90,12\n");
    let did = room.ends("bench plan near.csv --rig few.toml", 1);
    did.assert_out("90.00 gf, the largest force that the masses at hand make");
}

#[test]
fn beyond_a_kilogram_the_ladder_goes_carefully() {
    let room = Room::new();
    room.write("so-far.csv", "force_gf,reported_percent\n400,4\n950,12\n");
    let args = "bench plan so-far.csv --limit 5000gf --json";
    let next = room.json(args, 0);
    let force = number(&next["force_gf"]);
    assert!((1000.0..=1.25 * 950.0 + 1.0).contains(&force), "{next}");
    let cautions = next["cautions"].to_string();
    assert!(cautions.contains("only where the makers"), "{cautions}");
    let did = room.refuses("bench plan --limit -5gf", "-5gf");
    assert!(!did.err.contains("-- -5gf"), "{}", did.err);
}

#[test]
fn a_calibrated_lever_needs_no_arms() {
    let room = Room::new();
    let found = converted(&room, "placed\n20\n5+10\n", CALIBRATED);
    // Standard gravity and the usual one differ by 66 millionths.
    let force = number(&found["rows"][0]["force_gf"]);
    assert!((force - 62.4).abs() < 0.01, "{found}");
    assert_eq!(items(&found["warnings"]).len(), 0, "{found}");
    // Only the pan is calibrated then.
    room.write("placed.csv", "placed\n20@150\n");
    let convert = "bench convert placed.csv --rig rig.toml";
    room.refuses(convert, ["placed.csv:2:1", "pan_arm_mm"]);
}

#[test]
fn a_calibration_that_scatters_or_contradicts_is_told() {
    let room = Room::new();
    let good = converted(&room, "placed\n20\n", CALIBRATED);
    let u = |found: &serde_json::Value| number(&found["rows"][0]["standard_uncertainty_gf"]);
    // A pair that is a gram off: forces are that much less sure, and it is said.
    let off = CALIBRATED.replace("[20, 62.4]", "[20, 63.4]");
    let bad = converted(&room, "placed\n20\n", &off);
    let (worse, well) = (u(&bad), u(&good));
    assert!(worse > 0.4 && worse > 3.0 * well, "{worse} {well}");
    assert!(bad["warnings"].to_string().contains("scatter"), "{bad}");
    let arms = "[lever]\nnib_arm_mm = 100\nnib_arm_within_mm = 0.5\npan_arm_mm = 330\npan_arm_within_mm = 0.5";
    let other = converted(&room, "placed\n20\n", &CALIBRATED.replace("[lever]", arms));
    let warnings = other["warnings"].to_string();
    assert_holds(&warnings, "warnings", "the arms make 3.300");
    let did = room.run("bench plan --rig rig.toml");
    did.assert_out("the arms make");
    // A line that falls is none.
    let falls = CALIBRATED.replace(
        "[[0, 0.4], [10, 31.4], [20, 62.4], [50, 155.4]]",
        "[[0, 155.4], [10, 62.4], [20, 31.4], [50, 0.4]]",
    );
    room.write("rig.toml", falls);
    room.refuses("bench plan --rig rig.toml", "rig.toml:6");
}

/// Rigs that lack something or hold what cannot be, and what must be said of each.
const LACKING: &str = r#"
name = "x"⏎[lever]⏎mass_within_g = 0.1⏎nib_arm_mm = 100⏎ | nib_arm_within_mm, pan_arm_mm, pan_arm_within_mm
name = "x"⏎[scale]⏎ | no step_g, within_part in [scale]
[scale]⏎step_g = 1⏎within_part = 0⏎ | no name
name = "x"⏎scale = { step_g = 1, within_part = -1 }⏎ | bad.toml:2:37 & within_part = `-1`
"#;

#[test]
fn a_rig_that_cannot_be_meant_says_what_was_found() {
    let room = Room::new();
    room.demo("rig.toml");
    let demo = room.read("rig.toml");
    let refused = |text: &str, wanted: &str| {
        room.write("bad.toml", text);
        room.refuses("bench plan --rig bad.toml", listed(wanted));
    };
    let many = format!("masses_g = [{}", "3,".repeat(2000));
    for (from, to, wanted) in [
        ("= 100", "= 100,5", "bad.toml:7 & decimal point & 100.5"),
        (
            "= 0",
            "= 89",
            "bad.toml:3:12 & tilt_deg = `89` & from 0 to 80",
        ),
        (
            "\"M2\"",
            "\"M2\"\nmass_within_g = 0.1",
            "mass_class and mass_within_g & keep one",
        ),
        ("masses_g = [1,", &many, "bad.toml:16 & 2008 masses"),
    ] {
        refused(&demo.replacen(from, to, 1), wanted);
    }
    // All that lacks is told at once, and an inline table has places too.
    for [text, wanted] in rows(LACKING) {
        refused(&text, &wanted);
    }
}

#[test]
fn tilt_is_counted_to_the_second_order() {
    let room = Room::new();
    // JCGM 100, F.2.4.4: cos β of an angle about 0 has a standard uncertainty of u²/√2; u = 20°/√3.
    let rig = "name = \"s\"\ntilt_within_deg = 20\ngravity_m_s2 = 9.80665\ngravity_within_m_s2 = 0\n[scale]\nstep_g = 0\nwithin_part = 0\n";
    let found = converted(&room, "placed\n300\n", rig);
    let u = 20.0_f64.to_radians() / 3.0_f64.sqrt();
    let expected = 300.0 * u * u / 2.0_f64.sqrt();
    let combined = number(&found["rows"][0]["standard_uncertainty_gf"]);
    assert!(
        (combined - expected).abs() < 0.01 * expected,
        "{combined} {expected}"
    );
}

#[test]
fn the_table_may_not_contradict_the_rig() {
    let room = Room::new();
    room.demo("rig.toml");
    let with = |remark: &str| {
        room.write(
            "placed.csv",
            format!("# unit = 9\n{remark}\nplaced,reported_percent\n2,0\n10,5\n50,60\n100,100\n"),
        );
        room.run("bench convert placed.csv --rig rig.toml --out out.csv --force")
    };
    for (remark, told) in [
        ("# tilt_deg = 5", "the rig says 0"),
        ("# bench = attic", "the rig says window"),
        ("# force_acts = on-surface", "along-stylus"),
        ("# force_gain_u = 0.5", "force_gain_u"),
    ] {
        with(remark).ended(2).assert_err(["placed.csv:2:1", told]);
    }
    with("# tilt_deg = 0.0").ended(0);
    assert_eq!(room.read("out.csv").matches("tilt_deg").count(), 1);
}

#[test]
fn faults_of_readings_are_shown_where_they_stand() {
    let room = Room::new();
    room.demo("rig.toml");
    let convert = "bench convert placed.csv --rig rig.toml";
    let levels = "placed,reported_raw\n2,0\n10,500\n50,4000\n100,8191\n";
    for (table, wanted) in [
        (
            "placed,reported_percent\n20+20+10,many\n",
            "placed.csv:2:10 & 20+20+10,many",
        ),
        (levels, "--levels"),
    ] {
        room.write("placed.csv", table);
        let did = room.refuses(convert, listed(wanted));
        let is_generated = did.err.contains("149.99");
        assert!(!is_generated, "nothing generated is shown: {}", did.err);
    }
    room.ends(&format!("{convert} --levels 8192 --out out.csv"), 0);
    room.ends("check out.csv", 0);
    // A cell that nobody reads is not echoed.
    room.write("placed.csv", format!("placed\n{}\n", "x".repeat(100_000)));
    let did = room.ends(convert, 2);
    assert!(did.err.len() < 1000, "{} bytes", did.err.len());
}

#[test]
fn masses_that_are_not_there_and_large_forces_are_told() {
    let room = Room::new();
    room.demo("rig.toml");
    let rig = room.read("rig.toml");
    let found = converted(&room, "placed\n20+20\n7\n20+20+20\n400\n", &rig);
    let warnings = found["warnings"].to_string();
    let lines = ["line 3: 7 g", "line 4: 20 g", "line 5: 400 g"];
    assert_holds(&warnings, "warnings", lines);
    assert_holds(&warnings, "warnings", "beyond 1 kgf");
    assert!(!warnings.contains("line 2"), "{warnings}");
}

#[test]
fn every_rig_of_the_guide_can_be_used() {
    let guide = std::fs::read_to_string(project().join("demo/bench.md")).unwrap();
    let blocks: Vec<&str> = guide
        .split("```toml\n")
        .skip(1)
        .map(|rest| rest.split("```").next().unwrap())
        .collect();
    let room = Room::new();
    let kinds = "[lever.calibration] [scale] [gauge] gravity_within_m_s2 mass_within_g";
    for kind in kinds.split(' ') {
        assert!(blocks.iter().any(|block| block.contains(kind)), "{kind}");
    }
    for block in blocks {
        room.write("guide.toml", block);
        let did = room.ends("bench plan --rig guide.toml", 0);
        assert!(did.out.starts_with("place "), "{}", did.out);
    }
}
