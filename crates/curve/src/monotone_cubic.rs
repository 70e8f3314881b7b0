use crate::cubic_chain::CubicChain;
use crate::curve::Curve;
use crate::error::CurveError;
use crate::ordered::Ordered;
use crate::point::Point;
use crate::slope_rule::SlopeRule;

/// A cubic through points that turns only where the points do.
#[derive(Debug, Clone, PartialEq)]
pub struct MonotoneCubic {
    chain: CubicChain,
}

impl MonotoneCubic {
    /// With the slopes of a published rule.
    ///
    /// # Errors
    /// [`CurveError::TooFewPoints`], [`CurveError::NotFinite`], [`CurveError::XNotIncreasing`],
    /// [`CurveError::Overflow`].
    pub fn new(points: Vec<Point>, rule: SlopeRule) -> Result<Self, CurveError> {
        let points = Ordered::new(points)?;
        let slopes = rule.slopes(&points, &points.secants()?);
        Ok(Self {
            chain: CubicChain::new(points, slopes)?,
        })
    }

    /// With slopes of one's own.
    ///
    /// # Errors
    /// As for [`MonotoneCubic::new`], and [`CurveError::SlopeCount`], [`CurveError::SlopeNotFinite`]
    /// or [`CurveError::NotMonotone`] where the slopes make a step turn back between its points.
    pub fn with_slopes(points: Vec<Point>, slopes: Vec<f64>) -> Result<Self, CurveError> {
        let chain = CubicChain::new(Ordered::new(points)?, slopes)?;
        let turns = |cubic: &crate::unit_cubic::UnitCubic| {
            // A falling step is a rising one upside down.
            let sign = if cubic.end < cubic.start { -1.0 } else { 1.0 };
            let upright = crate::unit_cubic::UnitCubic {
                start: sign * cubic.start,
                end: sign * cubic.end,
                start_slope: sign * cubic.start_slope,
                end_slope: sign * cubic.end_slope,
            };
            !upright.is_non_decreasing()
        };
        match chain.cubics().iter().position(turns) {
            Some(index) => Err(CurveError::NotMonotone { index }),
            None => Ok(Self { chain }),
        }
    }

    /// The points, in order.
    #[must_use]
    pub fn points(&self) -> &[Point] {
        self.chain.points()
    }

    /// The slope at every point.
    #[must_use]
    pub fn slopes(&self) -> &[f64] {
        self.chain.slopes()
    }
}

impl Curve for MonotoneCubic {
    fn domain(&self) -> (f64, f64) {
        self.chain.domain()
    }

    fn value(&self, x: f64) -> f64 {
        self.chain.value(x)
    }

    fn slope(&self, x: f64) -> f64 {
        self.chain.slope(x)
    }

    fn inverse(&self, y: f64) -> f64 {
        self.chain.inverse(y)
    }
}
