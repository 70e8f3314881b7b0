//! The response: force in, reading out.

use evenhand_curve::{Curve, CurveError, Point, Polyline};
use evenhand_measurement::Force;

use crate::blend::Blend;

/// Steps of the polyline between onset and upper end. The forces are spaced as squares, dense near
/// the onset; with this many the chords stay within 1e-5 of full scale of the curve.
const STEPS: u32 = 512;

/// A response: non-decreasing, from reading 0 at force 0 to the last force known, held beyond it.
#[derive(Clone, Debug)]
pub struct Response {
    curve: Polyline,
    onset: Force,
    saturation: Option<Force>,
}

impl Response {
    /// A response through points (force, reading), for curves that come from elsewhere.
    ///
    /// # Errors
    /// Fewer than two points, forces that do not increase, or anything not finite. Readings are
    /// limited to 0..1 and raised to the largest before them.
    pub fn from_points(points: &[(Force, f64)]) -> Result<Self, CurveError> {
        let mut largest = 0.0_f64;
        let points: Vec<Point> = points
            .iter()
            .map(|(force, reading)| {
                largest = largest.max(reading.clamp(0.0, 1.0));
                Point {
                    x: force.gf(),
                    y: if reading.is_nan() { f64::NAN } else { largest },
                }
            })
            .collect();
        let curve = Polyline::new(points)?;
        let nodes = curve.points();
        let first = nodes.iter().rposition(|p| p.y <= 0.0).unwrap_or(0);
        let onset = Force::from_gf(nodes[first].x);
        let saturation = nodes
            .iter()
            .find(|p| p.y >= 1.0)
            .map(|p| Force::from_gf(p.x));
        Ok(Self {
            curve,
            onset,
            saturation,
        })
    }

    /// The response of a blend, known up to `last` (gf) or to saturation.
    pub(crate) fn from_blend(blend: &Blend, reached: bool, last: f64) -> Result<Self, CurveError> {
        let onset = blend.onset();
        let end = if reached {
            blend.upper_end()
        } else {
            last.max(onset + 1e-9)
        };
        let mut points = Vec::with_capacity(STEPS as usize + 2);
        if onset > 0.0 {
            points.push(Point { x: 0.0, y: 0.0 });
        }
        let mut largest = 0.0_f64;
        for step in 0..=STEPS {
            let part = f64::from(step) / f64::from(STEPS);
            let force = onset + (end - onset) * part * part;
            largest = match step {
                0 => 0.0,
                STEPS if reached => 1.0,
                _ => largest.max(blend.reading(force)),
            };
            if points.last().is_none_or(|before| force > before.x) {
                points.push(Point {
                    x: force,
                    y: largest,
                });
            }
        }
        Ok(Self {
            curve: Polyline::new(points)?,
            onset: Force::from_gf(onset),
            saturation: reached.then(|| Force::from_gf(end)),
        })
    }

    /// Reading (0..1) at a force.
    #[must_use]
    pub fn reading(&self, force: Force) -> f64 {
        self.curve.value(force.gf())
    }

    /// The least force with at least this reading; the last force known where no force has it.
    #[must_use]
    pub fn force(&self, reading: f64) -> Force {
        Force::from_gf(self.curve.inverse(reading))
    }

    /// Force up to which the reading is 0.
    #[must_use]
    pub fn onset(&self) -> Force {
        self.onset
    }

    /// Least force with reading 1, if the response gets there.
    #[must_use]
    pub fn saturation(&self) -> Option<Force> {
        self.saturation
    }

    /// The last force at which the response is known; it holds its value beyond.
    #[must_use]
    pub fn last_force(&self) -> Force {
        Force::from_gf(self.curve.domain().1)
    }

    /// The polyline itself: force in gf, reading 0..1.
    #[must_use]
    pub fn curve(&self) -> &Polyline {
        &self.curve
    }
}
