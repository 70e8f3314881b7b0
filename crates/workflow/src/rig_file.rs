//! A bench as its owner describes it, from its file.

use std::ops::Range;
use std::path::Path;

use evenhand_bench::{BenchError, Rig};
use evenhand_measurement::ForceBudget;

use crate::failure::Failure;
use crate::input::read_text;

/// Tables and rigs larger than this are none.
pub(crate) const MOST_BYTES: u64 = 4 << 20;

/// A rig, read and checked.
///
/// # Errors
/// A file that cannot be read or is no rig.
pub fn rig(path: &Path) -> Result<Rig, Failure> {
    let name = path.display().to_string();
    let text = read_text(path, MOST_BYTES, "give a rig file such as demo/rig.toml")?;
    Rig::parse(&text).map_err(|error| {
        let span = match &error {
            BenchError::Rig { span, .. } => span.clone(),
            BenchError::Placement { .. } => None,
        };
        placed_failure(
            &name,
            &text,
            span.as_ref(),
            &error.to_string(),
            error.help(),
        )
    })
}

/// The keys of what measurements keep of a bench.
pub const BENCH_KEYS: [&str; 8] = {
    let [gain, offset, scatter_gf, scatter_part] = ForceBudget::KEYS;
    [
        "bench",
        "lever",
        "tilt_deg",
        "force_acts",
        gain,
        offset,
        scatter_gf,
        scatter_part,
    ]
};

/// What measurements keep of a bench: the keys with their figures.
#[must_use]
pub fn bench_remarks(rig: &Rig, budget: &ForceBudget) -> Vec<(&'static str, String)> {
    let [gain, offset, scatter_gf, scatter_part] =
        budget.figures().map(|figure| format!("{figure:.3e}"));
    let values = [
        rig.name.replace(['\n', '\r'], " ").trim().to_owned(),
        rig.in_words(),
        rig.tilt_deg.to_string(),
        "along-stylus".to_owned(),
        gain,
        offset,
        scatter_gf,
        scatter_part,
    ];
    BENCH_KEYS.into_iter().zip(values).collect()
}

/// A failure at a place of a text, or of the whole file.
pub(crate) fn placed_failure(
    file: &str,
    text: &str,
    span: Option<&Range<usize>>,
    message: &str,
    help: &str,
) -> Failure {
    let Some(span) = span else {
        return Failure::bad_input(format!("{file}: {message}"), help).in_file(file);
    };
    let before = text.get(..span.start).unwrap_or(text);
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().map_or(0, |l| l.chars().count()) + 1;
    let mut failure =
        Failure::bad_input(format!("{file}:{line}:{column}: {message}"), help).in_file(file);
    failure.line = Some(line);
    failure.column = Some(column);
    failure.at(Some(text), Some(span.clone()))
}
