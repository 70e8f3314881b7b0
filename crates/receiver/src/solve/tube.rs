//! The tube a map must stay in to keep a given worst error.
//!
//! At some readings an error cannot be avoided: half the height of a vertical step of the ideal
//! map, or a pinned end away from it. Such an error is that row's *base*. Where the allowed error
//! is smaller than a base the tube widens to it over a short reach beside the row, so that one
//! unavoidable error does not loosen the rest of the map. From the largest base upwards the tube
//! is the true one everywhere.

use super::ideal::{Ideal, Row};

/// One row of the tube. The map must pass between `lo_right` and `hi_left`; the other two are
/// where the boundaries arrive at, or leave, a vertical step. No boundary ever decreases.
#[derive(Clone, Copy, Debug)]
pub(crate) struct TubeRow {
    pub(crate) x: f64,
    pub(crate) lo_left: f64,
    pub(crate) lo_right: f64,
    pub(crate) hi_left: f64,
    pub(crate) hi_right: f64,
}

/// Whether the first vertex sits at (0, 0) and the last at (1, 1).
#[derive(Clone, Copy, Debug)]
pub(crate) struct Pins {
    pub(crate) start: bool,
    pub(crate) end: bool,
}

/// Stretches on which the map is held at no output and at full output.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Plateaus {
    pub(crate) zero_until: Option<f64>,
    pub(crate) one_from: Option<f64>,
}

struct Widened {
    row: Row,
    /// How far the upper boundary may rise on the left and on the right of the row.
    up: (f64, f64),
    /// How far the lower boundary may sink on the left and on the right of the row.
    down: (f64, f64),
}

impl Widened {
    /// The error from which on the tube holds an output here.
    fn needed(&self, y: f64) -> f64 {
        let (above, below) = (y - self.row.least, self.row.most - y);
        let above = if above > self.up.0 { above } else { 0.0 };
        let below = if below > self.down.1 { below } else { 0.0 };
        above.max(below)
    }
}

/// An ideal map with its unavoidable errors, ready to give the tube of any worst error.
pub(crate) struct TubeMaker {
    rows: Vec<Widened>,
    pins: Pins,
    largest_base: f64,
}

impl TubeMaker {
    /// `reach` is how far beside a row with an unavoidable error the tube is widened.
    pub(crate) fn new(ideal: &Ideal, pins: Pins, reach: f64) -> Self {
        let count = ideal.rows().len();
        let bases = |row: &Row, first: bool, last: bool| {
            let step = (row.most - row.least) / 2.0;
            let left = if pins.end && last {
                1.0 - row.least
            } else {
                step
            };
            let right = if pins.start && first { row.most } else { step };
            (left, right)
        };
        let mut marked: Vec<(f64, f64, f64)> = Vec::new();
        for (index, row) in ideal.rows().iter().enumerate() {
            let (left, right) = bases(row, index == 0, index + 1 == count);
            if left > 0.0 || right > 0.0 {
                marked.push((row.x, left, right));
            }
        }
        let mut spaced = ideal.clone();
        for &(x, left, right) in &marked {
            // A base far below any worst error of interest needs no rows of its own.
            if left.max(right) > 1e-9 {
                spaced.insert(x - reach);
                spaced.insert(x + reach);
            }
        }
        let mut rows: Vec<Widened> = spaced
            .rows()
            .iter()
            .map(|&row| Widened {
                row,
                up: (0.0, 0.0),
                down: (0.0, 0.0),
            })
            .collect();
        let mut largest_base = 0.0_f64;
        for &(x, left, right) in &marked {
            largest_base = largest_base.max(left).max(right);
            let begin = rows.partition_point(|wide| wide.row.x < x - reach);
            for wide in rows.iter_mut().skip(begin) {
                let distance = wide.row.x - x;
                if distance > reach {
                    break;
                }
                let fade = 1.0 - distance.abs() / reach;
                if distance <= 0.0 {
                    wide.up.0 = wide.up.0.max(left * fade);
                }
                if distance < 0.0 {
                    wide.up.1 = wide.up.1.max(left * fade);
                }
                if distance >= 0.0 {
                    wide.down.1 = wide.down.1.max(right * fade);
                }
                if distance > 0.0 {
                    wide.down.0 = wide.down.0.max(right * fade);
                }
            }
        }
        Self {
            rows,
            pins,
            largest_base,
        }
    }

    /// The largest error that no map can avoid, whatever its points.
    pub(crate) fn largest_base(&self) -> f64 {
        self.largest_base
    }

    /// The least error whose tube holds the straight line from one point to another; beyond `enough` some number
    /// that is larger too. Where a tube is as wide for every error nothing is needed.
    pub(crate) fn needed(&self, a: (f64, f64), b: (f64, f64), enough: f64) -> f64 {
        let slope = if b.0 > a.0 {
            (b.1 - a.1) / (b.0 - a.0)
        } else {
            0.0
        };
        let mut needed = self.needed_at(a).max(self.needed_at(b));
        let from = self.rows.partition_point(|wide| wide.row.x <= a.0);
        for wide in &self.rows[from..] {
            if wide.row.x >= b.0 || needed > enough {
                break;
            }
            let y = a.1 + slope * (wide.row.x - a.0);
            needed = needed.max(wide.needed(y));
        }
        needed
    }

    fn needed_at(&self, (x, y): (f64, f64)) -> f64 {
        let after = self.rows.partition_point(|wide| wide.row.x < x);
        match (
            after.checked_sub(1).and_then(|i| self.rows.get(i)),
            self.rows.get(after),
        ) {
            (_, Some(here)) if here.row.x <= x => {
                let is_pinned = (self.pins.start && after == 0)
                    || (self.pins.end && after + 1 == self.rows.len());
                if is_pinned { 0.0 } else { here.needed(y) }
            }
            (Some(a), Some(b)) => {
                let part = (x - a.row.x) / (b.row.x - a.row.x);
                let along = |from: f64, to: f64| from + part * (to - from);
                let ideal = along(a.row.most, b.row.least);
                let wide = Widened {
                    row: Row {
                        x,
                        least: ideal,
                        most: ideal,
                    },
                    up: (along(a.up.1, b.up.0), 0.0),
                    down: (0.0, along(a.down.1, b.down.0)),
                };
                wide.needed(y)
            }
            _ => f64::INFINITY,
        }
    }

    /// The tube of worst error `error`, cut to outputs 0..1.
    pub(crate) fn tube(&self, error: f64, plateaus: Plateaus) -> Vec<TubeRow> {
        let mut tube: Vec<TubeRow> = Vec::with_capacity(self.rows.len() + 8);
        for wide in &self.rows {
            let Row { x, least, most } = wide.row;
            let next = TubeRow {
                x,
                lo_left: least - error.max(wide.down.0),
                lo_right: most - error.max(wide.down.1),
                hi_left: least + error.max(wide.up.0),
                hi_right: most + error.max(wide.up.1),
            };
            // The boundaries bend where they meet outputs 0 and 1.
            push_with_breakpoints(&mut tube, next, &[0.0], &[1.0]);
        }
        for row in &mut tube {
            row.lo_left = row.lo_left.clamp(0.0, 1.0);
            row.lo_right = row.lo_right.clamp(0.0, 1.0);
            row.hi_left = row.hi_left.clamp(0.0, 1.0);
            row.hi_right = row.hi_right.clamp(0.0, 1.0);
        }
        if self.pins.start
            && let Some(first) = tube.first_mut()
        {
            first.lo_right = 0.0;
            first.hi_left = 0.0;
        }
        if self.pins.end
            && let Some(last) = tube.last_mut()
        {
            last.lo_right = 1.0;
            last.hi_left = 1.0;
        }
        if let Some(x) = plateaus.one_from {
            let at = split(&mut tube, x);
            if let Some(row) = tube.get_mut(at) {
                row.lo_right = 1.0;
                row.hi_right = 1.0;
            }
            for row in tube.iter_mut().skip(at + 1) {
                *row = flat(row.x, 1.0);
            }
        }
        if let Some(x) = plateaus.zero_until {
            let at = split(&mut tube, x);
            if let Some(row) = tube.get_mut(at) {
                row.lo_left = 0.0;
                row.hi_left = 0.0;
            }
            for row in tube.iter_mut().take(at) {
                *row = flat(row.x, 0.0);
            }
        }
        tube
    }
}

/// Adds a row, and rows between where the lower boundary meets one of `lows` or the upper one of `highs`.
pub(crate) fn push_with_breakpoints(
    tube: &mut Vec<TubeRow>,
    next: TubeRow,
    lows: &[f64],
    highs: &[f64],
) {
    if let Some(&last) = tube.last() {
        let low = |level: &f64| crossing(last.x, last.lo_right, next.x, next.lo_left, *level);
        let high = |level: &f64| crossing(last.x, last.hi_right, next.x, next.hi_left, *level);
        let mut bends: Vec<f64> = lows
            .iter()
            .filter_map(low)
            .chain(highs.iter().filter_map(high))
            .collect();
        bends.sort_by(f64::total_cmp);
        for x in bends {
            let at = between(&last, &next, x);
            if tube.last().is_some_and(|row| row.x < x) && x < next.x {
                tube.push(at);
            }
        }
    }
    tube.push(next);
}

fn flat(x: f64, y: f64) -> TubeRow {
    TubeRow {
        x,
        lo_left: y,
        lo_right: y,
        hi_left: y,
        hi_right: y,
    }
}

/// Where the segment from (x0, y0) to (x1, y1) rises through `level`, strictly inside.
fn crossing(x0: f64, y0: f64, x1: f64, y1: f64, level: f64) -> Option<f64> {
    (y0 < level && y1 > level).then(|| x0 + (x1 - x0) * ((level - y0) / (y1 - y0)))
}

/// The tube at `x` between two neighbouring rows.
pub(crate) fn between(a: &TubeRow, b: &TubeRow, x: f64) -> TubeRow {
    let t = (x - a.x) / (b.x - a.x);
    let lo = a.lo_right + (b.lo_left - a.lo_right) * t;
    let hi = a.hi_right + (b.hi_left - a.hi_right) * t;
    TubeRow {
        x,
        lo_left: lo,
        lo_right: lo,
        hi_left: hi,
        hi_right: hi,
    }
}

/// Makes sure that there is a row at `x` and returns its index.
pub(crate) fn split(tube: &mut Vec<TubeRow>, x: f64) -> usize {
    let at = tube.partition_point(|row| row.x < x);
    let here = match (at.checked_sub(1).and_then(|i| tube.get(i)), tube.get(at)) {
        (Some(a), Some(b)) if b.x > x => between(a, b, x),
        _ => return at,
    };
    tube.insert(at, here);
    at
}
