//! Integrals of smooth functions.

/// Nodes and weights of Gauss and Legendre's rule on −1..1, positive half, by Newton's method on the
/// polynomial's recurrence.
fn nodes(count: u32) -> Vec<(f64, f64)> {
    let n = f64::from(count);
    (0..count)
        .map(|index| {
            let mut x = (std::f64::consts::PI * (f64::from(index) + 0.75) / (n + 0.5)).cos();
            let mut slope = 1.0;
            for _ in 0..100 {
                let (mut before, mut here) = (1.0, x);
                for degree in 2..=count {
                    let k = f64::from(degree);
                    let next = ((2.0 * k - 1.0) * x * here - (k - 1.0) * before) / k;
                    (before, here) = (here, next);
                }
                slope = n * (x * here - before) / (x * x - 1.0);
                let step = here / slope;
                x -= step;
                if step.abs() < 1e-15 {
                    break;
                }
            }
            (x, 2.0 / ((1.0 - x * x) * slope * slope))
        })
        .collect()
}

/// Nodes of the rule in every piece.
const NODES: u32 = 24;

/// Places and weights with which a smooth function is integrated over an interval cut into even pieces.
pub(crate) fn places(from: f64, to: f64, pieces: u32) -> Vec<(f64, f64)> {
    let rule = nodes(NODES);
    let width = (to - from) / f64::from(pieces);
    (0..pieces)
        .flat_map(|piece| {
            let middle = from + width * (f64::from(piece) + 0.5);
            rule.iter()
                .map(move |(x, weight)| (middle + 0.5 * width * x, 0.5 * width * weight))
                .collect::<Vec<_>>()
        })
        .collect()
}

/// Roots are as near as this part of them.
const ROUNDING: f64 = 1e-14;

/// Where a rising function reaches 0, between two places that enclose it.
pub(crate) fn root(mut low: f64, mut high: f64, function: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..200 {
        let middle = f64::midpoint(low, high);
        if high - low <= ROUNDING * middle.abs() || middle <= low || middle >= high {
            break;
        }
        if function(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn integrals_of_known_value() {
        let integral = |from: f64, to: f64, pieces: u32, function: fn(f64) -> f64| -> f64 {
            let places = places(from, to, pieces);
            places.iter().map(|(x, weight)| weight * function(*x)).sum()
        };
        assert!((integral(0.0, 1.0, 1, f64::exp) - (1.0_f64.exp() - 1.0)).abs() < 1e-14);
        let found = integral(-9.0, 9.0, 6, |x| (-0.5 * x * x).exp());
        assert!(
            (found - std::f64::consts::TAU.sqrt()).abs() < 1e-12,
            "{found}"
        );
    }
}
