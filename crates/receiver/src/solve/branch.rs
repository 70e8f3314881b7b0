//! Branch and bound over curves with a few parameters (A. H. Land and A. G. Doig, Econometrica 28,
//! 1960): a box of parameters is given up when no curve in it can come nearer to the ideal map than the
//! best one found, so what remains is a proof.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use super::ideal::{Ideal, Row};

/// Curves that are told from one another by `D` parameters in a box.
pub(crate) trait Family<const D: usize> {
    /// The box of all curves.
    fn all(&self) -> Box<D>;

    /// One curve: its output at a reading.
    fn curve(&self, at: &[f64; D]) -> impl Fn(f64) -> f64;

    /// Points of one curve, spread over its outputs: where it is steep, fixed readings see little of it.
    fn points(&self, at: &[f64; D]) -> impl Iterator<Item = (f64, f64)>;

    /// The least and the greatest output of any curve of a box at a reading; may be wider.
    fn range(&self, of: &Box<D>) -> impl Fn(f64) -> (f64, f64);
}

/// Least and greatest value of each parameter.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Box<const D: usize> {
    pub(crate) low: [f64; D],
    pub(crate) high: [f64; D],
}

impl<const D: usize> Box<D> {
    fn middle(&self) -> [f64; D] {
        std::array::from_fn(|k| 0.5 * (self.low[k] + self.high[k]))
    }

    fn halves(&self, along: usize) -> [Self; 2] {
        let middle = 0.5 * (self.low[along] + self.high[along]);
        let (mut lower, mut upper) = (*self, *self);
        lower.high[along] = middle;
        upper.low[along] = middle;
        [lower, upper]
    }
}

/// A curve, its worst error over the readings sampled at, and an error that no curve of the family goes
/// below.
pub(crate) struct BoundedOptimum<const D: usize> {
    pub(crate) at: [f64; D],
    error: f64,
    pub(crate) lower_bound: f64,
}

/// The search ends when the bound is this near to the best curve, fraction of full scale …
const CLOSE: f64 = 5e-4;
/// … or after this many boxes.
const MOST_BOXES: usize = 60_000;
/// Free parameters up to which that many boxes close the search as a rule.
const MOST_CLOSED: usize = 6;
/// Times that readings may join the ones sampled at.
const MOST_ROUNDS: usize = 12;
/// Even readings, and as many outputs, at which a curve found is sampled at.
const DENSE: u32 = 2048;
/// Readings at which errors are sampled at while searching.
const READINGS: usize = 129;
/// Steps between the points of its own at which a curve is judged as well.
pub(super) const OWN_POINTS: u32 = 48;
/// Even outputs of the ideal map whose readings join them.
const OUTPUTS: u32 = 64;
/// Of these, the ones with which a box is judged.
const EVERY: usize = 4;

/// An ideal map at the readings sampled at.
struct SampledIdeal {
    rows: Vec<Row>,
}

impl SampledIdeal {
    fn new(ideal: &Ideal, bends: &[f64]) -> Self {
        let last = (READINGS - 1) as f64;
        // Denser near both ends, where powers and Béziers bend most.
        let even = (0..READINGS).map(|index| {
            let part = index as f64 / last;
            ideal.row(part * part * (3.0 - 2.0 * part))
        });
        // Where the ideal map is steep, even readings see little of it.
        let outputs = (1..OUTPUTS).map(|step| ideal.reaching(f64::from(step) / f64::from(OUTPUTS)));
        let bends = bends.iter().map(|x| ideal.row(*x));
        Self {
            rows: even.chain(outputs).chain(bends).collect(),
        }
    }

    /// Adds the rows between those sampled at where a curve's error has a peak above the one known, and
    /// says whether there were any.
    fn join_peaks(&mut self, ideal: &Ideal, known: f64, value: impl Fn(f64) -> f64) -> bool {
        let even = |step: u32| f64::from(step) / f64::from(DENSE);
        // A curve may rise through all outputs between two even readings.
        let steep = (1..DENSE).map(|step| first_reaching(&value, even(step)));
        let mut readings: Vec<f64> = (0..=DENSE).map(even).chain(steep).collect();
        readings.sort_by(f64::total_cmp);
        let errors: Vec<(Row, f64)> = readings
            .into_iter()
            .map(|x| ideal.row(x))
            .map(|row| (row, row.error(value(row.x))))
            .collect();
        let enough = known + 0.2 * CLOSE;
        let before = self.rows.len();
        for (index, (row, error)) in errors.iter().enumerate() {
            let left = index.checked_sub(1).map_or(0.0, |i| errors[i].1);
            let right = errors.get(index + 1).map_or(0.0, |after| after.1);
            if *error > enough && *error > left && *error >= right {
                self.rows.push(*row);
            }
        }
        self.rows.len() > before
    }

    /// An error that every curve whose outputs lie in a range makes at least, or `enough` as soon as
    /// it is that large.
    fn least_error(&self, range: impl Fn(f64) -> (f64, f64), enough: f64) -> f64 {
        let mut largest = 0.0_f64;
        for offset in (0..EVERY).rev() {
            for row in self.rows.iter().skip(offset).step_by(EVERY) {
                let (low, high) = range(row.x);
                // The error counts against the whole of a vertical step.
                largest = largest.max(low - row.least).max(row.most - high);
                if largest >= enough {
                    return largest;
                }
            }
        }
        largest
    }
}

/// The reading from which a curve that does not fall is at an output or above.
fn first_reaching(value: impl Fn(f64) -> f64, output: f64) -> f64 {
    let (mut below, mut above) = (0.0, 1.0);
    for _ in 0..40 {
        let middle = 0.5 * (below + above);
        if value(middle) < output {
            below = middle;
        } else {
            above = middle;
        }
    }
    above
}

struct Node<const D: usize> {
    bound: f64,
    part: Box<D>,
}

impl<const D: usize> PartialEq for Node<D> {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl<const D: usize> Eq for Node<D> {}

impl<const D: usize> PartialOrd for Node<D> {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl<const D: usize> Ord for Node<D> {
    fn cmp(&self, other: &Self) -> Ordering {
        // The heap gives the greatest first: that with the least bound.
        other.bound.total_cmp(&self.bound)
    }
}

/// The curve of a family that comes nearest to an ideal map; `bends` are readings at which the ideal map
/// turns a corner, where errors are largest.
pub(crate) fn best<const D: usize>(
    family: &impl Family<D>,
    ideal: &Ideal,
    bends: &[f64],
) -> BoundedOptimum<D> {
    let mut sampled = SampledIdeal::new(ideal, bends);
    let mut found = search(family, &sampled, ideal, family.all().middle());
    for _ in 0..MOST_ROUNDS {
        // An error may hide between the readings sampled at: look there as well, and search again.
        if !sampled.join_peaks(ideal, found.error, family.curve(&found.at)) {
            break;
        }
        let from = settled(family, &mut sampled, ideal, found.at);
        let again = search(family, &sampled, ideal, from);
        found = BoundedOptimum {
            lower_bound: again.lower_bound.max(found.lower_bound),
            ..again
        };
    }
    found
}

/// Walks downhill and looks where errors hide, in turn, which costs little beside a search.
fn settled<const D: usize>(
    family: &impl Family<D>,
    sampled: &mut SampledIdeal,
    ideal: &Ideal,
    mut at: [f64; D],
) -> [f64; D] {
    let all = family.all();
    for _ in 0..MOST_ROUNDS {
        let error;
        (at, error) = climbed(at, &all, &|at| worst(family, sampled, ideal, at).1);
        if !sampled.join_peaks(ideal, error, family.curve(&at)) {
            break;
        }
    }
    at
}

/// Where a curve errs most among the readings sampled at and its own points, and by how much.
fn worst<const D: usize>(
    family: &impl Family<D>,
    sampled: &SampledIdeal,
    ideal: &Ideal,
    at: &[f64; D],
) -> (f64, f64) {
    let own = family.points(at);
    let own = own.map(|(x, y)| (x, ideal.row(x).error(y)));
    let rows = sampled.rows.iter();
    let curve = family.curve(at);
    let rows = rows.map(|row| (row.x, row.error(curve(row.x))));
    rows.chain(own).fold(
        (0.0, 0.0),
        |held, here| {
            if here.1 > held.1 { here } else { held }
        },
    )
}

fn search<const D: usize>(
    family: &impl Family<D>,
    sampled: &SampledIdeal,
    ideal: &Ideal,
    from: [f64; D],
) -> BoundedOptimum<D> {
    let all = family.all();
    let judge = |at: &[f64; D]| worst(family, sampled, ideal, at).1;
    let (mut at, mut error) = climbed(from, &all, &judge);
    let mut open = BinaryHeap::from([Node {
        bound: 0.0,
        part: all,
    }]);
    let mut proven = error;
    // Boxes of many dimensions say little: the bound is weak then, and costs less.
    let free = (0..D).filter(|k| all.high[*k] > all.low[*k]).count();
    let most_boxes = if free > MOST_CLOSED {
        MOST_BOXES / 10
    } else {
        MOST_BOXES
    };
    for number in 0..most_boxes {
        let Some(node) = open.pop() else { break };
        proven = node.bound;
        if error - proven <= CLOSE {
            break;
        }
        let middle = node.part.middle();
        let (decisive, found) = worst(family, sampled, ideal, &middle);
        // Good boxes early on are worth a climb of their own.
        if found < error || number < 64 {
            let (better, height) = climbed(middle, &all, &judge);
            if height < error {
                (at, error) = (better, height);
            }
        }
        let along = widest(family, &node.part, &all, decisive);
        for part in node.part.halves(along) {
            let range = family.range(&part);
            let mut bound = sampled.least_error(&range, error).max(node.bound);
            if bound < error - CLOSE {
                // Errors that every curve of the box makes may lie between the readings sampled at.
                let middle = part.middle();
                let own = family.points(&middle).map(|(x, _)| {
                    let (low, high) = range(x);
                    let row = ideal.row(x);
                    (low - row.least).max(row.most - high)
                });
                bound = own.fold(bound, f64::max);
            }
            if bound < error - CLOSE {
                open.push(Node { bound, part });
            }
        }
    }
    if open.is_empty() {
        proven = error;
    }
    BoundedOptimum {
        at,
        error,
        // Boxes were given up where nothing better than this by `CLOSE` could be in them.
        lower_bound: proven.min(error - CLOSE).max(0.0),
    }
}

/// The parameter that makes the output at a reading differ most over a box.
fn widest<const D: usize>(
    family: &impl Family<D>,
    part: &Box<D>,
    all: &Box<D>,
    reading: f64,
) -> usize {
    let middle = part.middle();
    let spread = |k: usize| {
        let (mut low, mut high) = (middle, middle);
        low[k] = part.low[k];
        high[k] = part.high[k];
        let difference = (family.curve(&low)(reading) - family.curve(&high)(reading)).abs();
        let whole = (part.high[k] - part.low[k]) / (all.high[k] - all.low[k]).max(1e-300);
        difference.max(1e-6 * whole)
    };
    (0..D)
        .max_by(|a, b| spread(*a).total_cmp(&spread(*b)))
        .unwrap_or(0)
}

/// Walks downhill along the axes and their diagonals with a shrinking stride (R. Hooke and
/// T. A. Jeeves, J. ACM 8, 1961).
fn climbed<const D: usize>(
    from: [f64; D],
    all: &Box<D>,
    judge: &impl Fn(&[f64; D]) -> f64,
) -> ([f64; D], f64) {
    let mut at = from;
    let mut error = judge(&at);
    let mut stride = 0.1;
    while stride > 1e-7 {
        let mut moved = false;
        let mut attempt = |at: &mut [f64; D], error: &mut f64, direction: &[f64; D]| {
            let tried: [f64; D] = std::array::from_fn(|k| {
                let width = all.high[k] - all.low[k];
                (at[k] + stride * width * direction[k]).clamp(all.low[k], all.high[k])
            });
            let found = judge(&tried);
            if found < *error {
                (*at, *error) = (tried, found);
                moved = true;
            }
        };
        let free = |k: usize| all.high[k] > all.low[k];
        for a in (0..D).filter(|a| free(*a)) {
            for sign in [1.0, -1.0] {
                let mut direction = [0.0; D];
                direction[a] = sign;
                attempt(&mut at, &mut error, &direction);
                for b in (a + 1..D).filter(|b| free(*b)) {
                    for other in [1.0, -1.0] {
                        direction = [0.0; D];
                        direction[a] = sign;
                        direction[b] = other;
                        attempt(&mut at, &mut error, &direction);
                    }
                }
            }
        }
        if !moved {
            stride *= 0.5;
        }
    }
    (at, error)
}
