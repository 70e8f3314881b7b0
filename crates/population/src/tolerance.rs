//! Tolerance limits: what part of a model's units lies within limits that few units tell.

use statrs::distribution::{ChiSquared, Continuous as _, ContinuousCDF as _, Normal};

use crate::integral::{places, root};

/// Integrals stop where normal densities have died.
const FAR: f64 = 9.0;
const PIECES: u32 = 12;
/// Beyond this normal quantile parts are none or all.
const FAR_QUANTILE: f64 = 12.0;

fn normal() -> Option<Normal> {
    Normal::new(0.0, 1.0).ok()
}

/// Part of all normal values that lies above a limit with probability `confidence`, where the mean of `units`
/// of them lies `k` of their standard deviations above it: P(Z/√n + k·s/σ ≥ z) = confidence at its quantile z,
/// so that k is the one-sided tolerance factor, the noncentral t quantile over √n. With a small confidence it
/// is an upper bound. NaN of fewer than two units.
#[must_use]
pub fn part_above(units: u32, k: f64, confidence: f64) -> f64 {
    let (Some(normal), Some(spread)) = (normal(), Spread::of(units)) else {
        return f64::NAN;
    };
    if !inside(confidence) || k.is_nan() {
        return f64::NAN;
    }
    // More is held the lower the wanted quantile lies.
    let missing = |z: f64| confidence - held(&weighed(units, z, &normal), &spread, k);
    normal.cdf(root(-FAR_QUANTILE, FAR_QUANTILE, missing))
}

/// Places of a standard normal mean and what they need of s/σ times k, with their weights.
fn weighed(units: u32, z: f64, normal: &Normal) -> Vec<(f64, f64)> {
    let root_n = f64::from(units).sqrt();
    // Where the mean alone reaches the limit: the integrand bends there.
    let bend = (root_n * z).clamp(-FAR, FAR);
    let mut grid = places(-FAR, bend, PIECES);
    grid.extend(places(bend, FAR, PIECES));
    grid.into_iter()
        .map(|(x, weight)| (z - x / root_n, weight * normal.pdf(x)))
        .collect()
}

/// P(Z/√n + k·s/σ ≥ z) on places made for n and z.
fn held(weighed: &[(f64, f64)], spread: &Spread, k: f64) -> f64 {
    weighed
        .iter()
        .map(|(needed, weight)| {
            let above = spread.above((needed / k).max(0.0));
            weight * if k >= 0.0 { above } else { 1.0 - above }
        })
        .sum()
}

/// Factor k such that mean ± k·s of `units` normal values holds a part `part` of all units with
/// probability `confidence` (the definition of ISO 16269-6 and of Odeh and Owen's tables, not an
/// approximation). NaN of fewer than two units or parts outside 0..1.
#[must_use]
pub fn two_sided_factor(units: u32, part: f64, confidence: f64) -> f64 {
    let (Some(normal), Some(spread)) = (normal(), Spread::of(units)) else {
        return f64::NAN;
    };
    if !inside(part) || !inside(confidence) {
        return f64::NAN;
    }
    let root_n = f64::from(units).sqrt();
    // Half widths that hold the part around a mean that is off by z/√n, on the integral's own places.
    let half = |z: f64| {
        let off = z / root_n;
        root(0.0, off.abs() + 12.0, |r| {
            normal.cdf(off + r) - normal.cdf(off - r) - part
        })
    };
    let weighed: Vec<(f64, f64)> = places(0.0, FAR, PIECES)
        .into_iter()
        .map(|(z, weight)| (half(z), 2.0 * weight * normal.pdf(z)))
        .collect();
    let missing = |k: f64| {
        let held: f64 = weighed
            .iter()
            .map(|(half, weight)| weight * spread.above(half / k))
            .sum();
        held - confidence
    };
    root(1e-3, 400.0, missing)
}

/// Part of all units that the extremes of `units` hold with probability `confidence`, whatever their
/// distribution: the solution of 1 − n partⁿ⁻¹ + (n − 1) partⁿ = confidence (S. S. Wilks, Ann. Math.
/// Statist. 12, 1941, 91–96). 0 of fewer than two.
#[must_use]
pub fn part_within_extremes(units: u32, confidence: f64) -> f64 {
    if units < 2 || !inside(confidence) {
        return 0.0;
    }
    let n = f64::from(units);
    root(0.0, 1.0, |part| {
        n * part.powf(n - 1.0) - (n - 1.0) * part.powf(n) - (1.0 - confidence)
    })
}

fn inside(part: f64) -> bool {
    part > 0.0 && part < 1.0
}

/// The distribution of s/σ of so many normal values.
struct Spread {
    freedom: f64,
    squares: ChiSquared,
}

impl Spread {
    fn of(units: u32) -> Option<Self> {
        let freedom = f64::from(units.checked_sub(1).filter(|freedom| *freedom > 0)?);
        Some(Self {
            freedom,
            squares: ChiSquared::new(freedom).ok()?,
        })
    }

    /// P(s/σ ≥ x).
    fn above(&self, x: f64) -> f64 {
        self.squares.sf(self.freedom * x * x)
    }
}
