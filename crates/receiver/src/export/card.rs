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
        let units = match profile.grid() {
            Some(grid) => [
                format!("of {}", grid.input_steps),
                format!("of {}", grid.output_steps),
            ],
            None => ["%".to_owned(), "%".to_owned()],
        };
        let [input, output] = units;
        Self {
            heads: [format!("input {input}"), format!("output {output}")],
            rows: points
                .iter()
                .map(|point| shown(point, profile.grid()).into())
                .collect(),
            exponent: exponent.map(|exponent| format!("{exponent:.EXPONENT_PLACES$}")),
        }
    }

    /// Whether these texts, read as numbers, are the points of a map, as near as they are typed.
    #[must_use]
    pub fn tell(
        rows: &[[String; 2]],
        further: Option<&str>,
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
        let exponents = match (further, exponent) {
            (Some(told), Some(exponent)) => near(told, exponent, EXPONENT_ALLOWED),
            (None, None) => true,
            _ => false,
        };
        same && exponents && rows.len() == points.len()
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
fn shown(point: &ControlPoint, grid: Option<Grid>) -> (String, String) {
    match grid {
        Some(grid) => (
            grid.rounding
                .step_of(point.input, grid.input_steps)
                .to_string(),
            grid.rounding
                .step_of(point.output, grid.output_steps)
                .to_string(),
        ),
        None => (
            format!("{:.PLACES$}", 100.0 * point.input),
            format!("{:.PLACES$}", 100.0 * point.output),
        ),
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

/// Reads the numbered lines back.
pub(super) fn differs(
    text: &str,
    profile: &Profile,
    points: &[ControlPoint],
    exponent: Option<f64>,
) -> Option<String> {
    // Titles and notes stand above the heads of the columns.
    let Some((_, text)) = text.split_once("\n  point ") else {
        return Some("no points".to_owned());
    };
    let told: Option<f64> = text
        .lines()
        .find_map(|line| line.trim().strip_prefix("exponent "))
        .and_then(|word| word.trim().parse().ok());
    let same = match (told, exponent) {
        (Some(told), Some(exponent)) => (told - exponent).abs() <= EXPONENT_ALLOWED,
        (None, None) => true,
        _ => false,
    };
    if !same {
        return Some(format!("the exponent {told:?}"));
    }
    let mut read = Vec::new();
    for line in text.lines() {
        let words: Vec<&str> = line.split_whitespace().collect();
        if let [number, x, y] = words[..]
            && number
                .strip_suffix('.')
                .is_some_and(|n| n.parse::<usize>() == Ok(read.len() + 1))
            && let (Ok(x), Ok(y)) = (x.parse::<f64>(), y.parse::<f64>())
        {
            read.push((x, y));
        }
    }
    if read.len() != points.len() {
        return Some(format!("{} points instead of {}", read.len(), points.len()));
    }
    let (scale, allowed) = scale(profile);
    read.iter()
        .zip(points)
        .enumerate()
        .find_map(|(index, ((x, y), point))| {
            let off = (x - point.input * scale.0)
                .abs()
                .max((y - point.output * scale.1).abs());
            (off > allowed).then(|| format!("point {} is ({x}, {y})", index + 1))
        })
}
