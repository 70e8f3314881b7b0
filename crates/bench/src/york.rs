//! A straight line through points that err in both coordinates.

/// A point with the weights (1/u²) of its coordinates.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WeighedPoint {
    /// Abscissa.
    pub x: f64,
    /// Ordinate.
    pub y: f64,
    /// Weight of the abscissa.
    pub weight_x: f64,
    /// Weight of the ordinate.
    pub weight_y: f64,
}

/// A line y = intercept + slope·x with its standard uncertainties.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Where it meets x = 0.
    pub intercept: f64,
    /// Its slope.
    pub slope: f64,
    /// Standard uncertainty of the intercept.
    pub intercept_error: f64,
    /// Standard uncertainty of the slope.
    pub slope_error: f64,
    /// Sum of weighed squares; about the number of points less 2 where the weights are right.
    pub squares: f64,
}

/// Steps after which the slope is as near as doubles tell, far more than are ever needed.
const MOST_STEPS: usize = 200;

/// The line of least weighed squares in both coordinates, errors independent (D. York et al., Am. J. Phys. 72,
/// 2004, 367–375, without correlations). `None` of fewer than three points, weights that are not above 0, or
/// points without a spread in x.
#[must_use]
pub fn york_line(points: &[WeighedPoint]) -> Option<Line> {
    let sound = |p: &WeighedPoint| {
        p.weight_x > 0.0 && p.weight_y > 0.0 && p.x.is_finite() && p.y.is_finite()
    };
    if points.len() < 3 || !points.iter().all(sound) {
        return None;
    }
    let n = points.len() as f64;
    let mean = |of: fn(&WeighedPoint) -> f64| points.iter().map(of).sum::<f64>() / n;
    let (mean_x, mean_y) = (mean(|p| p.x), mean(|p| p.y));
    let spread: f64 = points.iter().map(|p| (p.x - mean_x).powi(2)).sum();
    if spread <= 0.0 {
        return None;
    }
    let joint: f64 = points.iter().map(|p| (p.x - mean_x) * (p.y - mean_y)).sum();
    let mut slope = joint / spread;
    let weight = |p: &WeighedPoint, slope: f64| {
        p.weight_x * p.weight_y / (p.weight_x + slope * slope * p.weight_y)
    };
    let centre = |slope: f64| {
        let total: f64 = points.iter().map(|p| weight(p, slope)).sum();
        let x = points.iter().map(|p| weight(p, slope) * p.x).sum::<f64>() / total;
        let y = points.iter().map(|p| weight(p, slope) * p.y).sum::<f64>() / total;
        (total, x, y)
    };
    // How far a point's own place is moved along x, from the centre.
    let moved = |p: &WeighedPoint, slope: f64, (x, y): (f64, f64)| {
        weight(p, slope) * ((p.x - x) / p.weight_y + slope * (p.y - y) / p.weight_x)
    };
    for _ in 0..MOST_STEPS {
        let (_, x, y) = centre(slope);
        let (mut above, mut below) = (0.0, 0.0);
        for p in points {
            let share = weight(p, slope) * moved(p, slope, (x, y));
            above += share * (p.y - y);
            below += share * (p.x - x);
        }
        let next = above / below;
        let done = (next - slope).abs() <= 1e-15 * slope.abs();
        slope = next;
        if !slope.is_finite() {
            return None;
        }
        if done {
            break;
        }
    }
    let (total, x, y) = centre(slope);
    let adjusted: Vec<(f64, f64)> = points
        .iter()
        .map(|p| (weight(p, slope), x + moved(p, slope, (x, y))))
        .collect();
    let middle = adjusted.iter().map(|(w, x)| w * x).sum::<f64>() / total;
    let about: f64 = adjusted.iter().map(|(w, x)| w * (x - middle).powi(2)).sum();
    let slope_variance = 1.0 / about;
    let intercept = y - slope * x;
    Some(Line {
        intercept,
        slope,
        intercept_error: (1.0 / total + middle * middle * slope_variance).sqrt(),
        slope_error: slope_variance.sqrt(),
        squares: points
            .iter()
            .map(|p| weight(p, slope) * (p.y - intercept - slope * p.x).powi(2))
            .sum(),
    })
}
