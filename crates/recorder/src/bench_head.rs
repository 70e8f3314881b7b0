//! Comment lines of a measurement: what it is of, and the bench it is taken on.

use evenhand_bench::{BENCH_KEYS, Rig, bench_remarks};
use evenhand_text::{Remedy, Setting};

use crate::error::RecordError;
use crate::log::Log;
use crate::settings::RecorderSettings;

/// The key that says whose budget the others are.
const BENCH: &str = "bench";

/// Comment lines of a new measurement.
pub(crate) fn new_head(settings: &RecorderSettings, rig: Option<&Rig>) -> String {
    let levels = settings.levels.map(|levels| levels.to_string());
    let of_stylus = [
        ("model", settings.model.clone()),
        ("unit", settings.unit.clone()),
        ("date", settings.date.clone()),
        ("levels", levels),
    ];
    let mut head = String::new();
    for (key, value) in of_stylus {
        if let Some(value) = value {
            head.push_str(&line(key, &value));
        }
    }
    for (key, value) in of_bench(rig) {
        head.push_str(&line(key, &value));
    }
    head
}

/// Comment lines of a measurement that is gone on with. A file without samples takes the bench that is given.
///
/// # Errors
/// Another bench than the one that its samples were taken on.
pub(crate) fn continued(
    log: &Log,
    settings: &RecorderSettings,
    rig: Option<&Rig>,
) -> Result<String, RecordError> {
    let remarks = of_bench(rig);
    let found = |key: &str| {
        log.head
            .lines()
            .filter_map(set)
            .find(|(name, _)| *name == key)
            .map(|(_, value)| value)
    };
    let differs = match (found(BENCH), rig) {
        (None, None) => return Ok(log.head.clone()),
        (Some(name), None) => Some((
            format!("its samples were taken on the bench {name}, and no rig is given"),
            Remedy::from("name a new file").or_set(Setting::Rig),
        )),
        (None, Some(rig)) => Some((
            format!(
                "its samples were taken without a rig, and that of the bench {} is given",
                rig.name
            ),
            Remedy::from("name a new file").or_set(Setting::NoRig),
        )),
        (Some(_), Some(_)) => remarks
            .iter()
            .find_map(|(key, value)| {
                let before = found(key)?;
                (before != value).then(|| {
                    format!(
                        "its samples were taken with {key} = {before}, and the rig says {value}"
                    )
                })
            })
            .map(|message| (message, "give the rig as it was, or name a new file".into())),
    };
    let Some((differs, remedy)) = differs else {
        return Ok(log.head.clone());
    };
    if !log.rows.is_empty() {
        return Err(RecordError::OtherBench {
            file: settings.out.display().to_string(),
            differs,
            remedy,
        });
    }
    let mut head: String = log
        .head
        .lines()
        .filter(|text| set(text).is_none_or(|(key, _)| !BENCH_KEYS.contains(&key)))
        .map(|text| format!("{text}\n"))
        .collect();
    for (key, value) in remarks {
        head.push_str(&line(key, &value));
    }
    Ok(head)
}

fn of_bench(rig: Option<&Rig>) -> Vec<(&'static str, String)> {
    rig.map_or_else(Vec::new, |rig| bench_remarks(rig, &rig.usual_budget()))
}

fn set(text: &str) -> Option<(&str, &str)> {
    let (key, value) = text.trim_start_matches('#').split_once('=')?;
    Some((key.trim(), value.trim()))
}

fn line(key: &str, value: &str) -> String {
    let value = value.replace(['\n', '\r'], " ");
    format!("# {key} = {value}\n")
}
