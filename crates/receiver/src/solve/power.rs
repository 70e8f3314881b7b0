//! A power of the reading between a floor and a ceiling.

use super::branch::{BoundedOptimum, Box, Family, OWN_POINTS, best};
use super::ideal::Ideal;
use crate::check::LEAST_WIDTH;

/// Exponents are sought as logarithms between a sixteenth and sixteen.
const MOST_EXPONENT: f64 = 16.0;

/// Exponent, floor and ceiling with the least worst error.
pub(crate) struct PowerFound {
    pub(crate) exponent: f64,
    pub(crate) floor: f64,
    pub(crate) ceiling: f64,
    pub(crate) lower_bound: f64,
}

pub(crate) fn solve(ideal: &Ideal, bends: &[f64]) -> PowerFound {
    let BoundedOptimum {
        at, lower_bound, ..
    } = best(&Powers, ideal, bends);
    let (exponent, floor, ceiling) = natural(&at);
    PowerFound {
        exponent,
        floor,
        ceiling,
        lower_bound,
    }
}

/// Parameters: logarithm of the exponent, floor, and the part of the way from the least ceiling to 1.
struct Powers;

fn natural(at: &[f64; 3]) -> (f64, f64, f64) {
    let least = at[1] + LEAST_WIDTH;
    (at[0].exp(), at[1], least + at[2] * (1.0 - least))
}

impl Family<3> for Powers {
    fn all(&self) -> Box<3> {
        let steepest = MOST_EXPONENT.ln();
        Box {
            low: [-steepest, 0.0, 0.0],
            high: [steepest, 1.0 - LEAST_WIDTH, 1.0],
        }
    }

    fn curve(&self, at: &[f64; 3]) -> impl Fn(f64) -> f64 {
        let (exponent, floor, ceiling) = natural(at);
        move |x| {
            ((x - floor) / (ceiling - floor))
                .clamp(0.0, 1.0)
                .powf(exponent)
        }
    }

    fn points(&self, at: &[f64; 3]) -> impl Iterator<Item = (f64, f64)> {
        let (exponent, floor, ceiling) = natural(at);
        (0..=OWN_POINTS).map(move |step| {
            let output = f64::from(step) / f64::from(OWN_POINTS);
            (
                floor + (ceiling - floor) * output.powf(1.0 / exponent),
                output,
            )
        })
    }

    /// Every output falls as exponent, floor or ceiling grow, and the ceiling grows with both of the
    /// parameters it is told by.
    fn range(&self, of: &Box<3>) -> impl Fn(f64) -> (f64, f64) {
        let (lowest, highest) = (self.curve(&of.high), self.curve(&of.low));
        move |x| (lowest(x), highest(x))
    }
}
