//! What is said where work with weights can hurt.

use evenhand_text::gf;

use crate::plan::Step;

/// Before the first weight.
pub const BEFORE_WEIGHTS: &str = "before the first weight: loose weights fall, so guard the lever and your feet; do not load past the maker's limit for nib or glass";
/// From this part of the limit on a force is near to it.
const NEAR: f64 = 0.8;
/// From here on, in gf, only the maker's word counts.
const KILOGRAM_FORCE: f64 = 1000.0;

/// Where a force nears the limit, or lies beyond 1 kgf.
#[must_use]
pub fn load_caution(force_gf: f64, limit_gf: f64) -> Option<String> {
    let stop = "stop if anything bends, creaks or slips";
    let is_near = force_gf >= NEAR * limit_gf;
    match (is_near, beyond_kilogram(force_gf)) {
        (true, None) => Some(format!(
            "this is near the limit of {}: {stop}",
            gf(limit_gf)
        )),
        (true, Some(beyond)) => Some(format!(
            "this is near the limit of {} and {beyond}; {stop}",
            gf(limit_gf)
        )),
        (false, Some(beyond)) => Some(format!("this is {beyond}; {stop}")),
        (false, None) => None,
    }
}

/// What to mind before a step: a large force, and a leap to it.
#[must_use]
pub fn step_caution(step: &Step, limit_gf: f64) -> Option<String> {
    let Step::Place {
        force_gf,
        large_step_from_gf,
        ..
    } = step
    else {
        return None;
    };
    let leap = large_step_from_gf.map(|from_gf| {
        format!(
            "this is a leap from {}, as the masses at hand make nothing between: a lighter mass, or one on a shorter arm, is gentler on a stylus whose range is unknown",
            gf(from_gf)
        )
    });
    let both: Vec<String> = leap
        .into_iter()
        .chain(load_caution(*force_gf, limit_gf))
        .collect();
    (!both.is_empty()).then(|| both.join("; "))
}

/// Where a force lies beyond 1 kgf.
#[must_use]
pub fn beyond_kilogram(force_gf: f64) -> Option<&'static str> {
    (force_gf > KILOGRAM_FORCE)
        .then_some("beyond 1 kgf (9.8 N): only where the makers of stylus and tablet allow it")
}

/// Where the limit itself lies beyond what is usual.
#[must_use]
pub fn large_limit(limit_gf: f64) -> Option<&'static str> {
    (limit_gf > KILOGRAM_FORCE).then_some(
        "the limit is beyond 1 kgf (9.8 N): go there only where the maker of the stylus and of the tablet allows it",
    )
}
