//! A climb drawn through points.

use std::fmt;
use std::str::FromStr;

use evenhand_curve::{Curve, Interpolation, Knots, MonotonePath, Point, Polyline};
use splines::{Interpolation as Between, Key, Spline};

use crate::error::TargetError;

/// Steps in which a bent climb is followed.
const STEPS: u32 = 1024;
/// The rise of a response keeps within this of it, fraction of full scale.
const RESPONSE_TOLERANCE: f64 = 1e-4;
/// Points that a climb may have.
const MOST_POINTS: usize = 4096;

/// What joins the points of a drawn climb.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Joining {
    /// Straight lines.
    Linear,
    /// Half waves of a cosine, level at every point.
    Cosine,
    /// A Catmull–Rom spline of the output over the part of the way; it may overshoot, and is refused
    /// where it falls.
    CatmullRom,
    /// A monotone cubic.
    MonotoneCubic,
}

impl Joining {
    /// Every one of them.
    pub const ALL: [Self; 4] = [
        Self::Linear,
        Self::Cosine,
        Self::CatmullRom,
        Self::MonotoneCubic,
    ];

    /// Its name in files; those that receivers have as well are called the same.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Linear => Interpolation::Linear.as_str(),
            Self::Cosine => "cosine",
            Self::CatmullRom => Interpolation::CatmullRom.as_str(),
            Self::MonotoneCubic => Interpolation::MonotoneCubic.as_str(),
        }
    }
}

impl fmt::Display for Joining {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

impl FromStr for Joining {
    type Err = TargetError;

    fn from_str(word: &str) -> Result<Self, TargetError> {
        let known = Self::ALL.into_iter().find(|kind| kind.as_str() == word);
        known.ok_or_else(|| TargetError::UnknownJoining {
            found: word.to_owned(),
        })
    }
}

/// Output over the part of the way from light-at to full-at, both 0..1, from (0, 0) to (1, 1) without
/// falling.
#[derive(Clone, Debug, PartialEq)]
pub struct PointShape {
    points: Vec<[f64; 2]>,
    joining: Joining,
    curve: Polyline,
}

impl PointShape {
    /// A climb through points `[part, output]`.
    ///
    /// # Errors
    /// [`TargetError::Drawn`] where the points do not lead from (0, 0) to (1, 1) with rising parts and
    /// outputs that do not fall, or where the curve between them falls.
    pub fn new(points: Vec<[f64; 2]>, joining: Joining) -> Result<Self, TargetError> {
        let wrong = |reason: String| Err(TargetError::Drawn { reason });
        if !(2..=MOST_POINTS).contains(&points.len()) {
            return wrong(format!(
                "{} points, 2 to {MOST_POINTS} are taken",
                points.len()
            ));
        }
        let (first, last) = (points[0], points[points.len() - 1]);
        if first != [0.0, 0.0] || last != [1.0, 1.0] {
            return wrong("it does not lead from [0, 0] to [1, 1]".to_owned());
        }
        for (index, pair) in points.windows(2).enumerate() {
            let rises = pair[1][0] > pair[0][0] && pair[1][1] >= pair[0][1];
            if !rises || !pair[1][1].is_finite() {
                return wrong(format!(
                    "point {} does not lie right of and not below the one before",
                    index + 2
                ));
            }
        }
        let curve = match joining {
            Joining::Linear => points.iter().map(|p| Point::new(p[0], p[1])).collect(),
            Joining::MonotoneCubic => {
                let corners = points.iter().map(|p| Point::new(p[0], p[1])).collect();
                let knots = Knots::new(corners, Interpolation::MonotoneCubic);
                let knots = knots.map_err(|error| TargetError::Drawn {
                    reason: error.to_string(),
                })?;
                sampled(&points, |part| Some(knots.value(part)))
            }
            Joining::Cosine => sampled_spline(&points, Between::Cosine),
            Joining::CatmullRom => sampled_spline(&points, Between::CatmullRom),
        };
        if let Some(pair) = curve.windows(2).find(|pair| pair[1].y < pair[0].y - 1e-12) {
            return wrong(format!(
                "the {joining} curve falls at part {:.3}: add points there or join them otherwise",
                pair[0].x
            ));
        }
        // Rounding may make a level stretch fall by a bit or two.
        let mut level = 0.0_f64;
        let rising = curve.into_iter().map(|point| {
            level = level.max(point.y.clamp(0.0, 1.0));
            Point::new(point.x, level)
        });
        let curve = Polyline::new(rising.collect()).map_err(|error| TargetError::Drawn {
            reason: error.to_string(),
        })?;
        Ok(Self {
            points,
            joining,
            curve,
        })
    }

    /// The rise of a response (force in gf → reading) between its onset and saturation forces, gf, stretched to 0..1
    /// and thinned to within 0.01 % of full scale.
    ///
    /// # Errors
    /// [`TargetError::Drawn`] where the response does not rise between them.
    pub fn of_response(response: &Polyline, onset: f64, full: f64) -> Result<Self, TargetError> {
        let part = |force: f64| (force - onset) / (full - onset);
        let rising = response
            .points()
            .iter()
            .map(|node| Point::new(part(node.x), node.y.clamp(0.0, 1.0)))
            .filter(|point| point.x > 0.0 && point.x < 1.0);
        let mut nodes = vec![Point::new(0.0, 0.0)];
        nodes.extend(rising);
        nodes.push(Point::new(1.0, 1.0));
        let path = MonotonePath::new(nodes).map_err(|error| TargetError::Drawn {
            reason: error.to_string(),
        })?;
        let mut points: Vec<[f64; 2]> = Vec::new();
        for point in path.simplified(RESPONSE_TOLERANCE).points() {
            // A vertical step cannot be drawn; its foot is kept.
            if points.last().is_none_or(|before| point.x > before[0]) {
                points.push([point.x, point.y]);
            }
        }
        Self::new(points, Joining::Linear)
    }

    /// The points, as given.
    #[must_use]
    pub fn points(&self) -> &[[f64; 2]] {
        &self.points
    }

    /// What joins them.
    #[must_use]
    pub fn joining(&self) -> Joining {
        self.joining
    }

    /// Output at a part of the way.
    #[must_use]
    pub fn output(&self, part: f64) -> f64 {
        self.curve.value(part)
    }

    /// Parts of the way at which the climb bends.
    pub(crate) fn bends(&self) -> impl Iterator<Item = f64> + '_ {
        self.curve.points().iter().map(|point| point.x)
    }
}

/// The `splines` crate joins keys by what stands at the left one; a Catmull–Rom spline needs one key
/// more on either side, which here mirrors the next one in the end.
fn sampled_spline(points: &[[f64; 2]], between: Between<f64, f64>) -> Vec<Point> {
    let mut keys: Vec<Key<f64, f64>> = points
        .iter()
        .map(|[part, output]| Key::new(*part, *output, between))
        .collect();
    let mirrored = |end: [f64; 2], next: [f64; 2]| [2.0 * end[0] - next[0], 2.0 * end[1] - next[1]];
    let last = points.len() - 1;
    for outer in [
        mirrored(points[0], points[1]),
        mirrored(points[last], points[last - 1]),
    ] {
        keys.push(Key::new(outer[0], outer[1], between));
    }
    let spline = Spline::from_vec(keys);
    sampled(points, |part| spline.clamped_sample(part))
}

fn sampled(points: &[[f64; 2]], output: impl Fn(f64) -> Option<f64>) -> Vec<Point> {
    let even = (0..=STEPS).map(|step| f64::from(step) / f64::from(STEPS));
    let mut parts: Vec<f64> = even.chain(points.iter().map(|p| p[0])).collect();
    parts.sort_by(f64::total_cmp);
    parts.dedup();
    parts
        .into_iter()
        .filter_map(|part| Some(Point::new(part, output(part)?)))
        .collect()
}
