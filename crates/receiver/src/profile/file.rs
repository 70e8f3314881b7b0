//! A profile as it is written: as TOML for people and as serde data, with the same keys in the same order.

use std::fmt::Write as _;

use evenhand_text::{is_clean, toml_string};
use serde::Serialize;

use super::{CurveKind, Profile};

/// A profile file's top level.
#[derive(Serialize)]
pub(super) struct ProfileFile<'p> {
    name: &'p str,
    title: &'p str,
    #[serde(skip_serializing_if = "Option::is_none")]
    notes: Option<&'p str>,
    curve: CurveTable,
    #[serde(skip_serializing_if = "Option::is_none")]
    grid: Option<GridTable>,
}

/// The `[curve]` table; keys that do not belong to the kind are absent.
#[derive(Default, Serialize)]
struct CurveTable {
    kind: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    interpolation: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    points: Option<PointCount>,
    #[serde(skip_serializing_if = "Option::is_none")]
    entries: Option<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    ends: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    min_gap: Option<f64>,
}

/// Fewest and most points.
#[derive(Serialize)]
struct PointCount {
    min: usize,
    max: usize,
}

/// The `[grid]` table; a table's input steps follow from its entries.
#[derive(Serialize)]
struct GridTable {
    #[serde(skip_serializing_if = "Option::is_none")]
    input_steps: Option<u32>,
    output_steps: u32,
    rounding: &'static str,
}

impl<'p> From<&'p Profile> for ProfileFile<'p> {
    fn from(profile: &'p Profile) -> Self {
        let kind = profile.curve.as_str();
        let curve = match profile.curve {
            CurveKind::Points {
                interpolation,
                min_points: min,
                max_points: max,
                ends,
                min_gap,
            } => CurveTable {
                kind,
                interpolation: Some(interpolation.as_str()),
                points: Some(PointCount { min, max }),
                ends: Some(ends.as_str()),
                min_gap: Some(min_gap),
                ..CurveTable::default()
            },
            CurveKind::Bezier { ends } => CurveTable {
                kind,
                ends: Some(ends.as_str()),
                ..CurveTable::default()
            },
            CurveKind::Power => CurveTable {
                kind,
                ..CurveTable::default()
            },
            CurveKind::Table { entries, ends } => CurveTable {
                kind,
                entries: Some(entries),
                ends: Some(ends.as_str()),
                ..CurveTable::default()
            },
        };
        let is_table = matches!(profile.curve, CurveKind::Table { .. });
        Self {
            name: &profile.name,
            title: &profile.title,
            notes: profile.notes.as_deref(),
            curve,
            grid: profile.grid.map(|grid| GridTable {
                input_steps: (!is_table).then_some(grid.input_steps),
                output_steps: grid.output_steps,
                rounding: grid.rounding.as_str(),
            }),
        }
    }
}

/// Writes the file by hand: one key a line in the order people read it, `points` inline.
pub(super) fn write(file: &ProfileFile<'_>) -> String {
    let text = |text: &str| {
        if is_clean(text) {
            toml::Value::String(text.to_owned()).to_string()
        } else {
            toml_string(text)
        }
    };
    let curve = &file.curve;
    let points = |count: &PointCount| format!("{{ min = {}, max = {} }}", count.min, count.max);
    let mut out = String::new();
    for (key, value) in [
        ("name", Some(text(file.name))),
        ("title", Some(text(file.title))),
        ("notes", file.notes.map(text)),
        ("\n[curve]\nkind", Some(text(curve.kind))),
        ("interpolation", curve.interpolation.map(text)),
        ("points", curve.points.as_ref().map(points)),
        ("entries", curve.entries.map(|entries| entries.to_string())),
        ("ends", curve.ends.map(text)),
        ("min_gap", curve.min_gap.map(|gap| format!("{gap:?}"))),
    ] {
        if let Some(value) = value {
            // Writing into a string cannot fail.
            let _ = writeln!(out, "{key} = {value}");
        }
    }
    if let Some(grid) = &file.grid {
        out.push_str("\n[grid]\n");
        if let Some(steps) = grid.input_steps {
            let _ = writeln!(out, "input_steps = {steps}");
        }
        let _ = writeln!(out, "output_steps = {}", grid.output_steps);
        let _ = writeln!(out, "rounding = {}", text(grid.rounding));
    }
    out
}
