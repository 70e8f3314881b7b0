//! The keys of a profile, and which of them belong together.

use evenhand_text::{Node, Rule, quoted};

use super::{CurveKind, Ends, Grid, Profile, Rounding};
use crate::interpolation::MapInterpolation;

/// What a profile has, for a text that is none.
pub(super) const OUTLINE: &str = "a profile has name, title, [curve] and perhaps [grid]";
/// Most steps a grid may have: coordinates of sixteen bits.
const MOST_STEPS: u64 = 65_535;
/// Most points of a curve.
const MOST_POINTS: u64 = 1024;
/// Most entries of a table.
const MOST_ENTRIES: u64 = 65_536;

const CURVE: &[&str] = &[
    "kind",
    "interpolation",
    "points",
    "entries",
    "ends",
    "min_gap",
];
const GRID: &[&str] = &["input_steps", "output_steps", "rounding"];
const POINTS: &str = "write how many, such as points = { min = 2, max = 8 }";

/// The kinds of curves before their own keys are read.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Points,
    Bezier,
    Power,
    Table,
}

impl Kind {
    const NAMES: [(&'static str, Self); 4] = [
        ("points", Self::Points),
        ("bezier", Self::Bezier),
        ("power", Self::Power),
        ("table", Self::Table),
    ];

    /// Its word and the keys of `[curve]` that belong to it.
    const fn keys(self) -> (&'static str, &'static [&'static str]) {
        match self {
            Self::Points => (
                "points",
                &["kind", "interpolation", "points", "ends", "min_gap"],
            ),
            Self::Bezier => ("bezier", &["kind", "ends"]),
            Self::Power => ("power", &["kind"]),
            Self::Table => ("table", &["kind", "entries", "ends"]),
        }
    }
}

/// A word that may be missing; `None` where it is another word.
fn choice_or<T: Clone>(
    table: &Node<'_, '_>,
    key: &str,
    words: &[(&str, T)],
    missing: T,
) -> Option<T> {
    if table.has(key) {
        table.choice(key, words).map(|found| found.value)
    } else {
        Some(missing)
    }
}

/// A profile from its table.
pub(super) fn profile(table: &Node<'_, '_>) -> Option<Profile> {
    table.only(&["name", "title", "notes", "curve", "grid"]);
    table.needs(&["name", "title", "curve"], OUTLINE);
    let name = name(table);
    let title = title(table);
    let notes = line(table, "notes");
    let curve_table = table.table("curve");
    let kind = curve_table
        .as_ref()
        .and_then(|curve| curve.choice("kind", &Kind::NAMES))
        .map(|kind| kind.value);
    let curve = curve_table.as_ref().and_then(|table| curve(table, kind));
    let grid = table.table("grid").map(|table| grid(&table, kind, curve));
    if let (Some(Some(grid)), Some(curve), Some(table)) = (grid, curve, &curve_table) {
        points_fit(table, curve, grid);
    }
    // What is there but wrong is a fault that is kept; nothing is made of it.
    if table.has("notes") && notes.is_none() || table.has("grid") && grid.flatten().is_none() {
        return None;
    }
    Some(Profile {
        name: name?,
        title: title?,
        notes,
        curve: curve?,
        grid: grid.flatten(),
    })
}

fn name(table: &Node<'_, '_>) -> Option<String> {
    let name = table.text("name")?;
    let allowed = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    if name.value.is_empty() || !name.value.chars().all(allowed) {
        table.fault(
            name.span,
            format!("{}, which is not a name", quoted(&name.value)),
            "small letters, digits and hyphens",
            "write for example name = \"segments-8\"",
        );
        return None;
    }
    Some(name.value)
}

fn title(table: &Node<'_, '_>) -> Option<String> {
    let title = line(table, "title")?;
    if title.trim().is_empty() {
        table.fault(
            table.span_of("title"),
            "the title is empty",
            "",
            "say in a few words what the receiver accepts",
        );
        return None;
    }
    Some(title)
}

/// A text of one line.
fn line(table: &Node<'_, '_>, key: &str) -> Option<String> {
    let text = table.text(key)?;
    if text.value.chars().any(char::is_control) {
        table.fault(
            text.span,
            format!("a line break or another control character in {key}"),
            "one line of plain text",
            "remove it",
        );
        return None;
    }
    Some(text.value)
}

fn curve(table: &Node<'_, '_>, kind: Option<Kind>) -> Option<CurveKind> {
    table.only(CURVE);
    table.needs(&["kind"], "write kind = \"points\", bezier, power or table");
    let kind = kind?;
    let (word, keys) = kind.keys();
    table.only_of_kind(CURVE, keys, word);
    let all = [Ends::Fixed, Ends::FreeOutput, Ends::Free].map(|ends| (ends.as_str(), ends));
    // A table's inputs are given by their number.
    let of_kind = if kind == Kind::Table {
        &all[..2]
    } else {
        &all[..]
    };
    let ends = if keys.contains(&"ends") {
        choice_or(table, "ends", of_kind, Ends::Fixed)
    } else {
        Some(Ends::Fixed)
    };
    match kind {
        Kind::Points => points(table, ends),
        Kind::Bezier => Some(CurveKind::Bezier { ends: ends? }),
        Kind::Power => Some(CurveKind::Power),
        Kind::Table => {
            let remedy = "write how many entries, such as entries = 1024";
            table.needs(&["entries"], remedy);
            let remedy = "write how many, such as entries = 1024";
            let entries = table.whole("entries", (2, MOST_ENTRIES), remedy);
            Some(CurveKind::Table {
                entries: usize::try_from(entries?.value).ok()?,
                ends: ends?,
            })
        }
    }
}

fn points(table: &Node<'_, '_>, ends: Option<Ends>) -> Option<CurveKind> {
    let names = MapInterpolation::THROUGH_POINTS.map(|kind| (kind.as_str(), kind));
    table.needs(
        &["interpolation", "points"],
        format!(
            "write interpolation as {}, and how many points there may be, such as points = {{ min = 2, max = 8 }}",
            names.map(|(name, _)| name).join(", ")
        ),
    );
    let interpolation = table.choice("interpolation", &names);
    let count = table.table("points").and_then(|points| {
        points.only(&["min", "max"]);
        points.needs(&["min", "max"], POINTS);
        let limits = (2, MOST_POINTS);
        let min = points.whole("min", limits, POINTS);
        let max = points.whole("max", limits, POINTS);
        let (min, max) = (min?.value, max?.value);
        if min > max {
            points.fault(
                points.span(),
                format!("min = {min}, max = {max}"),
                "a min that is not above max",
                "exchange them, or write 2 \u{2264} min \u{2264} max \u{2264} 1024",
            );
            return None;
        }
        Some((usize::try_from(min).ok()?, usize::try_from(max).ok()?))
    });
    let min_gap = if table.has("min_gap") {
        let remedy = "write a fraction of the input range";
        table
            .number("min_gap", Rule::Between(0.0, 1.0), remedy)
            .map(|gap| gap.value)
    } else {
        Some(0.0)
    };
    let (min_points, max_points) = count?;
    let min_gap = min_gap?;
    let most = 1.0 / (count_as_f64(max_points) - 1.0);
    // Gaps such as 1/7 are written with rounding.
    if min_gap > most * (1.0 + 1e-9) {
        table.fault(
            table.span_of("min_gap"),
            format!("{max_points} points cannot be {min_gap} apart between inputs 0 and 1"),
            "",
            format!("write at most {most:.4}, or fewer points"),
        );
        return None;
    }
    Some(CurveKind::Points {
        interpolation: interpolation?.value,
        min_points,
        max_points,
        ends: ends?,
        min_gap: min_gap.min(most),
    })
}

/// A grid; `kind` and `curve` are `None` where they are wrong.
fn grid(table: &Node<'_, '_>, kind: Option<Kind>, curve: Option<CurveKind>) -> Option<Grid> {
    const STEPS: &str =
        "write how many steps lead from 0 to 1, such as input_steps = 100 and output_steps = 100";
    if kind == Some(Kind::Power) {
        table.fault(
            table.span(),
            "a grid does not belong to kind power",
            "",
            "remove the table",
        );
        return None;
    }
    table.only(GRID);
    if kind == Some(Kind::Table) {
        table.needs(&["output_steps"], STEPS);
        if table.has("input_steps") {
            table.fault(
                table.span_of("input_steps"),
                "input_steps does not belong to kind table",
                "",
                "remove it: the entries are the input steps",
            );
        }
    } else {
        table.needs(&["input_steps", "output_steps"], STEPS);
    }
    let steps = |key: &str| {
        let steps = table.whole(key, (1, MOST_STEPS), STEPS)?;
        u32::try_from(steps.value).ok()
    };
    let input_steps = match (kind, curve) {
        (Some(Kind::Table), Some(CurveKind::Table { entries, .. })) => {
            Some(u32::try_from(entries).unwrap_or(u32::MAX).saturating_sub(1))
        }
        (Some(Kind::Table), _) => None,
        _ => steps("input_steps"),
    };
    let output_steps = steps("output_steps");
    let words = [Rounding::Nearest, Rounding::Down].map(|rounding| (rounding.as_str(), rounding));
    let rounding = choice_or(table, "rounding", &words, Rounding::Nearest);
    Some(Grid {
        input_steps: input_steps?,
        output_steps: output_steps?,
        rounding: rounding?,
    })
}

/// All points have to fit on the steps of the grid.
fn points_fit(table: &Node<'_, '_>, curve: CurveKind, grid: Grid) {
    let CurveKind::Points {
        max_points,
        min_points,
        min_gap,
        ..
    } = curve
    else {
        return;
    };
    let gap = gap_in_steps(min_gap, grid.input_steps);
    let fits = f64::from(grid.input_steps / gap) + 1.0;
    if count_as_f64(max_points) > fits {
        table.fault(
            table.span_of("points"),
            format!(
                "{max_points} points do not fit on {} input steps with {gap} between neighbours (at least {min_points} are asked for)",
                grid.input_steps
            ),
            "",
            format!("write max = {fits} or less, a finer grid or a smaller min_gap"),
        );
    }
}

/// Whole input steps that neighbouring points must at least be apart.
pub(crate) fn gap_in_steps(min_gap: f64, input_steps: u32) -> u32 {
    // A gap of exactly so many steps must not become one more by rounding.
    let exact = min_gap * f64::from(input_steps) - 1e-9;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a gap is within 0..1 and the steps fit 32 bits"
    )]
    let whole = exact.max(1.0).ceil() as u32;
    whole
}

fn count_as_f64(n: usize) -> f64 {
    u32::try_from(n).map_or(f64::INFINITY, f64::from)
}
