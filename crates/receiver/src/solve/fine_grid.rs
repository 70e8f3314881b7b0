//! Straight links between points of a grid so fine that not all of its points can be looked at.
//!
//! What no map can beat is the least error without a grid. Its vertices are put on the grid, and then moved: each may go
//! to a few places about where it is, and of all combinations of these the best is found by dynamic programming (the
//! worst error of a chain is that of its worst link; R. Bellman, Commun. ACM 4, 1961, 284, for sums of squares). Steps
//! begin wide and end at those of the grid; places follow the vertices until nothing improves.

use super::bisection::Vertices;
use super::gridded::GridRules;
use super::ideal::Ideal;
use super::tube::TubeMaker;
use crate::profile::Ends;

/// Columns to either side of a vertex that are tried, and levels.
const COLUMNS: i64 = 8;
const LEVELS: i64 = 2;
/// Widest steps at first: the grid's inputs and outputs in so many parts. Wide ones go further, narrow ones keep what
/// is good already; both are tried.
const PARTS: [u32; 2] = [128, 1024];
/// Steps across that are tried with single steps of outputs, so often at most.
const ACROSS: [u32; 7] = [1, 3, 9, 27, 81, 243, 1];
const LEAST_PARTS: u32 = 128;
const MOST_ROUNDS: usize = 4;
/// Moves at one width of steps.
const MOST_MOVES: usize = 40;

/// A point of the grid by its steps.
type Place = (i64, i64);

/// Worst error, then the sum of those of all links.
type Cost = (f64, f64);

/// A way to a place.
#[derive(Clone, Copy)]
struct Way {
    place: Place,
    cost: Cost,
    /// The way before, by its position among those of the vertex before.
    from: usize,
}

/// A chain of links with the error of the tube it stays in.
pub(super) struct Chain {
    pub(super) vertices: Vertices,
    pub(super) error: f64,
}

/// The chain that the vertices become; `None` where the grid has no room for so many.
pub(super) fn refined(
    ideal: &Ideal,
    maker: &TubeMaker,
    rules: &GridRules,
    vertices: &[(f64, f64)],
) -> Option<Chain> {
    let grid = Grid {
        ideal,
        maker,
        rules,
    };
    let rounded = grid.rounded(vertices)?;
    let found = PARTS.map(|parts| grid.searched(rounded.clone(), parts));
    let (places, cost) = found.into_iter().min_by(|(_, a), (_, b)| compared(a, b))?;
    let vertices = places.iter().map(|place| grid.point(*place)).collect();
    Some(Chain {
        vertices,
        error: cost.0,
    })
}

struct Grid<'a> {
    ideal: &'a Ideal,
    maker: &'a TubeMaker,
    rules: &'a GridRules,
}

impl Grid<'_> {
    /// The best that is found from these places on with widest steps of so many parts.
    fn searched(&self, mut places: Vec<Place>, parts: u32) -> (Vec<Place>, Cost) {
        let whole = [self.rules.input_steps, self.rules.output_steps];
        let mut best = self.cost(&places);
        let mut improves = |steps: [u32; 2]| {
            let before = best;
            for _ in 0..MOST_MOVES {
                match self.moved(&places, steps.map(i64::from)) {
                    Some((moved, cost)) if cost < best => (places, best) = (moved, cost),
                    _ => break,
                }
            }
            best.0 < before.0
        };
        let mut steps = whole.map(|steps| steps.div_ceil(parts));
        while steps != [1, 1] {
            improves(steps);
            steps = steps.map(|step| step.div_ceil(2));
        }
        // Where the map is steep an output that fits well is found some columns away only.
        let across = ACROSS
            .into_iter()
            .filter(|step| *step <= whole[0] / LEAST_PARTS);
        let across: Vec<u32> = across.collect();
        for _ in 0..MOST_ROUNDS {
            let mut is_better = false;
            for step in &across {
                is_better |= improves([*step, 1]);
            }
            if !is_better {
                break;
            }
        }
        (places, best)
    }

    fn steps(&self) -> (i64, i64) {
        let rules = self.rules;
        (i64::from(rules.input_steps), i64::from(rules.output_steps))
    }

    fn gap(&self) -> i64 {
        i64::from(self.rules.gap_steps.max(1))
    }

    fn point(&self, (column, level): Place) -> (f64, f64) {
        let (columns, levels) = self.steps();
        (column as f64 / columns as f64, level as f64 / levels as f64)
    }

    /// Vertices on the grid, apart as the rules want it.
    fn rounded(&self, vertices: &[(f64, f64)]) -> Option<Vec<Place>> {
        let (columns, levels) = self.steps();
        let gap = self.gap();
        let last = i64::try_from(vertices.len()).ok()? - 1;
        if last * gap > columns {
            return None;
        }
        let mut places: Vec<Place> = Vec::with_capacity(vertices.len());
        let is_free = self.rules.ends == Ends::Free;
        for (index, &(x, y)) in (0..).zip(vertices) {
            let least = places.last().map_or(0, |(column, _)| column + gap);
            // What comes after needs its room too.
            let most = columns - (last - index) * gap;
            let column = match index {
                0 if !is_free => 0,
                _ if index == last && !is_free => columns,
                _ => nearest(x, columns).clamp(least, most),
            };
            let floor = places.last().map_or(0, |(_, level)| *level);
            let along = self.rise(x, column as f64 / columns as f64);
            places.push((column, nearest(y + along, levels).clamp(floor, levels)));
        }
        if self.rules.ends == Ends::Fixed {
            *places.first_mut()? = (0, 0);
            *places.last_mut()? = (columns, levels);
        }
        Some(places)
    }

    /// How much the ideal map rises from one reading to another: a vertex that moves keeps its distance from it.
    fn rise(&self, from: f64, to: f64) -> f64 {
        let at = |x: f64| {
            let (least, most) = self.ideal.band(x);
            f64::midpoint(least, most)
        };
        at(to) - at(from)
    }

    /// The places of vertex `index` that are tried.
    fn tried(&self, places: &[Place], index: usize, [across, up]: [i64; 2]) -> Vec<Place> {
        let (columns, levels) = self.steps();
        let (column, level) = places[index];
        let is_end = index == 0 || index + 1 == places.len();
        if is_end && self.rules.ends == Ends::Fixed {
            return vec![(column, level)];
        }
        let reach = if is_end && self.rules.ends != Ends::Free {
            0
        } else {
            COLUMNS
        };
        let mut found = Vec::new();
        let (x, y) = self.point((column, level));
        for i in -reach..=reach {
            let column = column + i * across;
            if !(0..=columns).contains(&column) {
                continue;
            }
            let along = self.rise(x, column as f64 / columns as f64);
            let level = nearest(y + along, levels);
            let tried = (-LEVELS..=LEVELS).map(|j| level + j * up);
            let inside = tried.filter(|level| (0..=levels).contains(level));
            found.extend(inside.map(|level| (column, level)));
        }
        found
    }

    /// The best of all combinations of places about the present ones.
    fn moved(&self, places: &[Place], steps: [i64; 2]) -> Option<(Vec<Place>, Cost)> {
        let mut layers: Vec<Vec<Way>> = Vec::with_capacity(places.len());
        let start = |place: Place| {
            let error = self.level_before(place);
            Way {
                place,
                cost: (error, error),
                from: 0,
            }
        };
        layers.push(
            self.tried(places, 0, steps)
                .into_iter()
                .map(start)
                .collect(),
        );
        for index in 1..places.len() {
            let before = layers.last()?;
            let tried = self.tried(places, index, steps);
            let next: Vec<Way> = tried
                .into_iter()
                .filter_map(|place| self.best_way(before, place))
                .collect();
            layers.push(next);
        }
        let ends = layers.last()?.iter().enumerate().map(|(at, way)| {
            let error = self.level_after(way.place);
            (at, (way.cost.0.max(error), way.cost.1 + error))
        });
        let (mut at, cost) = ends.min_by(|(_, a), (_, b)| compared(a, b))?;
        let mut found = Vec::with_capacity(places.len());
        for layer in layers.iter().rev() {
            found.push(layer[at].place);
            at = layer[at].from;
        }
        found.reverse();
        Some((found, cost))
    }

    fn best_way(&self, before: &[Way], place: Place) -> Option<Way> {
        let mut best: Option<Way> = None;
        for (from, way) in before.iter().enumerate() {
            if place.0 - way.place.0 < self.gap() || place.1 < way.place.1 {
                continue;
            }
            let most = best.map_or(f64::INFINITY, |best| best.cost.0);
            if way.cost.0 > most {
                continue;
            }
            let error = self.link(way.place, place, most);
            let cost = (way.cost.0.max(error), way.cost.1 + error);
            if best.is_none_or(|best| compared(&cost, &best.cost).is_lt()) {
                best = Some(Way { place, cost, from });
            }
        }
        best
    }

    fn cost(&self, places: &[Place]) -> Cost {
        let (Some(first), Some(last)) = (places.first(), places.last()) else {
            return (f64::INFINITY, f64::INFINITY);
        };
        let links = places
            .windows(2)
            .map(|pair| self.link(pair[0], pair[1], f64::INFINITY));
        let all = links.chain([self.level_before(*first), self.level_after(*last)]);
        all.fold((0.0, 0.0), |(worst, sum): Cost, error| {
            (worst.max(error), sum + error)
        })
    }

    /// Error that the tube needs for a link; more than `enough` is told as some such number.
    fn link(&self, from: Place, to: Place, enough: f64) -> f64 {
        self.maker.needed(self.point(from), self.point(to), enough)
    }

    /// The same for the level stretch before a first vertex, and after a last one.
    fn level_before(&self, first: Place) -> f64 {
        let (x, y) = self.point(first);
        self.maker.needed((0.0, y), (x, y), f64::INFINITY)
    }

    fn level_after(&self, last: Place) -> f64 {
        let (x, y) = self.point(last);
        self.maker.needed((x, y), (1.0, y), f64::INFINITY)
    }
}

fn compared(a: &Cost, b: &Cost) -> std::cmp::Ordering {
    a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
}

fn nearest(part: f64, steps: i64) -> i64 {
    #[expect(clippy::cast_possible_truncation, reason = "0..=steps")]
    let step = (part.clamp(0.0, 1.0) * steps as f64).round() as i64;
    step
}
