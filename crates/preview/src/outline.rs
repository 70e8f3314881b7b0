//! The outline of a stroke whose width varies.
//!
//! A stroke through points with widths is the union of the shapes that each pair of neighbours spans: two
//! discs and all between their outer tangents. The outline runs along the tangents of one side, round the
//! end and back along the other, with an arc where a side turns outwards and through the middle where it
//! turns inwards. Every such shape is wound in the same sense, so that filling by the non-zero rule gives
//! the union exactly: no gap at a cusp, no hole in a loop.

use std::f64::consts::{PI, TAU};

/// A point of a stroke: place and width, all in one unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InkPoint {
    /// To the right.
    pub x: f64,
    /// Downwards.
    pub y: f64,
    /// Width of the stroke here; nothing is drawn at 0.
    pub width: f64,
}

/// Chords keep within this of an arc.
const FLATNESS: f64 = 0.02;

/// Corners this near are one.
const SAME: f64 = 0.002;

/// A disc of the stroke.
#[derive(Clone, Copy, Debug)]
struct Disc {
    x: f64,
    y: f64,
    r: f64,
}

impl Disc {
    fn edge(&self, angle: f64) -> (f64, f64) {
        (self.x + self.r * angle.cos(), self.y + self.r * angle.sin())
    }

    fn distance(&self, other: &Self) -> f64 {
        (other.x - self.x).hypot(other.y - self.y)
    }

    fn holds(&self, other: &Self) -> bool {
        self.distance(other) <= self.r - other.r
    }
}

/// The outlines of a stroke as closed polygons, to be filled by the non-zero rule: one or more for each
/// part between points of no width. Chords keep within 0.02 of arcs. Points that are not finite are
/// skipped.
#[must_use]
pub fn outlines(points: &[InkPoint]) -> Vec<Vec<(f64, f64)>> {
    points
        .split(|point| point.width.is_nan() || point.width <= 0.0)
        .flat_map(chains)
        .map(|chain| outline(&chain))
        .collect()
}

/// Two neighbouring discs with the outer tangents of both.
#[derive(Clone, Copy, Debug)]
struct Pair {
    /// Direction from the first to the second.
    along: f64,
    /// From this direction to the tangent points, on either side.
    lean: f64,
}

impl Pair {
    fn of(first: &Disc, second: &Disc) -> Self {
        let along = (second.y - first.y).atan2(second.x - first.x);
        let lean = ((first.r - second.r) / first.distance(second))
            .clamp(-1.0, 1.0)
            .acos();
        Self { along, lean }
    }
}

fn outline(discs: &[Disc]) -> Vec<(f64, f64)> {
    let mut edge = Vec::with_capacity(4 * discs.len());
    let pairs: Vec<Pair> = discs
        .windows(2)
        .map(|two| Pair::of(&two[0], &two[1]))
        .collect();
    let (Some(start), Some(end)) = (pairs.first(), pairs.last()) else {
        if let Some(only) = discs.first() {
            arc(&mut edge, only, 0.0, TAU);
        }
        return edge;
    };
    for (index, pair) in pairs.iter().enumerate() {
        let angle = pair.along - pair.lean;
        edge.push(discs[index].edge(angle));
        edge.push(discs[index + 1].edge(angle));
        if let Some(next) = pairs.get(index + 1) {
            let by = turned(next.along - pair.along) + pair.lean - next.lean;
            turn(&mut edge, &discs[index..], angle, by);
        }
    }
    let last = discs[discs.len() - 1];
    arc(&mut edge, &last, end.along - end.lean, 2.0 * end.lean);
    for index in (0..pairs.len()).rev() {
        let pair = pairs[index];
        let angle = pair.along + pair.lean;
        edge.push(discs[index + 1].edge(angle));
        edge.push(discs[index].edge(angle));
        if index > 0 {
            let next = pairs[index - 1];
            let by = next.lean - pair.lean - turned(pair.along - next.along);
            turn(&mut edge, &discs[index - 1..], angle, by);
        }
    }
    let rest = TAU - 2.0 * start.lean;
    arc(&mut edge, &discs[0], start.along + start.lean, rest);
    edge.dedup_by(|b, a| (b.0 - a.0).abs() < SAME && (b.1 - a.1).abs() < SAME);
    edge
}

/// From one pair to the next on one side, by an angle round the disc that both share: `discs[1]`.
fn turn(edge: &mut Vec<(f64, f64)>, discs: &[Disc], from: f64, by: f64) {
    let shared = &discs[1];
    if by >= 0.0 {
        arc(edge, shared, from, by);
        return;
    }
    // Inwards: a short cut where it cuts off next to nothing, else through the middle.
    let cut = 2.0 * shared.r * (-by / 2.0).sin().abs();
    let room = discs[0].distance(shared).min(shared.distance(&discs[2]));
    if by < -1.0 || cut > 0.25 * room {
        edge.push((shared.x, shared.y));
    }
}

/// An angle as one from −180° to 180°.
fn turned(angle: f64) -> f64 {
    let whole = angle.rem_euclid(TAU);
    if whole > PI { whole - TAU } else { whole }
}

/// Points of an arc from an angle on by another, both ends but for the first where it stands already.
fn arc(edge: &mut Vec<(f64, f64)>, disc: &Disc, from: f64, by: f64) {
    let step = 2.0 * (1.0 - (FLATNESS / disc.r).min(1.0)).acos();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a small number that is not negative"
    )]
    let steps = ((by / step).ceil() as usize).clamp(1, 720);
    for index in 1..=steps {
        edge.push(disc.edge(from + by * index as f64 / steps as f64));
    }
}

/// The discs as runs in which none lies within its neighbour. Where one does, the larger one is all that
/// both span: the run ends there and the next begins.
fn chains(points: &[InkPoint]) -> Vec<Vec<Disc>> {
    let mut done: Vec<Vec<Disc>> = Vec::new();
    let mut open: Vec<Disc> = Vec::new();
    let mut before: Option<Disc> = None;
    for point in points {
        let disc = Disc {
            x: point.x,
            y: point.y,
            r: point.width / 2.0,
        };
        if !(disc.x.is_finite() && disc.y.is_finite() && disc.r.is_finite()) {
            continue;
        }
        let last = before.replace(disc);
        let Some(last) = last else {
            open.push(disc);
            continue;
        };
        if last.holds(&disc) {
            done.push(std::mem::replace(&mut open, vec![disc]));
        } else if disc.holds(&last) {
            let mut run = std::mem::replace(&mut open, vec![disc]);
            if run.len() == 1 {
                run.clear();
            }
            done.push(run);
        } else {
            open.push(disc);
        }
    }
    done.push(open);
    let mut before: Option<Disc> = None;
    done.retain(|run| {
        let before = std::mem::replace(&mut before, run.last().copied());
        match &run[..] {
            [] => false,
            // A disc alone that a neighbour of it holds shows nothing of its own.
            [only] => !before.is_some_and(|before| before.holds(only)),
            _ => true,
        }
    });
    done
}
