//! The rules of profiles.

use super::file::{ends_from, point_interpolation_from};
use super::{CurveKind, Ends, Grid, Profile, ProfileCurve, ProfileFile, ProfileFlaw, Rounding};

/// Most steps a grid may have: coordinates of sixteen bits.
const MOST_STEPS: i64 = 65_535;

type Checked<T> = Result<T, ProfileFlaw>;

fn flaw<T>(
    key: &'static [&'static str],
    message: impl Into<String>,
    help: impl Into<String>,
) -> Checked<T> {
    Err(ProfileFlaw::new(key, message.into(), help.into()))
}

impl TryFrom<ProfileFile> for Profile {
    type Error = ProfileFlaw;

    fn try_from(file: ProfileFile) -> Checked<Self> {
        let ProfileFile {
            name,
            title,
            notes,
            curve,
            grid,
        } = file;
        let allowed = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
        if name.is_empty() || !name.chars().all(allowed) {
            return flaw(
                &["name"],
                format!("\u{201c}{name}\u{201d} is not a name"),
                "use small letters, digits and hyphens, such as segments-8",
            );
        }
        if title.trim().is_empty() {
            return flaw(
                &["title"],
                "the title is empty",
                "say in a few words what the receiver accepts",
            );
        }
        for (key, text) in [
            (&["title"][..], Some(&title)),
            (&["notes"][..], notes.as_ref()),
        ] {
            if text.is_some_and(|text| text.chars().any(char::is_control)) {
                let key: &'static [&'static str] = key;
                return flaw(
                    key,
                    "a line break or another control character",
                    "write one line of plain text",
                );
            }
        }
        let kind = kind(&curve)?;
        let grid = grid
            .map(|table| {
                let rounding = match table.rounding.as_deref() {
                    None | Some("nearest") => Rounding::Nearest,
                    Some("down") => Rounding::Down,
                    Some(other) => {
                        return flaw(
                            &["grid", "rounding"],
                            format!("\u{201c}{other}\u{201d} is no rounding"),
                            "write nearest or down",
                        );
                    }
                };
                let input_steps = input_steps(kind, table.input_steps)?;
                let output_steps = steps(&["grid", "output_steps"], table.output_steps)?;
                Ok(Grid {
                    input_steps,
                    output_steps,
                    rounding,
                })
            })
            .transpose()?;
        if let (
            Some(grid),
            CurveKind::Points {
                max_points,
                min_points,
                min_gap,
                ..
            },
        ) = (grid, kind)
        {
            let gap = gap_in_steps(min_gap, grid.input_steps);
            let fits = f64::from(grid.input_steps / gap) + 1.0;
            if count_as_f64(max_points) > fits {
                return flaw(
                    &["curve", "points"],
                    format!(
                        "{max_points} points do not fit on {} input steps with {gap} between neighbours (at least {min_points} are asked for)",
                        grid.input_steps
                    ),
                    format!("write max = {fits} or less, a finer grid or a smaller min_gap"),
                );
            }
        }
        Ok(Self {
            name,
            title,
            notes,
            curve: kind,
            grid,
        })
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

fn steps(key: &'static [&'static str], found: i64) -> Checked<u32> {
    match u32::try_from(found) {
        Ok(n) if (1..=MOST_STEPS).contains(&found) => Ok(n),
        _ => flaw(
            key,
            format!("{found} steps"),
            format!("write a whole number from 1 to {MOST_STEPS}"),
        ),
    }
}

fn input_steps(kind: CurveKind, found: Option<i64>) -> Checked<u32> {
    const KEY: &[&str] = &["grid", "input_steps"];
    match (kind, found) {
        (CurveKind::Power, _) => flaw(
            &["grid"],
            "a grid does not belong to kind power",
            "remove the table",
        ),
        (CurveKind::Table { .. }, Some(_)) => flaw(
            KEY,
            "input_steps does not belong to kind table",
            "remove it: the entries are the input steps",
        ),
        (CurveKind::Table { entries, .. }, None) => {
            Ok(u32::try_from(entries).unwrap_or(u32::MAX).saturating_sub(1))
        }
        (_, Some(found)) => steps(KEY, found),
        (_, None) => flaw(
            KEY,
            "input_steps is missing",
            "write how many steps lead from input 0 to 1, such as input_steps = 100",
        ),
    }
}

/// Keys of `[curve]` beside `kind`, with whether the file has them.
fn present(curve: &ProfileCurve) -> [(&'static [&'static str], &'static str, bool); 5] {
    [
        (
            &["curve", "interpolation"],
            "interpolation",
            curve.interpolation.is_some(),
        ),
        (&["curve", "points"], "points", curve.points.is_some()),
        (&["curve", "entries"], "entries", curve.entries.is_some()),
        (&["curve", "ends"], "ends", curve.ends.is_some()),
        (&["curve", "min_gap"], "min_gap", curve.min_gap.is_some()),
    ]
}

fn kind(curve: &ProfileCurve) -> Checked<CurveKind> {
    let belong: &[&str] = match curve.kind.as_str() {
        "points" => &["interpolation", "points", "ends", "min_gap"],
        "table" => &["entries", "ends"],
        "bezier" => &["ends"],
        "power" => &[],
        other => {
            let near =
                super::nearest_name::nearest_name(other, &["points", "bezier", "power", "table"])
                    .unwrap_or("points");
            return flaw(
                &["curve", "kind"],
                format!("\u{201c}{other}\u{201d} is no kind of curve"),
                format!("write points, bezier, power or table (nearest: {near})"),
            );
        }
    };
    for (key, word, is_present) in present(curve) {
        if is_present && !belong.contains(&word) {
            return flaw(
                key,
                format!("{word} does not belong to kind {}", curve.kind),
                "remove it or choose the kind it belongs to",
            );
        }
    }
    let ends = match curve.ends.as_deref() {
        None => Ends::Fixed,
        Some(word) => match ends_from(word) {
            Some(ends) => ends,
            None => {
                return flaw(
                    &["curve", "ends"],
                    format!("\u{201c}{word}\u{201d} is not a rule for ends"),
                    "write fixed, free-output or free",
                );
            }
        },
    };
    match curve.kind.as_str() {
        "points" => points(curve, ends),
        "table" => table(curve, ends),
        "bezier" => Ok(CurveKind::Bezier { ends }),
        _ => Ok(CurveKind::Power),
    }
}

fn points(curve: &ProfileCurve, ends: Ends) -> Checked<CurveKind> {
    let Some(word) = curve.interpolation.as_deref() else {
        return flaw(
            &["curve", "interpolation"],
            "interpolation is missing",
            "write linear, monotone-cubic, catmull-rom or natural-cubic",
        );
    };
    let Some(interpolation) = point_interpolation_from(word) else {
        return flaw(
            &["curve", "interpolation"],
            format!("\u{201c}{word}\u{201d} is no interpolation through points"),
            "write linear, monotone-cubic, catmull-rom or natural-cubic",
        );
    };
    let Some(count) = &curve.points else {
        return flaw(
            &["curve", "points"],
            "points is missing",
            "write how many, such as points = { min = 2, max = 8 }",
        );
    };
    let (min, max) = (usize::try_from(count.min), usize::try_from(count.max));
    let (Ok(min_points), Ok(max_points)) = (min, max) else {
        return flaw(
            &["curve", "points"],
            "a negative number of points",
            "write 2 \u{2264} min \u{2264} max \u{2264} 1024",
        );
    };
    if !(2 <= min_points && min_points <= max_points && max_points <= 1024) {
        return flaw(
            &["curve", "points"],
            format!("min = {min_points}, max = {max_points}"),
            "write 2 \u{2264} min \u{2264} max \u{2264} 1024",
        );
    }
    let min_gap = curve.min_gap.unwrap_or(0.0);
    if !(0.0..=1.0).contains(&min_gap) {
        return flaw(
            &["curve", "min_gap"],
            format!("a gap of {min_gap}"),
            "write a fraction of the input range, 0 to 1",
        );
    }
    let most = 1.0 / (count_as_f64(max_points) - 1.0);
    // Gaps such as 1/7 are written with rounding.
    if min_gap > most * (1.0 + 1e-9) {
        return flaw(
            &["curve", "min_gap"],
            format!("{max_points} points cannot be {min_gap} apart between inputs 0 and 1"),
            format!("write at most {most:.4}, or fewer points"),
        );
    }
    Ok(CurveKind::Points {
        interpolation,
        min_points,
        max_points,
        ends,
        min_gap: min_gap.min(most),
    })
}

fn table(curve: &ProfileCurve, ends: Ends) -> Checked<CurveKind> {
    let entries = match curve.entries {
        Some(found) => match usize::try_from(found) {
            Ok(n) if (2..=65_536).contains(&n) => n,
            _ => {
                return flaw(
                    &["curve", "entries"],
                    format!("{found} entries"),
                    "write a whole number from 2 to 65536",
                );
            }
        },
        None => {
            return flaw(
                &["curve", "entries"],
                "entries is missing",
                "write how many, such as entries = 1024",
            );
        }
    };
    if ends == Ends::Free {
        return flaw(
            &["curve", "ends"],
            "the inputs of a table cannot be free",
            "write fixed or free-output",
        );
    }
    Ok(CurveKind::Table { entries, ends })
}
