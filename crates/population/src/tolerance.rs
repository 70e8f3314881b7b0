//! Tolerance limits: what part of a model's units lies within limits that few units tell.

use statrs::distribution::{ChiSquared, Continuous as _, ContinuousCDF as _, Normal};

use crate::integral::{places, root};

/// Integrals stop where normal densities have died.
const FAR: f64 = 9.0;
const PIECES: u32 = 12;

fn normal() -> Option<Normal> {
    Normal::new(0.0, 1.0).ok()
}

/// Factor k such that mean + k·s of `units` normal values lies above a part `part` of all units with
/// probability `confidence`: P(Z/√n + k·s/σ ≥ z) = confidence, the noncentral t quantile over √n. NaN of
/// fewer than two units or parts outside 0..1.
#[must_use]
pub fn one_sided_factor(units: u32, part: f64, confidence: f64) -> f64 {
    let (Some(normal), Some(spread)) = (normal(), Spread::of(units)) else {
        return f64::NAN;
    };
    if !inside(part) || !inside(confidence) {
        return f64::NAN;
    }
    let root_n = f64::from(units).sqrt();
    let z = normal.inverse_cdf(part);
    // Where the mean alone reaches the limit: the integrand bends there.
    let bend = (root_n * z).clamp(-FAR, FAR);
    let mut grid = places(-FAR, bend, PIECES);
    grid.extend(places(bend, FAR, PIECES));
    let weighed: Vec<(f64, f64)> = grid
        .into_iter()
        .map(|(x, weight)| (z - x / root_n, weight * normal.pdf(x)))
        .collect();
    let missing = |k: f64| {
        let held: f64 = weighed
            .iter()
            .map(|(needed, weight)| {
                let above = spread.above((needed / k).max(0.0));
                weight * if k >= 0.0 { above } else { 1.0 - above }
            })
            .sum();
        held - confidence
    };
    root(-400.0, 400.0, missing)
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

/// Least number of units whose largest value lies above a part `part` of all units with probability
/// `confidence`, whatever their distribution: 1 − partⁿ ≥ confidence.
#[must_use]
pub fn units_for_maximum(part: f64, confidence: f64) -> Option<u32> {
    (1..=1_000_000)
        .find(|&n| 1.0 - part.powi(n) >= confidence)
        .and_then(|n| u32::try_from(n).ok())
}

/// Least number of units whose extremes hold a part `part` of all units with probability `confidence`
/// (S. S. Wilks, Ann. Math. Statist. 12, 1941, 91–96): 1 − n partⁿ⁻¹ + (n − 1) partⁿ ≥ confidence.
#[must_use]
pub fn units_for_extremes(part: f64, confidence: f64) -> Option<u32> {
    let held = |n: i32| {
        let count = f64::from(n);
        1.0 - count * part.powi(n - 1) + (count - 1.0) * part.powi(n)
    };
    (2..=1_000_000)
        .find(|&n| held(n) >= confidence)
        .and_then(|n| u32::try_from(n).ok())
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
