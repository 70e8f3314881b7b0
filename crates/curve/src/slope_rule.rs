//! Slopes at knots that keep a cubic from turning back between them.

use crate::ordered::Ordered;

/// A published rule for the slopes of a monotone cubic.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SlopeRule {
    /// Weighted harmonic mean of the neighbouring secants (F. N. Fritsch and J. Butland, SIAM J. Sci.
    /// Stat. Comput. 5, 1984), with the one-sided three-point rule limited in shape at the ends; what
    /// is widely called PCHIP.
    FritschButland,
    /// Mean of the neighbouring secants, drawn into the circle of radius 3 where they leave it (F. N.
    /// Fritsch and R. E. Carlson, SIAM J. Numer. Anal. 17, 1980); the ends take the outer secants.
    FritschCarlson,
    /// The parabola's slope limited to twice the smaller secant (M. Steffen, Astron. Astrophys. 239,
    /// 1990); the ends take the outer secants.
    Steffen,
}

impl SlopeRule {
    /// One slope for each point; `secants` has one for each step.
    pub(crate) fn slopes(self, points: &Ordered, secants: &[f64]) -> Vec<f64> {
        let widths: Vec<f64> = points.steps().map(|(a, b)| b.x - a.x).collect();
        if secants.len() == 1 {
            return vec![secants[0]; 2];
        }
        match self {
            Self::FritschButland => fritsch_butland(&widths, secants),
            Self::FritschCarlson => fritsch_carlson(secants),
            Self::Steffen => steffen(&widths, secants),
        }
    }
}

fn with_inner(first: f64, last: f64, secants: &[f64], inner: impl Fn(usize) -> f64) -> Vec<f64> {
    let mut slopes = vec![first];
    // Inner knot k lies between steps k and k + 1.
    slopes.extend((0..secants.len() - 1).map(inner));
    slopes.push(last);
    slopes
}

fn fritsch_butland(widths: &[f64], secants: &[f64]) -> Vec<f64> {
    let last = secants.len() - 1;
    let first = three_point_end(widths[0], widths[1], secants[0], secants[1]);
    let end = three_point_end(
        widths[last],
        widths[last - 1],
        secants[last],
        secants[last - 1],
    );
    with_inner(first, end, secants, |k| {
        let (before, after) = (secants[k], secants[k + 1]);
        if before * after <= 0.0 {
            return 0.0;
        }
        let (w1, w2) = (
            2.0 * widths[k + 1] + widths[k],
            widths[k + 1] + 2.0 * widths[k],
        );
        (w1 + w2) / (w1 / before + w2 / after)
    })
}

/// The end slope of the parabola through three points, kept to the sign of the outer secant and, where
/// the secants turn, to three times its size.
fn three_point_end(near: f64, far: f64, secant: f64, next: f64) -> f64 {
    let slope = ((2.0 * near + far) * secant - near * next) / (near + far);
    if slope * secant <= 0.0 {
        0.0
    } else if secant * next <= 0.0 && slope.abs() > 3.0 * secant.abs() {
        3.0 * secant
    } else {
        slope
    }
}

fn fritsch_carlson(secants: &[f64]) -> Vec<f64> {
    let last = secants.len() - 1;
    let mut slopes = with_inner(secants[0], secants[last], secants, |k| {
        if secants[k] * secants[k + 1] < 0.0 {
            0.0
        } else {
            0.5 * (secants[k] + secants[k + 1])
        }
    });
    // Limiting a step may push the one before it out of the region: repeat until all are inside. A
    // limited step stays so, so there are at most as many passes as steps.
    for _ in secants {
        if !limit(&mut slopes, secants) {
            break;
        }
    }
    slopes
}

/// One pass of the limiter; whether it changed anything.
fn limit(slopes: &mut [f64], secants: &[f64]) -> bool {
    // A slope already scaled may lie outside by rounding.
    const ROUNDING: f64 = 1e-14;
    let mut changed = false;
    for (k, secant) in secants.iter().enumerate() {
        if *secant == 0.0 {
            changed |= slopes[k] != 0.0 || slopes[k + 1] != 0.0;
            slopes[k] = 0.0;
            slopes[k + 1] = 0.0;
            continue;
        }
        let (alpha, beta) = (slopes[k] / secant, slopes[k + 1] / secant);
        // Outside the region of monotonicity only: φ(α, β) < 0 in the paper's words.
        let (left, right) = (2.0 * alpha + beta - 3.0, alpha + 2.0 * beta - 3.0);
        let outside = alpha * (left + right) < left * left * (1.0 - ROUNDING);
        if left > 0.0 && right > 0.0 && outside {
            let scale = 3.0 / alpha.hypot(beta);
            slopes[k] = scale * alpha * secant;
            slopes[k + 1] = scale * beta * secant;
            changed = true;
        }
    }
    changed
}

fn steffen(widths: &[f64], secants: &[f64]) -> Vec<f64> {
    let last = secants.len() - 1;
    with_inner(secants[0], secants[last], secants, |k| {
        let (before, after) = (secants[k], secants[k + 1]);
        if before * after <= 0.0 {
            return 0.0;
        }
        let parabola = (before * widths[k + 1] + after * widths[k]) / (widths[k] + widths[k + 1]);
        let size = (2.0 * before.abs())
            .min(2.0 * after.abs())
            .min(parabola.abs());
        size.copysign(before)
    })
}
