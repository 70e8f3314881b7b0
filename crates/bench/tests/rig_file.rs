//! A rig's file: everything that is wrong with it at once, each with its place and what to write.

#![expect(
    clippy::unwrap_used,
    reason = "a test that cannot go on should stop there"
)]

use evenhand_bench::{Leverage, MassClass, MassLimit, Rig, RigKind};
use evenhand_text::Faults;

const LEVER: &str = "name = \"window\"
tilt_deg = 5
[lever]
nib_arm_mm = 100
nib_arm_within_mm = 0.5
pan_arm_mm = 300
pan_arm_within_mm = 0.5
masses_g = [1, 2, 5]
mass_class = \"M2\"
";

#[path = "../../text/tests/support/mod.rs"]
mod support;
use support::cases::changed;
use support::faults::{assert_changes, assert_one, told};

fn parse(text: &str) -> Result<Rig, Faults> {
    Rig::parse(text, "rig.toml")
}

#[track_caller]
fn refused(text: &str, line: usize, words: &str) {
    assert_one(&parse(text).unwrap_err(), line, words);
}

#[test]
fn what_is_not_set_has_its_usual_figure() {
    let rig = parse(LEVER).unwrap();
    assert_eq!((rig.tilt_deg, rig.tilt_within_deg), (5.0, 1.0));
    assert_eq!((rig.gravity_m_s2, rig.gravity_within_m_s2), (9.806, 0.026));
    let lever = rig.lever().unwrap();
    assert!(matches!(lever.leverage, Leverage::Measured { arms, .. } if arms.pan_mm == 300.0));
    assert_eq!((lever.hook_within_mm, lever.friction_within_gf), (0.0, 0.0));
    assert_eq!(lever.mass_limit, MassLimit::Class(MassClass::M2));
    assert_eq!(lever.masses_g, [1.0, 2.0, 5.0]);
    let scale = "name = \"s\"\n[scale]\nstep_g = 0.1\nwithin_part = 0.002\n";
    let rig = parse(scale).unwrap();
    assert!(matches!(rig.kind, RigKind::Scale(scale) if scale.within_g == 0.0));
    let gauge = "name = \"g\"\n[gauge]\nstep_n = 0.01\nwithin_part = 0.005\nwithin_n = 0.02\n";
    let rig = parse(gauge).unwrap();
    assert!(matches!(rig.kind, RigKind::Gauge(gauge) if gauge.within_n == 0.02));
}

#[test]
fn three_faults_in_three_lines_are_three_faults() {
    let changes = "tilt_deg = 5 → tilt_deg = 90 & pan_arm_mm = 300 → pan_arm_mm = \"long\" \
        & mass_class = \"M2\" → mass_clas = \"M2\"\nmass_within_g = 0.01";
    let told = told(&parse(&changed(LEVER, changes)).unwrap_err());
    let lines: Vec<usize> = told.iter().map(|fault| fault.0).collect();
    assert_eq!(lines, [2, 6, 9], "{told:#?}");
    assert!(told[0].1.contains("from 0 to 80"), "{told:#?}");
    assert!(told[1].2.contains("from the pivot"), "{told:#?}");
    assert!(told[2].2.contains("write mass_class"), "{told:#?}");
}

/// Changes of the lever with the line of their one fault, and what is told of it.
const BEYOND: &str = r#"
[lever] → [lever]⏎hook_within_mm = -1 | 4 | hook_within_mm
[lever] → [lever]⏎beam_moment_within_g_mm = -1 | 4 | beam_moment_within_g_mm
[lever] → [lever]⏎friction_within_gf = -1 | 4 | friction_within_gf
[lever] → [lever]⏎beam_moment_g_mm = inf | 4 | a finite number
pan_arm_within_mm = 0.5 → pan_arm_within_mm = -1 | 7 | 0 or more
[1, 2, 5] → 5 | 8 | a list
mass_class = "M2" → mass_within_g = -1 | 9 | 0 or more
"window" → 3 | 1 | a text in quotes
"#;

/// The same of figures that cannot be meant together.
const CONTRADICTING: &str = r#"
nib_arm_within_mm = 0.5 → nib_arm_within_mm = 100 | 5 | not below the arm of 100 mm
mass_class = "M2" → mass_class = "M2"⏎mass_within_g = 0.1 | 10 | both say
mass_class = "M2"⏎ → | 8 | nothing says
"M2" → "M4" | 9 | E2, F1, F2, M1, M2, M3
[1, 2, 5] → [1, -2, 5] | 8 | above 0
pan_arm_mm = 300⏎ → | 3 | no pan_arm_mm in [lever]
name = "window"⏎ → | 1 | no name
"#;

#[test]
fn every_figure_has_its_limits() {
    let scale = "name = \"s\"\n[scale]\nstep_g = 0.1\nwithin_part = 0.002\nwithin_g = 0.1\n";
    let gauge = "name = \"g\"\n[gauge]\nstep_n = 0.1\nwithin_part = 0.002\nwithin_n = 0.1\n";
    for (text, keys) in [
        (scale, ["step_g", "within_part", "within_g"]),
        (gauge, ["step_n", "within_part", "within_n"]),
    ] {
        for key in keys {
            for wrong in ["-0.1", "nan", "inf", "\"a\""] {
                let at = text.lines().position(|line| line.starts_with(key)).unwrap();
                let was = text.lines().nth(at).unwrap();
                refused(&text.replace(was, &format!("{key} = {wrong}")), at + 1, key);
            }
        }
        let part = changed(text, "within_part = 0.002 → within_part = 0.6");
        refused(&part, 4, "0 to 0.5");
    }
    for wrong in [
        "tilt_deg = 80.1",
        "tilt_deg = -1",
        "tilt_within_deg = 45.1",
        "tilt_within_deg = -1",
        "gravity_m_s2 = 9.69",
        "gravity_m_s2 = 9.91",
        "gravity_within_m_s2 = 0.2",
        "gravity_within_m_s2 = -0.1",
    ] {
        let (key, _) = wrong.split_once(" = ").unwrap();
        refused(&format!("{wrong}\n{scale}"), 1, key);
    }
    for arm in ["nib_arm_mm = 100", "pan_arm_mm = 300"] {
        let (key, _) = arm.split_once(" = ").unwrap();
        for wrong in ["0", "-1", "inf"] {
            let text = LEVER.replace(arm, &format!("{key} = {wrong}"));
            let told = told(&parse(&text).unwrap_err());
            assert!(
                told.iter().any(|fault| fault.1.contains("above 0")),
                "{text}"
            );
        }
    }
    assert_changes(BEYOND, LEVER, parse);
    let many = format!("[{}]", vec!["1"; 1001].join(", "));
    refused(&LEVER.replace("[1, 2, 5]", &many), 8, "1001 masses");
}

#[test]
fn one_thing_sets_the_force() {
    let scale = "[scale]\nstep_g = 0.1\nwithin_part = 0.002\n";
    refused("name = \"x\"\n", 0, "one of [lever], [scale] and [gauge]");
    let both = format!("{LEVER}{scale}");
    refused(&both, 10, "has lever and scale");
}

#[test]
fn figures_that_cannot_be_meant_together_are_refused() {
    assert_changes(CONTRADICTING, LEVER, parse);
}

/// Changes of a calibrated lever with the line of their one fault, and what is told of it.
const UNCALIBRATED: &str = "
PAIRS → [[0, 0.4], [10, 31.4]] | 5 | no line
PAIRS → [[0, 155.4], [10, 62.4], [20, 31.4], [50, 0.4]] | 5 | shows no more
PAIRS → [[0, 0.4], [10], [20, 62.4], [50, 155.4]] | 5 | a pair of numbers
[lever]⏎ → [lever]⏎nib_arm_mm = 100⏎ | 3 | without that of the pan
[lever]⏎ → [lever]⏎hook_within_mm = 0.3⏎ | 3 | which is not given
scale_u_g = 0.05 → scale_u_g = 0 | 7 | above 0
placed_u_g = 0.01⏎scale_u_g = 0.05⏎ → | 4 | no placed_u_g, scale_u_g in [lever.calibration]
";

#[test]
fn a_calibration_stands_in_for_arms_and_needs_a_rising_line() {
    let pairs = "[[0, 0.4], [10, 31.4], [20, 62.4], [50, 155.4]]";
    let text = format!(
        "name = \"c\"\n[lever]\nmass_within_g = 0.01\n[lever.calibration]\npairs_g = {pairs}\nplaced_u_g = 0.01\nscale_u_g = 0.05\n"
    );
    let rig = parse(&text).unwrap();
    let Leverage::Calibrated { calibration, .. } = rig.lever().unwrap().leverage else {
        panic!("the lever is calibrated");
    };
    let slope = calibration.line.slope;
    assert!((slope - 3.1).abs() < 1e-6, "{slope}");
    let list = UNCALIBRATED.replace("PAIRS", pairs);
    assert_changes(&list, &text, parse);
}

/// Arms of 100 and 300 mm, each within 0.5 mm, make 3 g of one within 3·√(0.005² + 0.00167²)/√3 = 0.0091 g.
#[test]
fn arms_that_disagree_with_their_calibration_are_told_of() {
    for (slope, disagrees) in [
        (3.0, false),
        (3.02, false),
        (2.98, false),
        (3.04, true),
        (2.95, true),
    ] {
        let pairs: Vec<[f64; 2]> = [0.0, 20.0, 40.0, 60.0, 80.0, 100.0]
            .map(|mass| [mass, slope * mass])
            .to_vec();
        let text = format!(
            "name = \"c\"\n[lever]\nmass_within_g = 0.01\nnib_arm_mm = 100\nnib_arm_within_mm = 0.5\npan_arm_mm = 300\npan_arm_within_mm = 0.5\n\
             [lever.calibration]\npairs_g = {pairs:?}\nplaced_u_g = 1e-6\nscale_u_g = 1e-3\nscale_within_part = 0\n"
        );
        let rig = Rig::parse(&text, "rig.toml").unwrap_or_else(|error| panic!("{error}"));
        let is_told =
            |note: &evenhand_bench::RigNote| note.to_string().contains("measure the arms again");
        assert_eq!(rig.notes().iter().any(is_told), disagrees, "{slope}");
    }
}
