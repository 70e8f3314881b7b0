//! The chain of fewest straight links through a tube.
//!
//! Greedy and exact: each link is followed as far as any single line can reach. The line that
//! gets farthest last touches one boundary at A and leaves through the other at B. Together with
//! the tube it separates what one link can reach from the rest, so the next link must cross it
//! between A and B, and can start anywhere there (H. Imai, M. Iri, "Computational-geometric
//! methods for polygonal approximations of a curve", 1986; L. Guibas et al., "Approximating
//! polygons and subdivisions with minimum-link paths", 1993). The boundary touched at A binds the
//! next link from A on, the other one from B on.
//!
//! Boundaries that never decrease make every line found here non-decreasing: a highest line rises
//! from a low to a later high corner, a lowest line that is cut off at a high corner does too.

use super::stab::{Corner, Exit, Line, Stab};
use super::tube::{TubeRow, split};

/// What a link may start or finish as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Tip {
    /// The first (last) vertex lies at input 0 (1).
    AtEdge,
    /// The first (last) vertex lies anywhere; outside of it the map is constant.
    Anywhere,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Side {
    Low,
    High,
}

/// Where one link hands over to the next.
struct Window {
    line: Line,
    touched: Side,
    a: Corner,
    /// Where the line leaves the tube.
    b: (f64, f64),
    /// The first row beyond the tube's exit.
    row: usize,
}

/// Vertices of a map with at most `links` sloped links within the tube, or `None` if there is none.
pub(crate) fn fewest_links(
    tube: &[TubeRow],
    start: Tip,
    finish: Tip,
    links: usize,
    stab: &mut Stab,
) -> Option<Vec<(f64, f64)>> {
    let (first, last) = (*tube.first()?, *tube.last()?);
    let mut rows = tube.to_vec();
    let mut flat_after = None;
    if finish == Tip::Anywhere {
        // From where the upper boundary is as high as the last low, a constant finishes the map.
        let level = last.lo_right;
        let x = where_reached(&rows, level, |row| (row.hi_left, row.hi_right));
        let at = split(&mut rows, x);
        for row in rows.iter_mut().skip(at + 1) {
            row.hi_left = f64::INFINITY;
            row.hi_right = f64::INFINITY;
        }
        if let Some(row) = rows.get_mut(at) {
            row.hi_right = f64::INFINITY;
        }
        flat_after = Some((x, level));
    }
    let mut windows: Vec<Window> = Vec::new();
    if start == Tip::Anywhere {
        let level = first.hi_left;
        match flat_start(&rows, level) {
            Some(window) => windows.push(window),
            None => return Some(vec![(first.x, level), (last.x, level)]),
        }
    }
    let free = windows.len();
    let end = loop {
        if windows.len() - free >= links {
            return None;
        }
        match follow(&rows, windows.last(), stab)? {
            Followed::ToTheEnd(line) => break line,
            Followed::Left(window) => {
                if windows.last().is_some_and(|w| w.row >= window.row) {
                    return None;
                }
                windows.push(window);
            }
        }
    };
    Some(vertices(&windows, &end, start, first, last, flat_after))
}

enum Followed {
    ToTheEnd(Line),
    Left(Window),
}

/// Follows the lines that cross `window` (or start at the left edge) as far as any of them gets.
fn follow(rows: &[TubeRow], window: Option<&Window>, stab: &mut Stab) -> Option<Followed> {
    stab.clear();
    let mut from = 0;
    if let Some(w) = window {
        from = w.row;
        seed(rows, w, stab)?;
    }
    for (index, row) in rows.iter().enumerate().skip(from) {
        let high = row.hi_left.is_finite().then_some(row.hi_left);
        let (line, left_through) = match stab.feed(row.x, Some(row.lo_right), high, index + 1) {
            Ok(()) => continue,
            Err(Exit::Closed) => return None,
            Err(Exit::BelowLow(line)) => (line, Side::Low),
            Err(Exit::AboveHigh(line)) => (line, Side::High),
        };
        let before = rows.get(index.checked_sub(1)?)?;
        let b = match left_through {
            Side::Low => exit_point(&line, before.x, before.lo_right, row.x, row.lo_left),
            Side::High => exit_point(&line, before.x, before.hi_right, row.x, row.hi_left),
        };
        return Some(Followed::Left(Window {
            line,
            touched: match left_through {
                Side::Low => Side::High,
                Side::High => Side::Low,
            },
            a: line.right,
            b,
            row: index,
        }));
    }
    Some(Followed::ToTheEnd(last_line(stab)?))
}

/// Gives the next link its limits up to where the last one left the tube.
fn seed(rows: &[TubeRow], w: &Window, stab: &mut Stab) -> Option<()> {
    let exit_row = rows.get(w.row)?;
    // An exit at the row itself, through a vertical step, binds no more than the row does.
    let mut exit = (w.b.0 < exit_row.x).then_some(w.b.1);
    let side = |y: f64| match w.touched {
        Side::Low => (Some(y), None),
        Side::High => (None, Some(y)),
    };
    let touched = std::iter::once((w.a.x, w.a.y, w.a.next)).chain(
        rows.iter()
            .enumerate()
            .take(w.row)
            .skip(w.a.next)
            .map(|(i, row)| match w.touched {
                Side::Low => (row.x, row.lo_right, i + 1),
                Side::High => (row.x, row.hi_left, i + 1),
            }),
    );
    for (x, y, next) in touched {
        if !y.is_finite() {
            continue;
        }
        let (mut low, mut high) = side(y);
        if w.b.0 <= x
            && let Some(b) = exit.take()
        {
            // Only rounding can put the touched boundary beyond the exit here.
            match w.touched {
                Side::Low => high = Some(b.max(y)),
                Side::High => low = Some(b.min(y)),
            }
        }
        stab.feed(x, low, high, next).ok()?;
    }
    if let Some(b) = exit {
        let (low, high) = match w.touched {
            Side::Low => (None, Some(b)),
            Side::High => (Some(b), None),
        };
        stab.feed(w.b.0, low, high, w.row).ok()?;
    }
    Some(())
}

/// Where a line that is inside the boundary at `x0` crosses it on the way to `x1`.
fn exit_point(line: &Line, x0: f64, y0: f64, x1: f64, y1: f64) -> (f64, f64) {
    let (d0, d1) = (line.at(x0) - y0, line.at(x1) - y1);
    let t = if d0 == 0.0 {
        0.0
    } else if (d0 > 0.0) == (d1 > 0.0) {
        // Not crossed on the slope: the exit is through a vertical step at x1.
        1.0
    } else {
        (d0 / (d0 - d1)).clamp(0.0, 1.0)
    };
    let x = if t >= 1.0 { x1 } else { x0 + (x1 - x0) * t };
    (x, y0 + (y1 - y0) * t)
}

/// The constant map at `level`, which is the upper boundary's start, until it leaves the tube.
fn flat_start(rows: &[TubeRow], level: f64) -> Option<Window> {
    let row = rows.partition_point(|row| row.lo_right <= level);
    let (first, after) = (rows.first()?, rows.get(row)?);
    let before = rows.get(row.checked_sub(1)?)?;
    let a = Corner {
        x: first.x,
        y: level,
        next: 1,
    };
    let x = if after.lo_left <= level {
        after.x
    } else {
        before.x
            + (after.x - before.x) * ((level - before.lo_right) / (after.lo_left - before.lo_right))
    };
    Some(Window {
        line: Line {
            left: a,
            right: Corner {
                x: after.x,
                y: level,
                next: row + 1,
            },
        },
        touched: Side::High,
        a,
        b: (x, level),
        row,
    })
}

/// The first place where a boundary is at or above `level`.
fn where_reached(rows: &[TubeRow], level: f64, of: impl Fn(&TubeRow) -> (f64, f64)) -> f64 {
    let mut before: Option<(f64, f64)> = None;
    for row in rows {
        let (arrives, leaves) = of(row);
        if arrives >= level {
            return match before {
                Some((x, y)) if y < level => x + (row.x - x) * ((level - y) / (arrives - y)),
                Some((x, _)) => x,
                None => row.x,
            };
        }
        if leaves >= level {
            return row.x;
        }
        before = Some((row.x, leaves));
    }
    rows.last().map_or(1.0, |row| row.x)
}

/// A line well inside the set that reached the end.
fn last_line(stab: &Stab) -> Option<Line> {
    match (stab.highest(), stab.lowest()) {
        (Some(high), Some(low)) if low.slope() >= 0.0 => {
            let left = high.left.x.min(low.left.x);
            let right = high.right.x.max(low.right.x);
            let middle = |x: f64| Corner {
                x,
                y: 0.5 * (high.at(x) + low.at(x)),
                next: 0,
            };
            Some(Line {
                left: middle(left),
                right: middle(right),
            })
        }
        (Some(line), _) | (None, Some(line)) => Some(line),
        (None, None) => None,
    }
}

/// Intersections of consecutive links, with the ends.
fn vertices(
    windows: &[Window],
    end: &Line,
    start: Tip,
    first: TubeRow,
    last: TubeRow,
    flat_after: Option<(f64, f64)>,
) -> Vec<(f64, f64)> {
    let mut found: Vec<(f64, f64)> = Vec::with_capacity(windows.len() + 2);
    let lines: Vec<&Line> = windows.iter().map(|w| &w.line).chain([end]).collect();
    if start == Tip::AtEdge {
        let y = lines.first().map_or(0.0, |line| line.at(first.x));
        found.push((first.x, y.max(first.lo_right).min(first.hi_left)));
    }
    for (w, pair) in windows.iter().zip(lines.windows(2)) {
        if let [line, next] = pair {
            let x = intersection(line, next, w.a.x, w.b.0);
            found.push((x, line.at(x)));
        }
    }
    let end_vertex = match flat_after {
        None => {
            let y = end.at(last.x);
            (last.x, y.max(last.lo_right).min(last.hi_left))
        }
        Some((x, level)) => {
            let slope = end.slope();
            let meets = if slope > 0.0 {
                end.left.x + (level - end.left.y) / slope
            } else {
                last.x
            };
            let x = meets.clamp(x, last.x);
            (x, level)
        }
    };
    found.push(end_vertex);
    restore_monotone(found)
}

/// Where two lines meet, known to be between `a` and `b`.
fn intersection(line: &Line, next: &Line, a: f64, b: f64) -> f64 {
    let (da, db) = (next.at(a) - line.at(a), next.at(b) - line.at(b));
    if (da > 0.0) != (db > 0.0) && da != db {
        (a + (b - a) * (da / (da - db))).clamp(a, b)
    } else if da.abs() <= db.abs() {
        a
    } else {
        b
    }
}

/// Removes what rounding may leave: outputs out of order, inputs that coincide.
pub(crate) fn restore_monotone(vertices: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    let mut kept: Vec<(f64, f64)> = Vec::with_capacity(vertices.len());
    let count = vertices.len();
    for (index, (x, y)) in vertices.into_iter().enumerate() {
        let y = y.clamp(0.0, 1.0).max(kept.last().map_or(0.0, |v| v.1));
        while kept.len() > 1 && kept.last().is_some_and(|v| v.0 >= x) && index + 1 == count {
            kept.pop();
        }
        if kept.last().is_none_or(|v| v.0 < x) {
            kept.push((x, y));
        }
    }
    // The end's output rules: nothing before it may lie above.
    if let Some(&(_, top)) = kept.last() {
        for v in &mut kept {
            v.1 = v.1.min(top);
        }
    }
    kept
}
