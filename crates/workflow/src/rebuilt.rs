//! What a saved map has become when it is built again.

use std::fmt;

use crate::edited::short_figure;
use crate::failure::Failure;
use crate::job::Job;
use crate::map_file::{MapFile, VERSION};

/// A map that was built again, beside what was saved.
#[derive(Clone, Debug, PartialEq)]
pub enum Rebuilt {
    /// Every byte is the same.
    Same,
    /// Another version wrote it, and nothing but the version is different.
    OtherVersion,
    /// Something is different.
    Differs(Differences),
}

/// What is different in a map that was built again.
#[derive(Clone, Debug, PartialEq)]
pub struct Differences {
    /// Figures and control points that differ by more than what is printed of them.
    pub changes: Vec<Change>,
    /// Other tables of the file that hold something else.
    pub tables: Vec<&'static str>,
    /// First line of the file that differs, from 1; `None` where both versions stand in it.
    pub line: Option<usize>,
}

/// A figure or a coordinate that changed.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// Its name in the file.
    pub figure: String,
    /// As it was saved; `None` where it was not there.
    pub saved: Option<f64>,
    /// As it is now; `None` where it is not there any more.
    pub rebuilt: Option<f64>,
}

impl fmt::Display for Change {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let shown = |value: Option<f64>| value.map_or_else(|| "none".to_owned(), short_figure);
        let (saved, rebuilt) = (shown(self.saved), shown(self.rebuilt));
        write!(f, "{}: {saved} → {rebuilt}", self.figure)
    }
}

impl Differences {
    /// What differs, without the figures themselves: a part of a sentence.
    #[must_use]
    pub fn summary(&self) -> String {
        let mut parts = Vec::new();
        match self.changes.len() {
            0 => {}
            1 => parts.push("1 figure or coordinate".to_owned()),
            n => parts.push(format!("{n} figures and coordinates")),
        }
        parts.extend(self.tables.iter().map(|table| format!("[{table}]")));
        if parts.is_empty() {
            return match self.line {
                Some(line) => format!(
                    "no figure by its first six digits, but how it is written, from line {line} on"
                ),
                None => "only a line that names the version".to_owned(),
            };
        }
        parts.join(", ")
    }
}

/// Compares a saved map, and its text, with the job that was built again from it.
///
/// # Errors
/// Numbers that TOML cannot hold.
pub fn rebuilt(saved: &MapFile, text: &str, job: &Job) -> Result<Rebuilt, Failure> {
    let again = job.document(&saved.source.file);
    let rewritten = again.to_toml()?;
    if rewritten == text {
        return Ok(Rebuilt::Same);
    }
    let line = first_difference(text, &rewritten);
    if line.is_none() && saved.version != VERSION {
        return Ok(Rebuilt::OtherVersion);
    }
    Ok(Rebuilt::Differs(Differences {
        changes: changes(saved, &again),
        tables: tables(saved, &again),
        line,
    }))
}

/// The first line, from 1, in which two texts differ otherwise than by the version of the program.
fn first_difference(saved: &str, again: &str) -> Option<usize> {
    const NAMES_VERSION: [&str; 2] = ["# A response map made by evenhand ", "version = "];
    let is_version = |a: &str, b: &str| {
        NAMES_VERSION
            .iter()
            .any(|start| a.starts_with(start) && b.starts_with(start))
    };
    let (mut saved, mut again) = (saved.split('\n'), again.split('\n'));
    for line in 1.. {
        match (saved.next(), again.next()) {
            (None, None) => return None,
            (Some(a), Some(b)) if a == b || is_version(a, b) => {}
            _ => return Some(line),
        }
    }
    None
}

/// Figures and control points that differ as they are printed.
fn changes(saved: &MapFile, again: &MapFile) -> Vec<Change> {
    let (before, after) = (figures(saved), figures(again));
    let mut changes: Vec<Change> = before
        .into_iter()
        .zip(after)
        .map(|((figure, saved), (_, rebuilt))| Change {
            figure: figure.to_owned(),
            saved,
            rebuilt,
        })
        .collect();
    let (before, after) = (&saved.map.control_points, &again.map.control_points);
    for index in 0..before.len().max(after.len()) {
        for (axis, name) in ["input", "output"].into_iter().enumerate() {
            let of = |points: &[[f64; 2]]| points.get(index).map(|point| point[axis]);
            changes.push(Change {
                figure: format!("control point {}, {name}", index + 1),
                saved: of(before),
                rebuilt: of(after),
            });
        }
    }
    changes.retain(|change| {
        let [saved, rebuilt] = [change.saved, change.rebuilt].map(|value| value.map(short_figure));
        saved != rebuilt
    });
    changes
}

fn figures(map: &MapFile) -> [(&'static str, Option<f64>); 16] {
    let achieved = &map.achieved;
    let full = &achieved.full_output_force_gf;
    let stylus = achieved.stylus_error;
    [
        ("light_at_gf", Some(achieved.light_at_gf)),
        ("full_at_gf", Some(achieved.full_at_gf)),
        ("max_error", Some(achieved.max_error)),
        ("rms_error", Some(achieved.rms_error)),
        ("stylus_error.median", stylus.map(|error| error.median)),
        ("stylus_error.high", stylus.map(|error| error.high)),
        ("compile_max_error", Some(achieved.compile_max_error)),
        ("compile_lower_bound", Some(achieved.compile_lower_bound)),
        ("distinct_outputs", Some(achieved.distinct_outputs as f64)),
        ("largest_step", Some(achieved.largest_step)),
        ("largest_gain", Some(achieved.largest_gain)),
        ("full_output_force_gf.estimate", full.estimate),
        ("full_output_force_gf.low", full.low),
        ("full_output_force_gf.high", full.high),
        ("exponent", map.map.exponent),
        (
            "optimum_max_error",
            map.tuned.as_ref().map(|tuned| tuned.optimum_max_error),
        ),
    ]
}

/// Tables that hold something else, apart from figures and control points.
fn tables(saved: &MapFile, again: &MapFile) -> Vec<&'static str> {
    let pinned = |map: &MapFile| map.tuned.as_ref().map(|tuned| tuned.pinned.clone());
    let shown = |points: &[[f64; 2]]| -> Vec<[String; 2]> {
        points.iter().map(|point| point.map(short_figure)).collect()
    };
    let same = [
        ("source", saved.source == again.source),
        ("stylus", saved.stylus == again.stylus),
        ("settings", saved.settings == again.settings),
        ("tuned", pinned(saved) == pinned(again)),
        ("strokes", saved.strokes == again.strokes),
        ("before", saved.before == again.before),
        ("after", saved.after == again.after),
        (
            "ideal",
            shown(&saved.ideal.points) == shown(&again.ideal.points),
        ),
        ("receiver", saved.receiver == again.receiver),
    ];
    let differ = same.into_iter().filter(|(_, is_same)| !is_same);
    differ.map(|(table, _)| table).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_lines_that_name_the_version_may_differ() {
        let text = |version: &str| {
            format!(
                "# A response map made by evenhand {version}.\nformat = 1\nversion = \"{version}\"\nx = 1\n"
            )
        };
        assert_eq!(first_difference(&text("0.1.0"), &text("0.2.0")), None);
        let other = text("0.2.0").replace("x = 1", "x = 2");
        assert_eq!(first_difference(&text("0.1.0"), &other), Some(4));
        let longer = text("0.1.0") + "y = 1\n";
        assert_eq!(first_difference(&longer, &text("0.1.0")), Some(5));
        let moved = text("0.1.0").replace("format = 1\nversion", "version");
        assert_eq!(first_difference(&moved, &text("0.1.0")), Some(2));
    }

    #[test]
    fn figures_are_printed_to_six_digits() {
        for (value, shown) in [
            (0.0, "0"),
            (150.0, "150"),
            (0.004_123_456_7, "0.00412346"),
            (123.456_789, "123.457"),
            (1_234_567.0, "1234567"),
            (1e-20, "0"),
        ] {
            assert_eq!(short_figure(value), shown);
        }
        let change = Change {
            figure: "max_error".to_owned(),
            saved: Some(0.1),
            rebuilt: None,
        };
        assert_eq!(change.to_string(), "max_error: 0.1 → none");
    }
}
