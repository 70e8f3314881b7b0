//! How probable it is that a unit of a model goes on responding up to a force.

use statrs::distribution::{ContinuousCDF as _, Normal};

use crate::measured::ForceEstimate;
use crate::sample::Sample;
use crate::share::share_interval;
use crate::spread::floored_sd;
use crate::tolerance::part_above;

/// What a probability rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// Saturation forces of the model taken as normal.
    Normal,
    /// Units counted, whatever the distribution.
    Counts,
}

impl Basis {
    /// The word.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Normal => "normal",
            Self::Counts => "counts",
        }
    }
}

/// Probability that a unit's saturation force is at least this force.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShareAbove {
    /// The force, gf.
    pub force_gf: f64,
    /// Estimate, 0..1.
    pub estimate: f64,
    /// Lower end of its interval.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// What it rests on.
    pub basis: Basis,
}

/// Of the saturation forces of a group's units; `None` of fewer than two, for one unit says nothing of its
/// model. Normal (G. J. Hahn and W. Q. Meeker, *Statistical Intervals*, 1991, section 4.5, from memory: the
/// inversion of tolerance factors) where every unit saturated and they differ; else by counting, with the
/// interval of Clopper and Pearson over the units whose side is known.
#[must_use]
pub fn share_above(
    saturations: &[&ForceEstimate],
    force_gf: f64,
    confidence: f64,
) -> Option<ShareAbove> {
    if saturations.len() < 2 {
        return None;
    }
    let known: Vec<f64> = saturations.iter().filter_map(|f| f.value()).collect();
    let sample = Sample::of(&known);
    let deviation = floored_sd(saturations);
    let tail = (1.0 - confidence) / 2.0;
    if known.len() == saturations.len() && deviation > 0.0 {
        let k = (sample.mean - force_gf) / deviation;
        let count = u32::try_from(known.len()).unwrap_or(u32::MAX);
        let estimate = Normal::standard().cdf(k);
        return Some(ShareAbove {
            force_gf,
            estimate,
            low: part_above(count, k, 1.0 - tail).min(estimate),
            high: part_above(count, k, tail).max(estimate),
            basis: Basis::Normal,
        });
    }
    let sides: Vec<bool> = saturations
        .iter()
        .filter(|f| !f.is_least || f.estimate >= force_gf)
        .map(|f| f.estimate >= force_gf)
        .collect();
    if sides.len() < 2 {
        return None;
    }
    let n = sides.len() as f64;
    let part = sides.iter().filter(|side| **side).count() as f64 / n;
    let share = share_interval(part, n, confidence);
    Some(ShareAbove {
        force_gf,
        estimate: part,
        low: share.low,
        high: share.high,
        basis: Basis::Counts,
    })
}
