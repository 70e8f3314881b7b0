use crate::catmull_rom::CatmullRom;
use crate::curve::Curve;
use crate::error::CurveError;
use crate::interpolation::Interpolation;
use crate::monotone_cubic::MonotoneCubic;
use crate::natural_cubic::NaturalCubic;
use crate::point::Point;
use crate::polyline::Polyline;
use crate::slope_rule::SlopeRule;

/// Points with a named interpolation between them.
#[derive(Debug, Clone, PartialEq)]
pub struct Knots {
    joined: Joined,
}

#[derive(Debug, Clone, PartialEq)]
enum Joined {
    Linear(Polyline),
    MonotoneCubic(MonotoneCubic),
    CatmullRom(CatmullRom),
    NaturalCubic(NaturalCubic),
}

impl Knots {
    /// # Errors
    /// Those of the curve that the interpolation stands for.
    pub fn new(points: Vec<Point>, interpolation: Interpolation) -> Result<Self, CurveError> {
        let joined = match interpolation {
            Interpolation::Linear => Joined::Linear(Polyline::new(points)?),
            Interpolation::MonotoneCubic => {
                Joined::MonotoneCubic(MonotoneCubic::new(points, SlopeRule::FritschButland)?)
            }
            Interpolation::CatmullRom => Joined::CatmullRom(CatmullRom::new(points)?),
            Interpolation::NaturalCubic => Joined::NaturalCubic(NaturalCubic::new(points)?),
        };
        Ok(Self { joined })
    }

    /// The points, in order.
    #[must_use]
    pub fn points(&self) -> &[Point] {
        match &self.joined {
            Joined::Linear(curve) => curve.points(),
            Joined::MonotoneCubic(curve) => curve.points(),
            Joined::CatmullRom(curve) => curve.points(),
            Joined::NaturalCubic(curve) => curve.points(),
        }
    }

    /// What joins the points.
    #[must_use]
    pub fn interpolation(&self) -> Interpolation {
        match &self.joined {
            Joined::Linear(_) => Interpolation::Linear,
            Joined::MonotoneCubic(_) => Interpolation::MonotoneCubic,
            Joined::CatmullRom(_) => Interpolation::CatmullRom,
            Joined::NaturalCubic(_) => Interpolation::NaturalCubic,
        }
    }

    /// Whether the curve never falls. Straight segments and monotone cubics rise with their points;
    /// the others may overshoot, and each of their cubics is looked at.
    #[must_use]
    pub fn is_non_decreasing(&self) -> bool {
        match &self.joined {
            Joined::Linear(_) | Joined::MonotoneCubic(_) => {
                self.points().windows(2).all(|pair| pair[0].y <= pair[1].y)
            }
            Joined::CatmullRom(curve) => curve.is_non_decreasing(),
            Joined::NaturalCubic(curve) => curve.is_non_decreasing(),
        }
    }

    fn curve(&self) -> &dyn Curve {
        match &self.joined {
            Joined::Linear(curve) => curve,
            Joined::MonotoneCubic(curve) => curve,
            Joined::CatmullRom(curve) => curve,
            Joined::NaturalCubic(curve) => curve,
        }
    }
}

impl Curve for Knots {
    fn domain(&self) -> (f64, f64) {
        self.curve().domain()
    }

    fn value(&self, x: f64) -> f64 {
        self.curve().value(x)
    }

    fn slope(&self, x: f64) -> f64 {
        self.curve().slope(x)
    }

    fn inverse(&self, y: f64) -> f64 {
        self.curve().inverse(y)
    }
}
