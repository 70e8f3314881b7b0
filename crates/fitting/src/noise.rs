//! How much readings scatter before anything is known of this bench.

use evenhand_measurement::ForceBudget;

/// Standard deviations from which the scatter of a bench is judged, up to one common factor that is
/// estimated from the residuals.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Noise {
    /// Of a reading, fraction of full scale.
    pub(crate) reading: f64,
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

    /// What a careful bench of common parts shows (common practice, no source): readings that
    /// scatter by 0.4 % of full scale, forces placed to 0.4 gf and 0.2 %.
    pub(crate) fn assumed(step: f64) -> Self {
        Self {
            reading: READING,
            rounding: step / 12.0_f64.sqrt(),
            force_gf: FORCE_GF,
            force_part: FORCE_PART,
        }
    }

    /// Standard deviation of a placed force, gf.
    pub(crate) fn placed(&self, force: f64) -> f64 {
        self.force_gf.hypot(self.force_part * force)
    }

    /// Standard deviation of a reading at a force where the response climbs by `slope` per gf.
    pub(crate) fn sigma(&self, force: f64, slope: f64) -> f64 {
        let placed = self.force_gf.powi(2) + (self.force_part * force).powi(2);
        (self.reading.powi(2) + self.rounding.powi(2) + slope.powi(2) * placed).sqrt()
    }
}
