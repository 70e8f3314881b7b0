//! How much readings scatter before anything is known of this bench.

use evenhand_measurement::ForceBudget;

/// Standard deviations that are known or assumed before the residuals are seen.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Noise {
    /// Of a reading, from rounding to whole steps: step/√12 (JCGM 100, F.2.2.1).
    pub(crate) rounding: f64,
    /// Of a placed force, gf.
    pub(crate) force_gf: f64,
    /// Of a placed force, part of it.
    pub(crate) force_part: f64,
}

/// Scatter of a reading on a quiet bench, fraction of full scale (common practice, no source).
pub(crate) const READING: f64 = 0.004;

/// Scatter of a placed force: 0.4 gf and 0.2 % of it (common practice, no source).
const FORCE_GF: f64 = 0.4;
const FORCE_PART: f64 = 0.002;

impl Noise {
    /// What the bench's budget says of its forces, or else what a careful bench shows.
    pub(crate) fn of(budget: Option<&ForceBudget>, step: f64) -> Self {
        let assumed = Self::assumed(step);
        budget.map_or(assumed, |budget| Self {
            force_gf: budget.scatter_gf,
            force_part: budget.scatter_part,
            ..assumed
        })
    }

    /// What a careful bench of common parts shows (common practice, no source): forces placed to 0.4 gf and 0.2 %.
    pub(crate) fn assumed(step: f64) -> Self {
        Self {
            rounding: step / 12.0_f64.sqrt(),
            force_gf: FORCE_GF,
            force_part: FORCE_PART,
        }
    }

    /// Standard deviation of a placed force, gf.
    pub(crate) fn placed(&self, force: f64) -> f64 {
        self.force_gf.hypot(self.force_part * force)
    }
}
