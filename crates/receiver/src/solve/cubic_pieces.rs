//! A worst error below which no curve made of a number of cubics gets.
//!
//! The curves may be any cubics at all, not joined to one another, so the bound holds for every spline
//! whose pieces are cubics of the reading. That a cubic cannot follow a run of readings within an error
//! is proven by five of them: the error of any cubic there is at least what the divided differences of
//! C. J. de la Vallée Poussin (1910) give, however the five were found. A run that cannot be followed
//! makes every longer one impossible, so taking the longest possible runs one by one counts the pieces.

use super::ideal::{Ideal, Row};

/// Even readings, and even outputs, that are looked at beside the bends.
const EVEN: u32 = 192;
/// Readings that prove a cubic wrong: one more than it has coefficients.
const REFERENCE: usize = 5;
/// Exchanges of the five for worse ones.
const MOST_EXCHANGES: usize = 12;
/// Halvings of the error.
const HALVINGS: usize = 24;
/// What floating point may add to a proof.
const MARGIN: f64 = 1e-9;

/// An error that every curve of at most `pieces` cubics makes at least.
pub(crate) fn lower_bound(ideal: &Ideal, bends: &[f64], pieces: usize) -> f64 {
    let even = (0..=EVEN).map(|step| f64::from(step) / f64::from(EVEN));
    let steep = even.clone().map(|output| ideal.reaching(output));
    let looked = even.chain(bends.iter().copied()).map(|x| ideal.row(x));
    let mut rows: Vec<Row> = looked.chain(steep).collect();
    rows.sort_by(|a, b| a.x.total_cmp(&b.x));
    rows.dedup_by(|a, b| a.x - b.x < 1e-9);
    // No output is right at both ends of a vertical step.
    let steps = rows.iter().map(|row| 0.5 * (row.most - row.least));
    let (mut proven, mut open) = (steps.fold(0.0, f64::max), 1.0);
    for _ in 0..HALVINGS {
        let error = 0.5 * (proven + open);
        if needs_more(&rows, pieces, error) {
            proven = error;
        } else {
            open = error;
        }
    }
    (proven - MARGIN).max(0.0)
}

/// Whether more pieces than these are needed to stay within an error.
fn needs_more(rows: &[Row], pieces: usize, error: f64) -> bool {
    let mut begin = 0;
    for _ in 0..pieces {
        // The run from `begin` up to and without `impossible` is not proven wrong.
        let mut possible = begin;
        let mut impossible = rows.len() + 1;
        let mut stride = 8;
        while impossible - possible > 1 {
            let end = if impossible > rows.len() {
                (possible + stride).min(rows.len())
            } else {
                possible + (impossible - possible) / 2
            };
            if least_error(&rows[begin..end], error) > error {
                impossible = end;
            } else if end == rows.len() {
                return false;
            } else {
                possible = end;
                stride *= 2;
            }
        }
        // Row `impossible − 1` belongs to another piece.
        begin = impossible - 1;
    }
    begin < rows.len()
}

/// An error that every cubic makes at least over some rows; the search for it ends at `enough`.
fn least_error(rows: &[Row], enough: f64) -> f64 {
    if rows.len() < REFERENCE {
        return 0.0;
    }
    let last = rows.len() - 1;
    // The extrema of a Chebyshev polynomial, where the error of the best cubic would peak.
    let angle = |k: usize| std::f64::consts::PI * k as f64 / (REFERENCE - 1) as f64;
    let (from, to) = (rows[0].x, rows[last].x);
    let mut reference = [0; REFERENCE];
    for (k, at) in reference.iter_mut().enumerate() {
        let x = from + (to - from) * 0.5 * (1.0 - angle(k).cos());
        *at = rows.partition_point(|row| row.x < x).min(last);
    }
    for k in 1..REFERENCE {
        reference[k] = reference[k].max(reference[k - 1] + 1);
    }
    for k in (0..REFERENCE).rev() {
        reference[k] = reference[k].min(last - (REFERENCE - 1 - k));
    }
    let mut largest = 0.0_f64;
    for _ in 0..MOST_EXCHANGES {
        let cubic = EquioscillatingCubic::new(rows, &reference);
        if cubic.error <= largest {
            break;
        }
        largest = cubic.error;
        if largest > enough || !cubic.exchange(rows, &mut reference) {
            break;
        }
    }
    largest
}

/// The cubic whose errors at the five are equal in size and alternate in sign.
struct EquioscillatingCubic {
    /// That size: no cubic does better at all five.
    error: f64,
    /// Whether the first error is above the ideal map.
    first_above: bool,
    /// Nodes and outputs of the cubic, by the first four.
    nodes: [(f64, f64); 4],
}

impl EquioscillatingCubic {
    fn new(rows: &[Row], reference: &[usize; REFERENCE]) -> Self {
        let x = reference.map(|at| rows[at].x);
        // Weights of the divided difference of order four; they alternate in sign.
        let weight: [f64; REFERENCE] = std::array::from_fn(|i| {
            let product: f64 = (0..REFERENCE)
                .filter(|j| *j != i)
                .map(|j| x[i] - x[j])
                .product();
            1.0 / product
        });
        let total: f64 = weight.iter().map(|w| w.abs()).sum();
        // The output is wrong by the whole of a vertical step.
        let difference = |first_above: bool| -> f64 {
            (0..REFERENCE)
                .map(|i| weight[i] * wrong_end(&rows[reference[i]], (i % 2 == 0) == first_above))
                .sum()
        };
        // With errors +e, −e, … from the first on, Σ w·(f + error) = 0; the first weight is positive.
        let (above, below) = (-difference(true) / total, difference(false) / total);
        let first_above = above >= below;
        let error = above.max(below);
        let nodes = std::array::from_fn(|i| {
            let over = (i % 2 == 0) == first_above;
            let f = wrong_end(&rows[reference[i]], over);
            (x[i], if over { f + error } else { f - error })
        });
        Self {
            error,
            first_above,
            nodes,
        }
    }

    fn value(&self, at: f64) -> f64 {
        let mut sum = 0.0;
        for (i, (x, y)) in self.nodes.iter().enumerate() {
            let mut term = *y;
            for (j, (other, _)) in self.nodes.iter().enumerate() {
                if i != j {
                    term *= (at - other) / (x - other);
                }
            }
            sum += term;
        }
        sum
    }

    /// Moves each of the five to where the error of its sign is largest among the readings between its
    /// neighbours; whether any moved.
    fn exchange(&self, rows: &[Row], reference: &mut [usize; REFERENCE]) -> bool {
        let before = *reference;
        let errors: Vec<(f64, f64)> = rows
            .iter()
            .map(|row| {
                let value = self.value(row.x);
                (value - row.least, row.most - value)
            })
            .collect();
        let mut begin = 0;
        for k in 0..REFERENCE {
            let end = if k + 1 < REFERENCE {
                // Half way to the next, as it was.
                (before[k] + before[k + 1]).div_ceil(2)
            } else {
                rows.len()
            };
            let above = (k % 2 == 0) == self.first_above;
            let size = |at: usize| if above { errors[at].0 } else { errors[at].1 };
            let best = (begin..end.max(begin + 1))
                .max_by(|a, b| size(*a).total_cmp(&size(*b)))
                .unwrap_or(before[k]);
            if size(best) > size(before[k]) {
                reference[k] = best;
            }
            begin = reference[k].max(end - 1) + 1;
            begin = begin.min(rows.len() - 1);
        }
        let ordered = reference.windows(2).all(|pair| pair[0] < pair[1]);
        if !ordered {
            *reference = before;
        }
        ordered && *reference != before
    }
}

/// The output that counts against one above, or below, the ideal map.
fn wrong_end(row: &Row, above: bool) -> f64 {
    if above { row.least } else { row.most }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(f: impl Fn(f64) -> f64, count: u32) -> Vec<Row> {
        (0..=count)
            .map(|i| f64::from(i) / f64::from(count))
            .map(|x| Row {
                x,
                least: f(x),
                most: f(x),
            })
            .collect()
    }

    #[test]
    fn a_quartic_is_missed_by_its_chebyshev_polynomial() {
        // The best cubic misses x⁴ on 0..1 by 2^−7 (T. J. Rivlin, The Chebyshev Polynomials, 1974;
        // from memory: 2^(1−n) on −1..1, scaled by the half width to the nth power).
        let found = least_error(&rows(|x| x.powi(4), 4000), 1.0);
        assert!((found - 1.0 / 128.0).abs() < 1e-8, "{found}");
        let found = least_error(&rows(|x| x.powi(3) - 0.3 * x, 500), 1.0);
        assert!(found < 1e-14, "{found}");
    }

    #[test]
    fn pieces_of_a_quartic_shrink_it_by_their_fourth_power() {
        let points: Vec<(f64, f64)> = rows(|x| x.powi(4), 4000)
            .iter()
            .map(|row| (row.x, row.least))
            .collect();
        let ideal = Ideal::from_points(points.into_iter()).unwrap();
        for pieces in 1..=4_u32 {
            let exact = 1.0 / 128.0 / f64::from(pieces).powi(4);
            let found = lower_bound(&ideal, &[], pieces as usize);
            // Readings between the ones looked at are not seen, so the bound lies a little below.
            assert!(
                found <= exact && found > 0.9 * exact - 1e-8,
                "{pieces}: {found} {exact}"
            );
        }
    }
}
