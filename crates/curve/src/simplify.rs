//! Fewer points for the same path.

use crate::point::Point;

/// The points that are kept. `tolerance` is in y and not negative.
///
/// From the last point kept, every point passed over narrows the range of slopes a straight line
/// may have; the point before the first one that lies outside the range is kept next. The
/// difference of two polylines is greatest at a vertex, and every vertex of the result is one of
/// the original, so it is enough to look at the points passed over.
pub(crate) fn simplified(points: &[Point], tolerance: f64) -> Vec<Point> {
    let mut kept: Vec<Point> = Vec::new();
    let mut cone = Cone::open();
    let mut previous: Option<Point> = None;
    for (index, &point) in points.iter().enumerate() {
        if let (Some(anchor), Some(before)) = (kept.last().copied(), previous) {
            let in_step = before.x == point.x;
            let step_starts = points.get(index + 1).is_some_and(|next| next.x == point.x);
            if in_step {
                // The top of a vertical step is kept, points within it are not needed.
                if !step_starts {
                    keep(&mut kept, point);
                    cone = Cone::open();
                }
            } else {
                if !cone.allows(anchor, point) {
                    keep(&mut kept, before);
                    cone = Cone::open();
                }
                if step_starts {
                    keep(&mut kept, point);
                    cone = Cone::open();
                } else if let Some(&from) = kept.last() {
                    cone.narrow(from, point, tolerance);
                }
            }
        } else {
            kept.push(point);
        }
        previous = Some(point);
    }
    if let Some(last) = previous
        && (kept.last() != Some(&last) || kept.len() < 2)
    {
        kept.push(last);
    }
    kept
}

fn keep(kept: &mut Vec<Point>, point: Point) {
    if kept.last() != Some(&point) {
        kept.push(point);
    }
}

/// The slopes a line from the last kept point may have.
struct Cone {
    least: f64,
    most: f64,
}

impl Cone {
    fn open() -> Self {
        Self {
            least: f64::NEG_INFINITY,
            most: f64::INFINITY,
        }
    }

    fn allows(&self, anchor: Point, end: Point) -> bool {
        let slope = (end.y - anchor.y) / (end.x - anchor.x);
        self.least <= slope && slope <= self.most
    }

    fn narrow(&mut self, anchor: Point, passed: Point, tolerance: f64) {
        let run = passed.x - anchor.x;
        let rise = passed.y - anchor.y;
        self.least = self.least.max((rise - tolerance) / run);
        self.most = self.most.min((rise + tolerance) / run);
    }
}
