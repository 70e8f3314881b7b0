//! When a cubic between two points does not turn back.

/// Whether a cubic with end slopes `alpha` and `beta`, as multiples of its secant slope, is
/// monotone: the region M of F. N. Fritsch and R. E. Carlson, "Monotone piecewise cubic
/// interpolation", SIAM J. Numer. Anal. 17 (1980) 238–246. It is the square from 0 to 3 joined
/// with the ellipse α² + αβ + β² − 6α − 6β + 9 ≤ 0.
pub(crate) fn is_monotone(alpha: f64, beta: f64) -> bool {
    let in_square = |v: f64| (0.0..=3.0).contains(&v);
    if in_square(alpha) && in_square(beta) {
        return true;
    }
    // The ellipse in distances from the corner (3, 3), where it would otherwise cancel.
    let (a, b) = (alpha - 3.0, beta - 3.0);
    alpha >= 0.0 && beta >= 0.0 && a * a + a * b + b * b + 3.0 * (a + b) <= 0.0
}

#[cfg(test)]
mod tests {
    use super::is_monotone;

    /// The ellipse touches the axes at 3 and reaches (1, 4), (4, 1) and (3, 3).
    #[test]
    fn border_points_are_inside_and_their_neighbours_are_not() {
        for (alpha, beta) in [(3.0, 3.0), (4.0, 1.0), (1.0, 4.0), (0.0, 3.0), (3.0, 0.0)] {
            assert!(is_monotone(alpha, beta), "({alpha}, {beta})");
        }
        for (alpha, beta) in [
            (3.001, 3.001),
            (4.001, 1.0),
            (4.0, 0.99),
            (4.0, 1.01),
            (3.001, 0.0),
            (-0.001, 1.0),
        ] {
            assert!(!is_monotone(alpha, beta), "({alpha}, {beta})");
        }
    }

    /// The derivative of the cubic itself, sampled, decides the same.
    #[test]
    fn region_agrees_with_the_derivative() {
        for i in 0..=50 {
            for j in 0..=50 {
                let (alpha, beta) = (f64::from(i) * 0.1 - 0.05, f64::from(j) * 0.1 - 0.05);
                let least = (0..=4000)
                    .map(|k| {
                        let t = f64::from(k) / 4000.0;
                        alpha
                            + t * (2.0 * (3.0 - 2.0 * alpha - beta)
                                + 3.0 * t * (alpha + beta - 2.0))
                    })
                    .fold(f64::INFINITY, f64::min);
                // Within the spacing of the samples nothing is decided.
                if least.abs() > 1e-6 {
                    assert_eq!(
                        is_monotone(alpha, beta),
                        least > 0.0,
                        "({alpha}, {beta}) has least derivative {least}"
                    );
                }
            }
        }
    }
}
