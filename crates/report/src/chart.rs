//! A comparison as charts.

use evenhand_fitting::SaturationClass;
use evenhand_population::{Comparison, Envelope, READING_GRID, level_reading};
use evenhand_preview::{ComparisonChart, EnvelopeMark, GroupMark, Sides, UnitMark};
use evenhand_text::count;

use crate::findings::Findings;
use crate::sentences::{group_note, left_out_sentence, overview};
use crate::table::span;

/// Lines are thinned to this many levels where there are many of them.
const FEW_LEVELS: usize = 34;
/// From so many units on.
const MANY: usize = 100;

/// What the charts of a comparison show.
#[must_use]
pub fn chart_of(findings: &Findings) -> ComparisonChart {
    let comparison = &findings.comparison;
    let flagged: Vec<usize> = comparison.flags.iter().map(|flag| flag.unit).collect();
    let thin = comparison.units.len() > MANY;
    ComparisonChart {
        title: format!("Responses of {}", count(comparison.units.len(), "unit")),
        subtitle: overview(comparison),
        groups: comparison
            .groups
            .iter()
            .map(|group| GroupMark {
                name: group.name.clone(),
                note: group_note(group),
                typical: group.typical.points(),
                next_unit: group
                    .saturation
                    .next_unit
                    .map(|(low, high)| (low.max(0.0), high)),
            })
            .collect(),
        units: comparison
            .units
            .iter()
            .enumerate()
            .map(|(index, unit)| UnitMark {
                name: unit.name.clone(),
                group: unit.group,
                curve: thinned(unit.profile.points(), thin),
                onset: span(&unit.onset),
                saturation: span(&unit.saturation),
                saturation_open: unit.saturation.is_least,
                flagged: flagged.contains(&index),
            })
            .collect(),
        envelope: comparison
            .envelope
            .as_ref()
            .map(|envelope| envelope_mark(envelope, comparison)),
        classes: SaturationClass::ALL
            .iter()
            .map(|class| {
                (
                    class.as_str().to_owned(),
                    class.from().gf(),
                    class.to().gf(),
                )
            })
            .collect(),
        confidence: comparison.settings.confidence,
        left_out: left_out_sentence(findings),
        footer: format!(
            "{}; evenhand {}, seed {}. Saturation classes are a bench's opinion, not a maker's specification.",
            sources(comparison),
            findings.version,
            comparison.settings.seed
        ),
    }
}

fn thinned(points: Vec<(f64, f64)>, thin: bool) -> Vec<(f64, f64)> {
    if !thin || points.len() <= FEW_LEVELS {
        return points;
    }
    let last = points.len() - 1;
    let step = points.len().div_ceil(FEW_LEVELS);
    points
        .iter()
        .enumerate()
        // The first two points are the foot of the curve.
        .filter(|(index, _)| *index < 2 || index % step == 0 || *index == last)
        .map(|(_, point)| *point)
        .collect()
}

fn sources(comparison: &Comparison) -> String {
    match &comparison.measured[..] {
        [only] => format!(
            "{}, SHA-256 {}…",
            only.file,
            only.sha256.get(..12).unwrap_or_default()
        ),
        many => format!("{} files", many.len()),
    }
}

fn envelope_mark(envelope: &Envelope, comparison: &Comparison) -> EnvelopeMark {
    let side = |forces: &[f64]| -> Vec<(f64, f64)> {
        (0..READING_GRID)
            .map(|level| (forces[level], level_reading(level)))
            .collect()
    };
    let sides = |least: &[f64], greatest: &[f64]| Sides {
        least: side(least),
        greatest: side(greatest),
    };
    let bench = comparison
        .envelope_bench
        .as_ref()
        .filter(|_| comparison.has_several_benches())
        .map_or_else(String::new, |bench| format!(" on {bench}"));
    EnvelopeMark {
        name: format!("extremes of {}{bench}", count(envelope.units, "unit")),
        sides: sides(&envelope.least, &envelope.greatest),
        inner: envelope
            .outer
            .as_ref()
            .map(|(low, high)| ("10 to 90 %".to_owned(), sides(low, high))),
    }
}
