use crate::chain::Chain;
use crate::cubics;
use crate::curve::Curve;
use crate::error::CurveError;
use crate::interpolation::Interpolation;
use crate::planar::Planar;
use crate::point::Point;
use crate::polyline::Polyline;
use crate::sorted_points::SortedPoints;
use crate::unit_cubic::UnitCubic;

/// Points with a named interpolation between them.
#[derive(Debug, Clone, PartialEq)]
pub struct Knots {
    interpolation: Interpolation,
    pieces: Pieces,
}

#[derive(Debug, Clone, PartialEq)]
enum Pieces {
    Lines(Polyline),
    Cubics(Chain<UnitCubic>),
    Arcs(Chain<Planar>),
}

impl Knots {
    /// Through at least two finite points.
    ///
    /// # Errors
    /// [`CurveError::TooFewPoints`], [`CurveError::NotFinite`], [`CurveError::XNotIncreasing`],
    /// [`CurveError::Overflow`], [`CurveError::SlopeNotFinite`] for the cubics, and
    /// [`CurveError::FoldsBack`] for a Catmull–Rom spline.
    pub fn new(points: Vec<Point>, interpolation: Interpolation) -> Result<Self, CurveError> {
        let pieces = match interpolation {
            Interpolation::Linear => Pieces::Lines(Polyline::new(points)?),
            Interpolation::MonotoneCubic => {
                Pieces::Cubics(cubics::monotone(SortedPoints::new(points)?)?)
            }
            Interpolation::NaturalCubic => {
                Pieces::Cubics(cubics::natural(SortedPoints::new(points)?)?)
            }
            Interpolation::CatmullRom => {
                Pieces::Arcs(cubics::catmull_rom(SortedPoints::new(points)?)?)
            }
        };
        Ok(Self {
            interpolation,
            pieces,
        })
    }

    /// The points, in order.
    #[must_use]
    pub fn points(&self) -> &[Point] {
        match &self.pieces {
            Pieces::Lines(curve) => curve.points(),
            Pieces::Cubics(chain) => chain.points().points(),
            Pieces::Arcs(chain) => chain.points().points(),
        }
    }

    /// What joins the points.
    #[must_use]
    pub fn interpolation(&self) -> Interpolation {
        self.interpolation
    }

    /// Whether the curve never falls. Straight segments and monotone cubics rise with their points;
    /// the others may overshoot, and each of their cubics is looked at.
    #[must_use]
    pub fn is_non_decreasing(&self) -> bool {
        match &self.pieces {
            Pieces::Lines(curve) => curve.is_non_decreasing(),
            Pieces::Cubics(chain) if self.interpolation == Interpolation::MonotoneCubic => {
                chain.points().is_non_decreasing()
            }
            Pieces::Cubics(chain) => chain.pieces().iter().all(|c| c.is_non_decreasing()),
            Pieces::Arcs(chain) => chain.pieces().iter().all(|arc| arc.y.is_non_decreasing()),
        }
    }

    fn curve(&self) -> &dyn Curve {
        match &self.pieces {
            Pieces::Lines(curve) => curve,
            Pieces::Cubics(curve) => curve,
            Pieces::Arcs(curve) => curve,
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

    fn bends(&self) -> Vec<f64> {
        self.points().iter().map(|point| point.x).collect()
    }
}
