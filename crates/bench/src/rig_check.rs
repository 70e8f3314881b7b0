//! Whether the figures of a rig can be meant.

use crate::error::BenchError;
use crate::places::{Places, decimal_comma};
use crate::rig::Rig;

/// What a figure has to be.
#[derive(Clone, Copy)]
enum Rule {
    /// Limits to either side.
    Limit,
    /// More than nothing.
    Above0,
    /// A number of either sign.
    Number,
    /// From here to there.
    Between(f64, f64),
}

impl Rule {
    fn holds(self, value: f64) -> bool {
        match self {
            Self::Limit => value.is_finite() && value >= 0.0,
            Self::Above0 => value.is_finite() && value > 0.0,
            Self::Number => value.is_finite(),
            Self::Between(least, most) => (least..=most).contains(&value),
        }
    }

    fn in_words(self) -> String {
        match self {
            Self::Limit => "0 or more".to_owned(),
            Self::Above0 => "above 0".to_owned(),
            Self::Number => "a number".to_owned(),
            Self::Between(least, most) => format!("from {least} to {most}"),
        }
    }
}

/// A figure by its key, where it is set, what it has to be, and where to take it from.
type Figure = (&'static str, Option<f64>, Rule, &'static str);

/// No bench has more masses at hand.
const MOST_LISTED: usize = 1000;
const FROM_PIVOT: &str = "measure it from the pivot";
const TO_EITHER_SIDE: &str = "give how far the figure may be off to either side";
const DATA_SHEET: &str = "see its data sheet";

/// A rig from its text.
pub(crate) fn parsed(text: &str) -> Result<Rig, BenchError> {
    let no_toml = |error: &toml::de::Error| {
        let comma = error.span().and_then(|span| decimal_comma(text, &span));
        BenchError::Rig {
            message: error.message().to_owned(),
            help: comma.map_or_else(
                || "see demo/rig.toml for how a rig is written".to_owned(),
                |number| format!("write a decimal point, not a comma: {number}"),
            ),
            span: error.span(),
        }
    };
    let places = Places::parse(text).map_err(|error| no_toml(&error))?;
    lacking(&places)?;
    let rig: Rig = toml::from_str(text).map_err(|error| no_toml(&error))?;
    check(&rig, &places)?;
    Ok(rig)
}

fn wrong(places: &Places<'_>, key: &str, message: impl Into<String>, help: &str) -> BenchError {
    BenchError::Rig {
        message: message.into(),
        help: help.to_owned(),
        span: places.of(key),
    }
}

/// All keys that lack, at once.
fn lacking(places: &Places<'_>) -> Result<(), BenchError> {
    let kinds = ["lever", "scale", "gauge"];
    let set: Vec<&str> = kinds.into_iter().filter(|key| places.has(key)).collect();
    if set.len() != 1 {
        let (last, help) = match set.last() {
            Some(last) => (*last, "keep the one that sets the force"),
            None => (
                "",
                "write the one that sets the force, as demo/rig.toml does",
            ),
        };
        let message = "a rig has one of [lever], [scale] and [gauge]";
        return Err(wrong(places, last, message, help));
    }
    if !places.has("name") {
        return Err(wrong(
            places,
            "",
            "the rig has no name",
            "write name = \"window\" above the tables, so that measurements can tell benches apart",
        ));
    }
    let of_lever: &[&str] = if places.has("lever.calibration") {
        &[]
    } else {
        &[
            "nib_arm_mm",
            "nib_arm_within_mm",
            "pan_arm_mm",
            "pan_arm_within_mm",
        ]
    };
    let tables = [
        ("lever", of_lever),
        (
            "lever.calibration",
            &["pairs_g", "placed_u_g", "scale_u_g"][..],
        ),
        ("scale", &["step_g", "within_part"]),
        ("gauge", &["step_n", "within_part"]),
    ];
    for (table, keys) in tables {
        let lacks: Vec<&str> = keys
            .iter()
            .copied()
            .filter(|key| places.has(table) && !places.has(&format!("{table}.{key}")))
            .collect();
        if !lacks.is_empty() {
            let help = if table == "lever" {
                "write them, or calibrate the lever against a scale: demo/bench.md tells of both"
            } else {
                "demo/bench.md has an example"
            };
            let message = format!("[{table}] lacks {}", lacks.join(", "));
            return Err(wrong(places, table, message, help));
        }
    }
    Ok(())
}

fn check(rig: &Rig, places: &Places<'_>) -> Result<(), BenchError> {
    for (key, value, rule, help) in figures(rig) {
        if let Some(value) = value.filter(|value| !rule.holds(*value)) {
            let name = key.rsplit('.').next().unwrap_or(key);
            let found = places
                .written(key)
                .map_or_else(|| value.to_string(), str::to_owned);
            let message = format!("{name} is {found}, and must be {}", rule.in_words());
            return Err(wrong(places, key, message, help));
        }
    }
    check_lever(rig, places)
}

fn figures(rig: &Rig) -> Vec<Figure> {
    let mut all: Vec<Figure> = vec![
        (
            "tilt_deg",
            Some(rig.tilt_deg),
            Rule::Between(0.0, 80.0),
            "give the angle between stylus and upright, in degrees",
        ),
        (
            "tilt_within_deg",
            Some(rig.tilt_within_deg),
            Rule::Between(0.0, 45.0),
            TO_EITHER_SIDE,
        ),
        (
            "gravity_m_s2",
            Some(rig.gravity_m_s2),
            Rule::Between(9.7, 9.9),
            "leave it out, or give the acceleration where the bench stands",
        ),
        (
            "gravity_within_m_s2",
            Some(rig.gravity_within_m_s2),
            Rule::Between(0.0, 0.1),
            TO_EITHER_SIDE,
        ),
    ];
    if let Some(lever) = &rig.lever {
        let limit = |key, value| (key, value, Rule::Limit, TO_EITHER_SIDE);
        all.extend([
            (
                "lever.nib_arm_mm",
                lever.nib_arm_mm,
                Rule::Above0,
                FROM_PIVOT,
            ),
            (
                "lever.pan_arm_mm",
                lever.pan_arm_mm,
                Rule::Above0,
                FROM_PIVOT,
            ),
            limit("lever.nib_arm_within_mm", lever.nib_arm_within_mm),
            limit("lever.pan_arm_within_mm", lever.pan_arm_within_mm),
            limit("lever.hook_within_mm", Some(lever.hook_within_mm)),
            (
                "lever.beam_moment_g_mm",
                Some(lever.beam_moment_g_mm),
                Rule::Number,
                "0 where the beam is balanced",
            ),
            limit(
                "lever.beam_moment_within_g_mm",
                Some(lever.beam_moment_within_g_mm),
            ),
            limit("lever.friction_within_gf", Some(lever.friction_within_gf)),
            limit("lever.mass_within_g", lever.mass_within_g),
        ]);
        let wrong_mass = lever.masses_g.iter().find(|m| !Rule::Above0.holds(**m));
        all.push((
            "lever.masses_g",
            wrong_mass.copied(),
            Rule::Above0,
            "write each mass in g: masses_g = [5, 10, 20, 20, 50]",
        ));
        if let Some(calibration) = &lever.calibration {
            let own = "give the standard uncertainty of a single figure, in g";
            all.extend([
                (
                    "lever.calibration.placed_u_g",
                    Some(calibration.placed_u_g),
                    Rule::Above0,
                    own,
                ),
                (
                    "lever.calibration.scale_u_g",
                    Some(calibration.scale_u_g),
                    Rule::Above0,
                    own,
                ),
                limit(
                    "lever.calibration.scale_within_part",
                    Some(calibration.scale_within_part),
                ),
            ]);
        }
    }
    if let Some(scale) = &rig.scale {
        all.extend([
            ("scale.step_g", Some(scale.step_g), Rule::Limit, DATA_SHEET),
            (
                "scale.within_part",
                Some(scale.within_part),
                Rule::Between(0.0, 0.5),
                DATA_SHEET,
            ),
            (
                "scale.within_g",
                Some(scale.within_g),
                Rule::Limit,
                DATA_SHEET,
            ),
        ]);
    }
    if let Some(gauge) = &rig.gauge {
        all.extend([
            ("gauge.step_n", Some(gauge.step_n), Rule::Limit, DATA_SHEET),
            (
                "gauge.within_part",
                Some(gauge.within_part),
                Rule::Between(0.0, 0.5),
                DATA_SHEET,
            ),
            (
                "gauge.within_n",
                Some(gauge.within_n),
                Rule::Limit,
                DATA_SHEET,
            ),
        ]);
    }
    all
}

fn check_lever(rig: &Rig, places: &Places<'_>) -> Result<(), BenchError> {
    let Some(lever) = &rig.lever else {
        return Ok(());
    };
    if let Some(arms) = lever.arms()
        && arms.nib_within_mm >= arms.nib_mm
    {
        return Err(wrong(
            places,
            "lever.nib_arm_within_mm",
            format!(
                "nib_arm_within_mm is {}, not below the arm of {} mm",
                arms.nib_within_mm, arms.nib_mm
            ),
            TO_EITHER_SIDE,
        ));
    }
    let arms = lever.nib_arm_mm.is_some() || lever.pan_arm_mm.is_some();
    if arms && lever.arms().is_none() && lever.pan_arm_mm.is_none() {
        return Err(wrong(
            places,
            "lever.nib_arm_mm",
            "an arm of the nib without that of the pan says nothing",
            "write pan_arm_mm as well, or leave both out where the lever is calibrated",
        ));
    }
    if lever.pan_arm_mm.is_none() && lever.hook_within_mm > 0.0 {
        return Err(wrong(
            places,
            "lever.hook_within_mm",
            "how far masses hang from their mark counts as a part of the pan's arm, which is not given",
            "write pan_arm_mm as well, or leave hook_within_mm out",
        ));
    }
    if lever.masses_g.len() > MOST_LISTED {
        return Err(wrong(
            places,
            "lever.masses_g",
            format!(
                "masses_g lists {} masses, more than {MOST_LISTED}",
                lever.masses_g.len()
            ),
            "list those that are at hand",
        ));
    }
    match (lever.mass_class, lever.mass_within_g) {
        (None, None) => {
            return Err(wrong(
                places,
                "lever.masses_g",
                "nothing says how well the masses are known",
                "give mass_class = \"M1\" (E2 to M3), or mass_within_g for weighed ones",
            ));
        }
        (Some(_), Some(_)) => {
            return Err(wrong(
                places,
                "lever.mass_within_g",
                "mass_class and mass_within_g both say how well the masses are known",
                "keep one of them",
            ));
        }
        _ => {}
    }
    if lever.calibration.is_some() {
        const PAIRS: &str = "lever.calibration.pairs_g";
        let example = "write pairs_g = [[0, 4.1], [20, 64.0], [50, 153.8]]";
        let Some(found) = lever.calibrated() else {
            return Err(wrong(
                places,
                PAIRS,
                "the calibration has no line: it needs three pairs or more with different masses",
                example,
            ));
        };
        if found.line.slope <= 0.0 {
            return Err(wrong(
                places,
                PAIRS,
                "the scale shows no more where more is on the pan",
                "write what is on the pan first, then what the scale shows",
            ));
        }
    }
    Ok(())
}
