//! A shape as free as the data ask for: its slope is the exponential of a spline.
//!
//! With z the force scaled so that onset is 0 and the upper end is 1, the shape is
//! `S(z) = ∫₀ᶻ exp φ / ∫₀¹ exp φ`, where the log-slope φ is the sum of four trends, `ln(1 + z/a)`, `z`,
//! `ln(1 + z/b)` and `ln(1 + (1 − z)/c)`, and of hat functions. S rises by construction (after J. O. Ramsay, "Estimating smooth
//! monotone functions", J. R. Statist. Soc. B 60, 1998, where the slope is an exponential too); with
//! the hats at zero it is a power, a logarithm or an exponential rise, whichever the trends say.

use std::sync::LazyLock;

use crate::coefficients::{COEFFICIENTS, Coefficients, HATS, ShapeAt, TRENDS};

/// The trend that lets a rise begin steeply.
pub(crate) const STEEP_TREND: usize = 0;
/// The trend that lets a rise end flat.
pub(crate) const FLAT_TREND: usize = 3;
/// Cells of the integration grid.
const CELLS: usize = 48;
/// The scales of the logarithmic trends: below this part of the span a rise is straight. The first
/// lets a rise begin as steeply as powers and logarithms do, the second bends it over its length.
const STEEP_SCALE: f64 = 0.003;
const BEND_SCALE: f64 = 0.1;
/// The scale of the mirrored trend: within this part of the span before its end a rise is straight.
const FLAT_SCALE: f64 = 0.01;
/// Hats are spaced as powers of even steps, dense near the onset, where responses bend most; cells are dense near
/// the end too.
const CELL_POWER: f64 = 2.8;
const CELL_END_POWER: f64 = 1.6;
const HAT_POWER: f64 = 2.2;
/// Log-slopes beyond this are held: `exp` must stay finite whatever a solver tries.
const LOG_SLOPE_LIMIT: f64 = 30.0;

/// Where the integration cells lie and what every basis function is there.
struct Grid {
    nodes: [f64; CELLS + 1],
    at_nodes: [Coefficients; CELLS + 1],
    at_middles: [Coefficients; CELLS],
}

static GRID: LazyLock<Grid> = LazyLock::new(|| {
    let mut nodes = [0.0; CELLS + 1];
    for (index, node) in nodes.iter_mut().enumerate() {
        let even = index as f64 / CELLS as f64;
        let (low, high) = (even.powf(CELL_POWER), (1.0 - even).powf(CELL_END_POWER));
        *node = low / (low + high);
    }
    let mut at_nodes = [[0.0; COEFFICIENTS]; CELLS + 1];
    let mut at_middles = [[0.0; COEFFICIENTS]; CELLS];
    for index in 0..=CELLS {
        at_nodes[index] = basis(nodes[index]);
        if index < CELLS {
            at_middles[index] = basis(0.5 * (nodes[index] + nodes[index + 1]));
        }
    }
    Grid {
        nodes,
        at_nodes,
        at_middles,
    }
});

/// Every basis function at z in 0..1.
fn basis(z: f64) -> Coefficients {
    let mut values = [0.0; COEFFICIENTS];
    let logarithm = |scale: f64| (1.0 + z / scale).ln() - 0.5 * (1.0 + 1.0 / scale).ln();
    values[STEEP_TREND] = logarithm(STEEP_SCALE);
    values[1] = z - 0.5;
    values[2] = logarithm(BEND_SCALE);
    values[FLAT_TREND] = ((1.0 - z) / FLAT_SCALE).ln_1p() - 0.5 * (1.0 / FLAT_SCALE).ln_1p();
    let position = z.clamp(0.0, 1.0).powf(1.0 / HAT_POWER) * (HATS - 1) as f64;
    for hat in 0..HATS {
        values[TRENDS + hat] = (1.0 - (position - hat as f64).abs()).max(0.0);
    }
    values
}

/// A shape with its integrals, ready to be evaluated.
#[derive(Clone)]
pub(crate) struct SplineShape {
    slopes: [f64; CELLS + 1],
    middle_slopes: [f64; CELLS],
    rises: [f64; CELLS + 1],
}

/// The derivatives of a shape in its coefficients; apart, because trial steps need values only.
pub(crate) struct SplineGradients<'a> {
    shape: &'a SplineShape,
    rises: [Coefficients; CELLS + 1],
    /// Slope-weighted mean of the basis over 0..1, which normalising takes away.
    mean: Coefficients,
}

impl SplineShape {
    pub(crate) fn new(coefficients: &Coefficients) -> Self {
        let grid = &*GRID;
        let density = |basis: &Coefficients| {
            let log: f64 = basis.iter().zip(coefficients).map(|(b, c)| b * c).sum();
            log.clamp(-LOG_SLOPE_LIMIT, LOG_SLOPE_LIMIT).exp()
        };
        let mut shape = Self {
            slopes: [0.0; CELLS + 1],
            middle_slopes: [0.0; CELLS],
            rises: [0.0; CELLS + 1],
        };
        shape.slopes[0] = density(&grid.at_nodes[0]);
        for cell in 0..CELLS {
            let left = shape.slopes[cell];
            let middle = density(&grid.at_middles[cell]);
            let right = density(&grid.at_nodes[cell + 1]);
            shape.middle_slopes[cell] = middle;
            shape.slopes[cell + 1] = right;
            // Simpson's rule, exact for cubics.
            let sixth = (grid.nodes[cell + 1] - grid.nodes[cell]) / 6.0;
            shape.rises[cell + 1] = shape.rises[cell] + sixth * (left + 4.0 * middle + right);
        }
        // Normalise so that the rise over 0..1 is 1.
        let total = shape.rises[CELLS];
        for value in shape
            .slopes
            .iter_mut()
            .chain(&mut shape.middle_slopes)
            .chain(&mut shape.rises)
        {
            *value /= total;
        }
        shape
    }

    pub(crate) fn gradients(&self) -> SplineGradients<'_> {
        let grid = &*GRID;
        let mut rises = [[0.0; COEFFICIENTS]; CELLS + 1];
        for cell in 0..CELLS {
            let sixth = (grid.nodes[cell + 1] - grid.nodes[cell]) / 6.0;
            let left = sixth * self.slopes[cell];
            let middle = 4.0 * sixth * self.middle_slopes[cell];
            let right = sixth * self.slopes[cell + 1];
            rises[cell + 1] = std::array::from_fn(|k| {
                rises[cell][k]
                    + left * grid.at_nodes[cell][k]
                    + middle * grid.at_middles[cell][k]
                    + right * grid.at_nodes[cell + 1][k]
            });
        }
        let mean = rises[CELLS];
        for (node, gradient) in rises.iter_mut().enumerate() {
            for (value, total) in gradient.iter_mut().zip(&mean) {
                *value -= self.rises[node] * total;
            }
        }
        SplineGradients {
            shape: self,
            rises,
            mean,
        }
    }

    /// The part of the cell grid that holds z, with the cubic Hermite weights there.
    fn place(z: f64) -> (usize, f64, f64) {
        let nodes = &GRID.nodes;
        let cell = nodes[1..CELLS].partition_point(|node| *node <= z);
        let width = nodes[cell + 1] - nodes[cell];
        (cell, (z - nodes[cell]) / width, width)
    }

    /// Value alone.
    pub(crate) fn value(&self, z: f64) -> f64 {
        if z < 0.0 {
            return self.slopes[0] * z;
        }
        if z > 1.0 {
            return 1.0 + self.slopes[CELLS] * (z - 1.0);
        }
        let (cell, u, width) = Self::place(z);
        let [h00, h10, h01, h11] = hermite(u);
        h00 * self.rises[cell]
            + h10 * self.slopes[cell] * width
            + h01 * self.rises[cell + 1]
            + h11 * self.slopes[cell + 1] * width
    }
}

impl SplineGradients<'_> {
    /// Value, slope in z and gradient in the coefficients; straight on beyond both ends.
    pub(crate) fn at(&self, z: f64) -> ShapeAt {
        let shape = self.shape;
        // d(slope)/d(coefficient) = slope · (basis − mean basis).
        let bend =
            |node: usize, k: usize| shape.slopes[node] * (GRID.at_nodes[node][k] - self.mean[k]);
        if !(0.0..=1.0).contains(&z) {
            let (node, from, at) = if z < 0.0 {
                (0, 0.0, z)
            } else {
                (CELLS, 1.0, z - 1.0)
            };
            let slope = shape.slopes[node];
            return ShapeAt {
                value: from + slope * at,
                slope,
                gradient: std::array::from_fn(|k| bend(node, k) * at),
            };
        }
        let (cell, u, width) = SplineShape::place(z);
        let [h00, h10, h01, h11] = hermite(u);
        let [d00, d10, d01, d11] = hermite_slope(u);
        let (y0, y1) = (shape.rises[cell], shape.rises[cell + 1]);
        let (m0, m1) = (shape.slopes[cell] * width, shape.slopes[cell + 1] * width);
        ShapeAt {
            value: h00 * y0 + h10 * m0 + h01 * y1 + h11 * m1,
            slope: (d00 * y0 + d10 * m0 + d01 * y1 + d11 * m1) / width,
            gradient: std::array::from_fn(|k| {
                h00 * self.rises[cell][k]
                    + h01 * self.rises[cell + 1][k]
                    + width * (h10 * bend(cell, k) + h11 * bend(cell + 1, k))
            }),
        }
    }
}

fn hermite(u: f64) -> [f64; 4] {
    let v = 1.0 - u;
    [
        v * v * (1.0 + 2.0 * u),
        u * v * v,
        u * u * (3.0 - 2.0 * u),
        -u * u * v,
    ]
}

fn hermite_slope(u: f64) -> [f64; 4] {
    [
        6.0 * u * (u - 1.0),
        (1.0 - u) * (1.0 - 3.0 * u),
        6.0 * u * (1.0 - u),
        u * (3.0 * u - 2.0),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn wavy() -> Coefficients {
        std::array::from_fn(|k| 0.8 * ((k * 7 + 3) as f64).sin())
    }

    #[test]
    fn ends_are_zero_and_one_and_the_rise_never_stops() {
        for scale in [0.0, 1.0, 6.0] {
            let shape = SplineShape::new(&wavy().map(|c| scale * c));
            assert!(shape.value(0.0).abs() < 1e-15);
            assert!((shape.value(1.0) - 1.0).abs() < 1e-15);
            let mut before = shape.value(-0.5);
            for step in 0..=4000 {
                let value = shape.value(-0.1 + 1.2 * f64::from(step) / 4000.0);
                assert!(value >= before, "falls at step {step}, scale {scale}");
                before = value;
            }
        }
    }

    #[test]
    fn gradients_agree_with_differences() {
        let coefficients = wavy();
        let shape = SplineShape::new(&coefficients);
        for z in [-0.3, 0.0, 0.004, 0.2, 0.77, 1.0, 1.4] {
            let at = shape.gradients().at(z);
            assert!((at.value - shape.value(z)).abs() < 1e-14, "value at {z}");
            let step = 1e-6;
            if z != 0.0 && z != 1.0 {
                let difference = (shape.value(z + step) - shape.value(z - step)) / (2.0 * step);
                assert!(
                    (at.slope - difference).abs() < 1e-6 * (1.0 + difference),
                    "slope at {z}"
                );
            }
            for k in 0..COEFFICIENTS {
                let mut up = coefficients;
                let mut down = coefficients;
                up[k] += step;
                down[k] -= step;
                let difference = (SplineShape::new(&up).value(z)
                    - SplineShape::new(&down).value(z))
                    / (2.0 * step);
                assert!(
                    (at.gradient[k] - difference).abs() < 1e-8,
                    "coefficient {k} at {z}: {} against {difference}",
                    at.gradient[k]
                );
            }
        }
    }

    #[test]
    fn the_trends_alone_follow_their_closed_forms() {
        // φ = −ln(1 + z/c) integrates to a logarithm, φ = z to an exponential.
        let mut logarithm = [0.0; COEFFICIENTS];
        logarithm[0] = -1.0;
        let mut exponential = [0.0; COEFFICIENTS];
        exponential[1] = 1.0;
        let (logarithm, exponential) =
            (SplineShape::new(&logarithm), SplineShape::new(&exponential));
        for step in 0..=100 {
            let z = f64::from(step) / 100.0;
            let expected = (1.0 + z / STEEP_SCALE).ln() / (1.0 + 1.0 / STEEP_SCALE).ln();
            assert!(
                (logarithm.value(z) - expected).abs() < 2e-5,
                "logarithm at {z}: {} against {expected}",
                logarithm.value(z)
            );
            // The error of a cubic Hermite piece is at most h⁴ max|f⁗| / 384.
            let widths = GRID.nodes.windows(2).map(|pair| pair[1] - pair[0]);
            let widest = widths.fold(0.0, f64::max);
            let bound = widest.powi(4) / 384.0 * 1.0_f64.exp() / (1.0_f64.exp() - 1.0);
            let expected = (z.exp() - 1.0) / (1.0_f64.exp() - 1.0);
            assert!(
                (exponential.value(z) - expected).abs() < bound,
                "exponential at {z}: {} against {expected}",
                exponential.value(z)
            );
        }
    }
}
