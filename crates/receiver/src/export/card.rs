//! A page to type the points from, read at arm's length.

use std::fmt::Write as _;

use evenhand_text::clean;

use crate::control_point::ControlPoint;
use crate::profile::{Grid, Profile};

/// Width of the page in characters.
const WIDTH: usize = 44;
/// Decimals of percent where there is no grid: finer than anyone types.
const PLACES: usize = 2;
const EXPONENT_PLACES: usize = 4;
const EXPONENT_ALLOWED: f64 = 0.51e-4;

/// What a card shows of a map: its heads, both numbers of every point as they are typed, the exponent
/// of a power.
#[derive(Clone, Debug, PartialEq)]
pub struct TypedPoints {
    /// Heads of the columns.
    pub heads: [String; 2],
    /// Input and output of every point.
    pub rows: Vec<[String; 2]>,
    /// The exponent of a power.
    pub exponent: Option<String>,
}

impl TypedPoints {
    /// The points of a map as they are typed into its receiver: whole steps on a grid, percent otherwise.
    #[must_use]
    pub fn new(profile: &Profile, points: &[ControlPoint], exponent: Option<f64>) -> Self {
        let heads = match profile.grid() {
            Some(grid) => [
                format!("input of {}", grid.input_steps),
                format!("output of {}", grid.output_steps),
            ],
            None => ["input %".to_owned(), "output %".to_owned()],
        };
        Self {
            heads,
            rows: points
                .iter()
                .map(|point| typed(point, profile.grid()))
                .collect(),
            exponent: exponent.map(|exponent| format!("{exponent:.EXPONENT_PLACES$}")),
        }
    }

    /// Whether these texts, read as numbers, are the points of a map, as near as they are typed.
    #[must_use]
    pub fn matches(
        rows: &[[String; 2]],
        exponent_text: Option<&str>,
        profile: &Profile,
        points: &[ControlPoint],
        exponent: Option<f64>,
    ) -> bool {
        let (scale, allowed) = scale(profile);
        let near = |text: &str, value: f64, allowed: f64| {
            let number = text.parse::<f64>();
            number.is_ok_and(|number| (number - value).abs() <= allowed)
        };
        let same = rows.iter().zip(points).all(|([x, y], point)| {
            near(x, point.input * scale.0, allowed) && near(y, point.output * scale.1, allowed)
        });
        let same_exponent = match (exponent_text, exponent) {
            (Some(text), Some(exponent)) => near(text, exponent, EXPONENT_ALLOWED),
            (None, None) => true,
            _ => false,
        };
        same && same_exponent && rows.len() == points.len()
    }
}

pub(super) fn write(profile: &Profile, points: &[ControlPoint], exponent: Option<f64>) -> String {
    let rule = "=".repeat(WIDTH);
    let mut text = format!(
        "{rule}\n  {}\n  {}\n",
        profile.name(),
        clean(profile.title())
    );
    if let Some(notes) = profile.notes() {
        let _ = writeln!(text, "  {}", clean(notes));
    }
    let typed = TypedPoints::new(profile, points, exponent);
    let [input, output] = &typed.heads;
    let _ = write!(text, "{rule}\n\n  point {input:>14} {output:>18}\n");
    for (index, [x, y]) in typed.rows.iter().enumerate() {
        let _ = write!(text, "\n  {:>3}. {x:>15} {y:>18}\n", index + 1);
    }
    if let Some(exponent) = typed.exponent {
        let _ = write!(text, "\n  exponent {exponent:>12}\n");
    }
    let _ = write!(
        text,
        "\n{rule}\n\
         Afterwards: press from light to firm in one\n\
         slow stroke. It should leave nothing at\n\
         light-at and be full at full-at, without\n\
         jumps.\n\n\
         A map changes what is drawn, not what the\n\
         hand presses. With pain or numbness rest,\n\
         and ask a clinician.\n"
    );
    text
}

/// Both coordinates as they are typed.
fn typed(point: &ControlPoint, grid: Option<Grid>) -> [String; 2] {
    match grid {
        Some(grid) => [
            (point.input, grid.input_steps),
            (point.output, grid.output_steps),
        ]
        .map(|(coordinate, steps)| grid.rounding.step_of(coordinate, steps).to_string()),
        None => {
            [point.input, point.output].map(|coordinate| format!("{:.PLACES$}", 100.0 * coordinate))
        }
    }
}

/// What full input and output are typed as, and how far what is typed may be off.
fn scale(profile: &Profile) -> ((f64, f64), f64) {
    match profile.grid() {
        Some(grid) => (
            (f64::from(grid.input_steps), f64::from(grid.output_steps)),
            1e-6,
        ),
        None => ((100.0, 100.0), 0.5 * 0.1_f64.powi(2) + 1e-9),
    }
}

/// Compares the numbered lines and the exponent with the map.
pub(super) fn check(
    text: &str,
    profile: &Profile,
    points: &[ControlPoint],
    exponent: Option<f64>,
) -> Result<(), String> {
    // Titles and notes stand above the heads of the columns.
    let (_, text) = text.split_once("\n  point ").ok_or("no points")?;
    let exponent_text = text
        .lines()
        .find_map(|line| line.trim().strip_prefix("exponent "))
        .map(str::trim);
    let mut rows: Vec<[String; 2]> = Vec::new();
    for line in text.lines() {
        if let [number, x, y] = line.split_whitespace().collect::<Vec<_>>()[..]
            && number == format!("{}.", rows.len() + 1)
        {
            rows.push([x.to_owned(), y.to_owned()]);
        }
    }
    if TypedPoints::matches(&rows, exponent_text, profile, points, exponent) {
        Ok(())
    } else {
        Err(format!("{} points, exponent {exponent_text:?}", rows.len()))
    }
}
