//! What measurements keep of a bench.

use evenhand_measurement::ForceBudget;
use evenhand_text::clean;

use crate::rig::Rig;

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
