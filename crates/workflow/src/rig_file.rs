//! A bench as its owner describes it, from its file.

use std::path::Path;

use evenhand_bench::Rig;
use evenhand_measurement::ForceBudget;
use evenhand_text::{clean, read_utf8};

use crate::failure::Failure;

/// Tables and rigs larger than this are none.
pub(crate) const MOST_BYTES: u64 = 4 << 20;

/// A rig, read and checked.
///
/// # Errors
/// A file that cannot be read, and everything that is wrong with a rig.
pub fn rig(path: &Path) -> Result<Rig, Failure> {
    let text = read_utf8(path, "a rig", MOST_BYTES)?;
    Ok(Rig::parse(&text, &path.display().to_string())?)
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
        clean(rig.name.replace(['\n', '\r'], " ").trim()),
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
