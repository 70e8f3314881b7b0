//! All straight lines that pass above some points and below others, kept while points arrive
//! from left to right.
//!
//! The set of such lines is convex; to the right of all points it is bounded by two extreme
//! lines, each touching one obstacle of either kind. New points move these lines along the convex
//! hulls of the obstacles (J. O'Rourke, "An on-line algorithm for fitting straight lines between
//! data ranges", 1981).

/// A point that lines must pass above (a low corner) or below (a high corner).
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Corner {
    pub(crate) x: f64,
    pub(crate) y: f64,
    /// Index of the first tube row to the right of this corner.
    pub(crate) next: usize,
}

/// A line through two corners, the left one first.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Line {
    pub(crate) left: Corner,
    pub(crate) right: Corner,
}

impl Line {
    pub(crate) fn slope(&self) -> f64 {
        (self.right.y - self.left.y) / (self.right.x - self.left.x)
    }

    pub(crate) fn at(&self, x: f64) -> f64 {
        // Measured from the nearer corner, so that the line passes its corners exactly.
        if x - self.left.x < self.right.x - x {
            self.left.y + (x - self.left.x) * self.slope()
        } else {
            self.right.y + (x - self.right.x) * self.slope()
        }
    }
}

/// Which kind of obstacle ended the set of lines, with the last line standing.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Exit {
    /// Even the highest line passes below a low point.
    BelowLow(Line),
    /// Even the lowest line passes above a high point.
    AboveHigh(Line),
    /// The row itself leaves no room.
    Closed,
}

/// The lines that pass all points so far.
#[derive(Debug, Default)]
pub(crate) struct Stab {
    lows: Vec<Corner>,
    highs: Vec<Corner>,
    /// First hull corner still of use: extreme lines only ever move to the right.
    lows_from: usize,
    highs_from: usize,
    highest: Option<Line>,
    lowest: Option<Line>,
}

/// Twice the signed area of the triangle; positive when `b` lies below the segment from `a` to `c`.
fn turn(a: Corner, b: Corner, c: Corner) -> f64 {
    (b.x - a.x) * (c.y - a.y) - (c.x - a.x) * (b.y - a.y)
}

impl Stab {
    pub(crate) fn clear(&mut self) {
        self.lows.clear();
        self.highs.clear();
        self.lows_from = 0;
        self.highs_from = 0;
        self.highest = None;
        self.lowest = None;
    }

    /// The line that is highest to the right of all points; it touches a low, then a high corner.
    pub(crate) fn highest(&self) -> Option<Line> {
        self.highest
    }

    /// The line that is lowest to the right of all points; it touches a high, then a low corner.
    pub(crate) fn lowest(&self) -> Option<Line> {
        self.lowest
    }

    /// Adds the limits of one row; rows arrive with strictly increasing `x`.
    pub(crate) fn feed(
        &mut self,
        x: f64,
        low: Option<f64>,
        high: Option<f64>,
        next: usize,
    ) -> Result<(), Exit> {
        let low = low.map(|y| Corner { x, y, next });
        let high = high.map(|y| Corner { x, y, next });
        if let (Some(low), Some(high)) = (low, high)
            && low.y > high.y
        {
            return Err(Exit::Closed);
        }
        // Both limits are judged before either moves a line: corners of one row never face
        // each other.
        let mut highest = self.highest;
        if let Some(high) = high {
            if let Some(line) = self.lowest
                && line.at(x) > high.y
            {
                return Err(Exit::AboveHigh(line));
            }
            if self.highest.is_none_or(|line| line.at(x) > high.y) {
                highest = self.tangent_from_high(high).or(highest);
            }
        }
        let mut lowest = self.lowest;
        if let Some(low) = low {
            if let Some(line) = self.highest
                && line.at(x) < low.y
            {
                return Err(Exit::BelowLow(line));
            }
            if self.lowest.is_none_or(|line| line.at(x) < low.y) {
                lowest = self.tangent_from_low(low).or(lowest);
            }
        }
        self.highest = highest;
        self.lowest = lowest;
        if let Some(low) = low {
            push(&mut self.lows, self.lows_from, low, |a, b, c| {
                turn(a, b, c) >= 0.0
            });
        }
        if let Some(high) = high {
            push(&mut self.highs, self.highs_from, high, |a, b, c| {
                turn(a, b, c) <= 0.0
            });
        }
        Ok(())
    }

    /// The steepest line through `high` that stays above all lows.
    fn tangent_from_high(&mut self, high: Corner) -> Option<Line> {
        let mut touch = *self.lows.get(self.lows_from)?;
        while let Some(&next) = self.lows.get(self.lows_from + 1) {
            if turn(touch, next, high) > 0.0 {
                break;
            }
            self.lows_from += 1;
            touch = next;
        }
        Some(Line {
            left: touch,
            right: high,
        })
    }

    /// The flattest line through `low` that stays below all highs.
    fn tangent_from_low(&mut self, low: Corner) -> Option<Line> {
        let mut touch = *self.highs.get(self.highs_from)?;
        while let Some(&next) = self.highs.get(self.highs_from + 1) {
            if turn(touch, next, low) < 0.0 {
                break;
            }
            self.highs_from += 1;
            touch = next;
        }
        Some(Line {
            left: touch,
            right: low,
        })
    }
}

/// Extends a hull by its new rightmost corner.
fn push(
    hull: &mut Vec<Corner>,
    from: usize,
    corner: Corner,
    useless: impl Fn(Corner, Corner, Corner) -> bool,
) {
    while hull.len() >= from + 2 {
        let (a, b) = (hull[hull.len() - 2], hull[hull.len() - 1]);
        if !useless(a, b, corner) {
            break;
        }
        hull.pop();
    }
    hull.push(corner);
}
