//! The keys of a rig's file, what each has to be, and which figures cannot be meant together.

use evenhand_measurement::Bench;
use evenhand_text::{Faults, Node, Rule, TomlFile};

use crate::calibration::{Calibration, Pairs};
use crate::lever::{Arms, Lever, Leverage, MassLimit};
use crate::mass_class::MassClass;
use crate::rig::{Gauge, Rig, RigKind, Scale};

/// No bench has more masses at hand.
const MOST_LISTED: usize = 1000;
const OUTLINE: &str = "see demo/rig.toml for how a rig is written";
const FROM_PIVOT: &str = "measure it from the pivot";
const TO_EITHER_SIDE: &str = "give how far the figure may be off to either side";
const DATA_SHEET: &str = "see its data sheet";
const PAIRS: &str = "write pairs_g = [[0, 4.1], [20, 64.0], [50, 153.8]]";
const EXAMPLE: &str = "demo/bench.md has an example";

const KINDS: [&str; 3] = ["lever", "scale", "gauge"];
const ARMS: [&str; 4] = [
    "nib_arm_mm",
    "nib_arm_within_mm",
    "pan_arm_mm",
    "pan_arm_within_mm",
];

impl Rig {
    /// Reads and checks a rig; `file` is its name for messages.
    ///
    /// # Errors
    /// Everything that is wrong: text that is not TOML, unknown keys, none or several of lever, scale and gauge,
    /// missing keys, and figures that cannot be meant.
    pub fn parse(text: &str, file: &str) -> Result<Self, Faults> {
        let toml = TomlFile::parse(file, text, OUTLINE)?;
        let rig = rig(&toml);
        toml.finish(rig)
    }
}

/// A number with what stands in for it where it is not set; `None` where it is wrong.
fn number_or(
    table: &Node<'_, '_>,
    key: &str,
    rule: Rule,
    remedy: &str,
    default: f64,
) -> Option<f64> {
    if table.has(key) {
        number(table, key, rule, remedy)
    } else {
        Some(default)
    }
}

fn number(table: &Node<'_, '_>, key: &str, rule: Rule, remedy: &str) -> Option<f64> {
    table.number(key, rule, remedy).map(|number| number.value)
}

/// Limits to either side, 0 where they are not set.
fn limit(table: &Node<'_, '_>, key: &str) -> Option<f64> {
    number_or(table, key, Rule::NotNegative, TO_EITHER_SIDE, 0.0)
}

fn rig(file: &TomlFile<'_>) -> Option<Rig> {
    let root = file.root();
    root.only(&[
        "name",
        "tilt_deg",
        "tilt_within_deg",
        "gravity_m_s2",
        "gravity_within_m_s2",
        "seating_gain_u",
        "lever",
        "scale",
        "gauge",
    ]);
    root.needs(
        &["name"],
        "write name = \"window\" above the tables, so that measurements can tell benches apart",
    );
    check_kinds(file, &root);
    let name = root.text("name");
    let tilt_deg = number_or(
        &root,
        "tilt_deg",
        Rule::Between(0.0, 80.0),
        "give the angle between stylus and upright, in degrees",
        0.0,
    );
    let tilt_within_deg = number_or(
        &root,
        "tilt_within_deg",
        Rule::Between(0.0, 45.0),
        TO_EITHER_SIDE,
        Rig::TILT_WITHIN_DEG,
    );
    let (middle, within) = Rig::GRAVITY_M_S2;
    let gravity_m_s2 = number_or(
        &root,
        "gravity_m_s2",
        Rule::Between(9.7, 9.9),
        "leave it out, or give the acceleration where the bench stands",
        middle,
    );
    let gravity_within_m_s2 = number_or(
        &root,
        "gravity_within_m_s2",
        Rule::Between(0.0, 0.1),
        TO_EITHER_SIDE,
        within,
    );
    let (key, most) = Bench::SEATING_GAIN_U;
    let seating_gain_u = root.number(
        key,
        Rule::Between(0.0, most),
        "give the standard deviation between seatings as a part of the force, such as 0.01; mount one stylus several times to find it",
    );
    // Each table is looked at, so that all that is wrong is told, also where there is one too many.
    let lever = root.table("lever").and_then(|table| lever(&table));
    let scale = root.table("scale").and_then(|table| scale(&table));
    let gauge = root.table("gauge").and_then(|table| gauge(&table));
    let kind = lever
        .map(RigKind::Lever)
        .or(scale.map(RigKind::Scale))
        .or(gauge.map(RigKind::Gauge));
    Some(Rig {
        name: name?.value,
        tilt_deg: tilt_deg?,
        tilt_within_deg: tilt_within_deg?,
        gravity_m_s2: gravity_m_s2?,
        gravity_within_m_s2: gravity_within_m_s2?,
        seating_gain_u: seating_gain_u.map(|spread| spread.value),
        kind: kind?,
    })
}

/// One thing has to set the force.
fn check_kinds(file: &TomlFile<'_>, root: &Node<'_, '_>) {
    const RULE: &str = "a rig has one of [lever], [scale] and [gauge]";
    let set: Vec<&str> = KINDS.into_iter().filter(|key| root.has(key)).collect();
    match set.as_slice() {
        [_] => {}
        [] => file.fault_of_file(
            format!("{RULE}, and this has none"),
            "write the one that sets the force, as demo/rig.toml does",
        ),
        [.., last] => file.fault(
            root.span_of(last),
            format!("{RULE}, and this has {}", set.join(" and ")),
            "",
            "keep the one that sets the force",
        ),
    }
}

fn lever(table: &Node<'_, '_>) -> Option<Lever> {
    table.only(&[
        "nib_arm_mm",
        "nib_arm_within_mm",
        "pan_arm_mm",
        "pan_arm_within_mm",
        "hook_within_mm",
        "beam_moment_g_mm",
        "beam_moment_within_g_mm",
        "friction_within_gf",
        "masses_g",
        "mass_class",
        "mass_within_g",
        "calibration",
    ]);
    let is_calibrated = table.has("calibration");
    if !is_calibrated {
        table.needs(
            &ARMS,
            "write them, or calibrate the lever against a scale: demo/bench.md tells of both",
        );
    }
    let own = |key: &str, rule: Rule, remedy: &str| number(table, key, rule, remedy);
    let nib_arm_mm = own("nib_arm_mm", Rule::Positive, FROM_PIVOT);
    let nib_arm_within_mm = own("nib_arm_within_mm", Rule::NotNegative, TO_EITHER_SIDE);
    let pan_arm_mm = own("pan_arm_mm", Rule::Positive, FROM_PIVOT);
    let pan_arm_within_mm = own("pan_arm_within_mm", Rule::NotNegative, TO_EITHER_SIDE);
    let hook_within_mm = limit(table, "hook_within_mm");
    let beam_moment_g_mm = number_or(
        table,
        "beam_moment_g_mm",
        Rule::Finite,
        "0 where the beam is balanced",
        0.0,
    );
    let beam_moment_within_g_mm = limit(table, "beam_moment_within_g_mm");
    let friction_within_gf = limit(table, "friction_within_gf");
    let masses_g = masses(table);
    let mass_class = table.choice("mass_class", &MassClass::NAMES);
    let mass_within_g = own("mass_within_g", Rule::NotNegative, TO_EITHER_SIDE);
    let pairs = table.table("calibration").and_then(|table| pairs(&table));
    known_masses(table);
    if let (Some(arm), Some(within)) = (nib_arm_mm, nib_arm_within_mm)
        && within >= arm
    {
        table.fault(
            table.span_of("nib_arm_within_mm"),
            format!("nib_arm_within_mm is {within}, not below the arm of {arm} mm"),
            "",
            TO_EITHER_SIDE,
        );
    }
    if is_calibrated && !table.has("pan_arm_mm") {
        without_pan(table, hook_within_mm);
    }
    let (hook_within_mm, friction_within_gf) = (hook_within_mm?, friction_within_gf?);
    let (beam_moment_g_mm, beam_moment_within_g_mm) = (beam_moment_g_mm?, beam_moment_within_g_mm?);
    let masses_g = masses_g?;
    let arms = || {
        Some(Arms {
            nib_mm: nib_arm_mm?,
            nib_within_mm: nib_arm_within_mm?,
            pan_mm: pan_arm_mm?,
            pan_within_mm: pan_arm_within_mm?,
        })
    };
    let leverage = if is_calibrated {
        Leverage::Calibrated {
            calibration: calibration(table, &pairs?, friction_within_gf)?,
            pan_arm_mm,
            pan_arm_within_mm: pan_arm_within_mm.unwrap_or(0.0),
            arms: arms(),
        }
    } else {
        Leverage::Measured {
            arms: arms()?,
            beam_moment_g_mm,
            beam_moment_within_g_mm,
        }
    };
    let mass_limit = mass_class
        .map(|class| MassLimit::Class(class.value))
        .or(mass_within_g.map(MassLimit::Within));
    Some(Lever {
        leverage,
        hook_within_mm,
        friction_within_gf,
        masses_g,
        mass_limit: mass_limit?,
    })
}

/// The masses at hand; none where they are not listed.
fn masses(table: &Node<'_, '_>) -> Option<Vec<f64>> {
    const KEY: &str = "masses_g";
    const REMEDY: &str = "write each mass in g: masses_g = [5, 10, 20, 20, 50]";
    if !table.has(KEY) {
        return Some(Vec::new());
    }
    let listed = table.list(KEY, REMEDY)?;
    if listed.len() > MOST_LISTED {
        table.fault(
            table.span_of(KEY),
            format!(
                "masses_g lists {} masses, more than {MOST_LISTED}",
                listed.len()
            ),
            "",
            "list those that are at hand",
        );
        return None;
    }
    let masses: Vec<f64> = listed
        .iter()
        .filter_map(|mass| mass.number(KEY, Rule::Positive, REMEDY))
        .map(|mass| mass.value)
        .collect();
    (masses.len() == listed.len()).then_some(masses)
}

/// One thing has to say how well masses are known.
fn known_masses(table: &Node<'_, '_>) {
    match (table.has("mass_class"), table.has("mass_within_g")) {
        (false, false) => table.fault(
            table.span_of("masses_g"),
            "nothing says how well the masses are known",
            "",
            "give mass_class = \"M1\" (E2 to M3), or mass_within_g for weighed ones",
        ),
        (true, true) => table.fault(
            table.span_of("mass_within_g"),
            "mass_class and mass_within_g both say how well the masses are known",
            "",
            "keep one of them",
        ),
        _ => {}
    }
}

/// What a calibrated lever cannot have without the arm of its pan.
fn without_pan(table: &Node<'_, '_>, hook_within_mm: Option<f64>) {
    if table.has("nib_arm_mm") {
        table.fault(
            table.span_of("nib_arm_mm"),
            "an arm of the nib without that of the pan says nothing",
            "",
            "write pan_arm_mm as well, or leave both out where the lever is calibrated",
        );
    }
    if hook_within_mm.is_some_and(|within| within > 0.0) {
        table.fault(
            table.span_of("hook_within_mm"),
            "how far masses hang from their mark counts as a part of the pan's arm, which is not given",
            "",
            "write pan_arm_mm as well, or leave hook_within_mm out",
        );
    }
}

fn pairs(table: &Node<'_, '_>) -> Option<Pairs> {
    const OWN: &str = "give the standard uncertainty of a single figure, in g";
    table.only(&["pairs_g", "placed_u_g", "scale_u_g", "scale_within_part"]);
    table.needs(&["pairs_g", "placed_u_g", "scale_u_g"], EXAMPLE);
    let placed_u_g = number(table, "placed_u_g", Rule::Positive, OWN);
    let scale_u_g = number(table, "scale_u_g", Rule::Positive, OWN);
    let scale_within_part = limit(table, "scale_within_part");
    let listed = table.list("pairs_g", PAIRS)?;
    let pairs: Vec<[f64; 2]> = listed
        .iter()
        .filter_map(|pair| pair.pair("pairs_g", PAIRS))
        .map(|pair| pair.value)
        .collect();
    Some(Pairs {
        pairs_g: (pairs.len() == listed.len()).then_some(pairs)?,
        placed_u_g: placed_u_g?,
        scale_u_g: scale_u_g?,
        scale_within_part: scale_within_part?,
    })
}

/// A calibration needs a line that rises.
fn calibration(
    lever: &Node<'_, '_>,
    pairs: &Pairs,
    friction_within_gf: f64,
) -> Option<Calibration> {
    let refuse = |found: &str, remedy: &str| {
        let place = lever
            .table("calibration")
            .map_or_else(|| lever.span(), |inner| inner.span_of("pairs_g"));
        lever.fault(place, found, "", remedy);
    };
    match Calibration::of(pairs, friction_within_gf) {
        None => refuse(
            "the calibration has no line: it needs three pairs or more with different masses",
            PAIRS,
        ),
        Some(found) if found.line.slope <= 0.0 => refuse(
            "the scale shows no more where more is on the pan",
            "write what is on the pan first, then what the scale shows",
        ),
        found => return found,
    }
    None
}

fn scale(table: &Node<'_, '_>) -> Option<Scale> {
    table.only(&["step_g", "within_part", "within_g"]);
    table.needs(&["step_g", "within_part"], EXAMPLE);
    let step_g = number(table, "step_g", Rule::NotNegative, DATA_SHEET);
    let within_part = number(table, "within_part", Rule::Between(0.0, 0.5), DATA_SHEET);
    let within_g = number_or(table, "within_g", Rule::NotNegative, DATA_SHEET, 0.0);
    Some(Scale {
        step_g: step_g?,
        within_part: within_part?,
        within_g: within_g?,
    })
}

fn gauge(table: &Node<'_, '_>) -> Option<Gauge> {
    table.only(&["step_n", "within_part", "within_n"]);
    table.needs(&["step_n", "within_part"], EXAMPLE);
    let step_n = number(table, "step_n", Rule::NotNegative, DATA_SHEET);
    let within_part = number(table, "within_part", Rule::Between(0.0, 0.5), DATA_SHEET);
    let within_n = number_or(table, "within_n", Rule::NotNegative, DATA_SHEET, 0.0);
    Some(Gauge {
        step_n: step_n?,
        within_part: within_part?,
        within_n: within_n?,
    })
}
