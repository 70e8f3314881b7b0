//! The tables of a profile file, as they are written.

use evenhand_text::{is_clean, toml_string};
use serde::Serialize;

use super::{CurveKind, Grid, Profile};

/// A profile file's top level.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct ProfileFile {
    /// Short name.
    pub(super) name: String,
    /// What the receiver accepts, for people.
    pub(super) title: String,
    /// Free text for people.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) notes: Option<String>,
    /// The `[curve]` table.
    pub(super) curve: ProfileCurve,
    /// The `[grid]` table.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) grid: Option<ProfileGrid>,
}

/// The `[curve]` table.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub(super) struct ProfileCurve {
    /// `points`, `bezier`, `power` or `table`.
    pub(super) kind: String,
    /// For `points`: what happens between them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) interpolation: Option<String>,
    /// For `points`: how many.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) points: Option<PointCount>,
    /// For `table`: number of entries.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) entries: Option<i64>,
    /// For `points`, `table` and `bezier`: `fixed`, `free-output` or `free`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) ends: Option<String>,
    /// For `points`: least distance of neighbouring inputs.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) min_gap: Option<f64>,
}

/// Fewest and most points.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub(super) struct PointCount {
    /// Fewest points, at least 2.
    pub(super) min: i64,
    /// Most points, at most 1024.
    pub(super) max: i64,
}

/// The `[grid]` table.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub(super) struct ProfileGrid {
    /// For `points`: steps from input 0 to 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) input_steps: Option<i64>,
    /// Steps from output 0 to 1.
    pub(super) output_steps: i64,
    /// `nearest` or `down`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) rounding: Option<String>,
}

fn count(n: usize) -> i64 {
    i64::try_from(n).unwrap_or(i64::MAX)
}

impl From<Profile> for ProfileFile {
    fn from(profile: Profile) -> Self {
        let Profile {
            name,
            title,
            notes,
            curve,
            grid,
        } = profile;
        let mut table = ProfileCurve {
            kind: curve.as_str().to_owned(),
            interpolation: None,
            points: None,
            entries: None,
            ends: None,
            min_gap: None,
        };
        let mut shows_input_steps = true;
        match curve {
            CurveKind::Points {
                interpolation,
                min_points,
                max_points,
                ends,
                min_gap,
            } => {
                table.interpolation = Some(interpolation.as_str().to_owned());
                table.points = Some(PointCount {
                    min: count(min_points),
                    max: count(max_points),
                });
                table.ends = Some(ends.as_str().to_owned());
                table.min_gap = Some(min_gap);
            }
            CurveKind::Power => {}
            CurveKind::Bezier { ends } => table.ends = Some(ends.as_str().to_owned()),
            CurveKind::Table { entries, ends } => {
                table.entries = Some(count(entries));
                table.ends = Some(ends.as_str().to_owned());
                shows_input_steps = false;
            }
        }
        Self {
            name,
            title,
            notes,
            curve: table,
            grid: grid.map(|grid: Grid| ProfileGrid {
                input_steps: shows_input_steps.then_some(i64::from(grid.input_steps)),
                output_steps: i64::from(grid.output_steps),
                rounding: Some(grid.rounding.as_str().to_owned()),
            }),
        }
    }
}

/// Writes the file by hand: one key a line in the order people read it, `points` inline.
pub(super) fn write(file: &ProfileFile) -> String {
    use std::fmt::Write as _;
    let text = |text: &str| {
        if is_clean(text) {
            toml::Value::String(text.to_owned()).to_string()
        } else {
            toml_string(text)
        }
    };
    let mut out = String::new();
    // Writing into a string cannot fail.
    let _ = writeln!(out, "name = {}", text(&file.name));
    let _ = writeln!(out, "title = {}", text(&file.title));
    if let Some(notes) = &file.notes {
        let _ = writeln!(out, "notes = {}", text(notes));
    }
    let curve = &file.curve;
    let _ = writeln!(out, "\n[curve]\nkind = {}", text(&curve.kind));
    if let Some(word) = &curve.interpolation {
        let _ = writeln!(out, "interpolation = {}", text(word));
    }
    if let Some(PointCount { min, max }) = &curve.points {
        let _ = writeln!(out, "points = {{ min = {min}, max = {max} }}");
    }
    if let Some(entries) = curve.entries {
        let _ = writeln!(out, "entries = {entries}");
    }
    if let Some(word) = &curve.ends {
        let _ = writeln!(out, "ends = {}", text(word));
    }
    if let Some(gap) = curve.min_gap {
        let _ = writeln!(out, "min_gap = {gap:?}");
    }
    if let Some(grid) = &file.grid {
        out.push_str("\n[grid]\n");
        if let Some(steps) = grid.input_steps {
            let _ = writeln!(out, "input_steps = {steps}");
        }
        let _ = writeln!(out, "output_steps = {}", grid.output_steps);
        if let Some(word) = &grid.rounding {
            let _ = writeln!(out, "rounding = {}", text(word));
        }
    }
    out
}
