//! What measurements keep of a bench.

use evenhand_measurement::{Bench, ForceBudget};
use evenhand_text::clean;

use crate::rig::Rig;

/// The keys of what measurements keep of a bench.
pub const BENCH_KEYS: [&str; 9] = {
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
        Bench::SEATING_GAIN_U.0,
    ]
};

/// What measurements keep of a bench: the keys with their figures.
#[must_use]
pub fn bench_remarks(rig: &Rig, budget: &ForceBudget) -> Vec<(&'static str, String)> {
    let [gain, offset, scatter_gf, scatter_part] =
        budget.figures().map(|figure| format!("{figure:.3e}"));
    let values = [
        Some(clean(rig.name.replace(['\n', '\r'], " ").trim())),
        Some(rig.in_words()),
        Some(rig.tilt_deg.to_string()),
        Some("along-stylus".to_owned()),
        Some(gain),
        Some(offset),
        Some(scatter_gf),
        Some(scatter_part),
        rig.seating_gain_u.map(|spread| spread.to_string()),
    ];
    let figures = BENCH_KEYS.into_iter().zip(values);
    figures
        .filter_map(|(key, value)| Some((key, value?)))
        .collect()
}
