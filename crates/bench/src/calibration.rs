//! A lever that was calibrated against a scale.

use statrs::distribution::{ChiSquared, ContinuousCDF as _};

use crate::york::{Line, WeighedPoint, york_line};

/// What a scale under the lever's nib showed for masses on the pan: arms and beam need not be known then.
#[derive(Clone, Debug)]
pub(crate) struct Pairs {
    /// On the pan, and on the scale, g.
    pub(crate) pairs_g: Vec<[f64; 2]>,
    /// Standard uncertainty of what was on the pan, g, above 0.
    pub(crate) placed_u_g: f64,
    /// Standard uncertainty of what the scale showed, g, above 0.
    pub(crate) scale_u_g: f64,
    /// Limits of the scale's gain, fraction of what it shows, common to all pairs.
    pub(crate) scale_within_part: f64,
}

/// Grams at the nib for grams on the pan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Calibration {
    /// York's line with its standard uncertainties; those are widened by Birge's ratio where the pairs scatter more
    /// than they should.
    pub line: Line,
    /// Degrees of freedom, 1 or more: pairs less two.
    pub freedom: f64,
    /// Root of the weighed squares over the degrees of freedom (R. T. Birge, Phys. Rev. 40, 1932, 207; memory):
    /// about 1 where the stated uncertainties are right.
    pub birge: f64,
    /// Standard deviation, g at the nib, that the pairs show beyond what is stated; the lever itself then is
    /// that far off each time.
    pub excess_g: f64,
    /// Probability that pairs with the stated uncertainties scatter so much.
    pub chance: f64,
    /// Limits of the scale's gain, fraction of what it shows, common to all pairs.
    pub scale_within_part: f64,
}

impl Calibration {
    /// Degrees of freedom of its uncertainties: those of the pairs where their scatter widens them, infinite where they
    /// are as stated.
    pub(crate) fn uncertainty_freedom(&self) -> f64 {
        if self.birge > 1.0 {
            self.freedom
        } else {
            f64::INFINITY
        }
    }

    /// Of pairs at a lever whose friction holds back up to `friction_within_gf`, which counts among what the scale
    /// may be off by. `None` where they have no line (see [`york_line`]).
    pub(crate) fn of(pairs: &Pairs, friction_within_gf: f64) -> Option<Self> {
        let friction = friction_within_gf / 3.0_f64.sqrt();
        let scale_variance = pairs.scale_u_g.powi(2) + friction.powi(2);
        let placed_variance = pairs.placed_u_g.powi(2);
        let points: Vec<WeighedPoint> = pairs
            .pairs_g
            .iter()
            .map(|[x, y]| WeighedPoint {
                x: *x,
                y: *y,
                weight_x: placed_variance.recip(),
                weight_y: scale_variance.recip(),
            })
            .collect();
        let line = york_line(&points)?;
        let freedom = points.len() as f64 - 2.0;
        let birge = (line.squares / freedom).sqrt();
        let wider = birge.max(1.0);
        let variance = scale_variance + line.slope.powi(2) * placed_variance;
        Some(Self {
            line: Line {
                slope_error: wider * line.slope_error,
                intercept_error: wider * line.intercept_error,
                ..line
            },
            freedom,
            birge,
            excess_g: ((wider.powi(2) - 1.0) * variance).sqrt(),
            chance: ChiSquared::new(freedom).ok()?.sf(line.squares),
            scale_within_part: pairs.scale_within_part,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Masses that are exact, deviations of 0.3 g where 0.1 g was stated: least squares with the residuals' own deviation
    /// s = √(Σe²/2) has u(slope) = s/√Sxx and u(intercept) = s·√(1/n + x̄²/Sxx) (any textbook).
    #[test]
    fn pairs_that_scatter_widen_slope_and_intercept_alike() {
        let off = [0.3, -0.3, -0.3, 0.3];
        let pairs = Pairs {
            pairs_g: std::array::from_fn::<_, 4, _>(|i| {
                let mass = 1.0 + i as f64;
                [mass, 2.0 * mass + off[i]]
            })
            .to_vec(),
            placed_u_g: 1e-9,
            scale_u_g: 0.1,
            scale_within_part: 0.0,
        };
        let found = Calibration::of(&pairs, 0.0).expect("a line");
        let s = (4.0 * 0.09_f64 / 2.0).sqrt();
        let near = |found: f64, expected: f64| (found / expected - 1.0).abs() < 1e-9;
        assert!(
            near(found.line.slope_error, s / 5.0_f64.sqrt()),
            "{found:?}"
        );
        let intercept = s * (0.25_f64 + 6.25 / 5.0).sqrt();
        assert!(near(found.line.intercept_error, intercept), "{found:?}");
        assert!(near(found.birge, s / 0.1), "{found:?}");
        // What is stated and what comes beside it add up to what was seen.
        assert!(near(found.excess_g.hypot(0.1), s), "{found:?}");
    }
}
