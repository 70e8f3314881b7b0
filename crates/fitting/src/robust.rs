//! How much a residual may say: less the further it lies off.

/// Residuals beyond this many standard deviations lose weight (P. J. Huber, "Robust estimation of a
/// location parameter", Ann. Math. Statist. 35, 1964; with a wide middle, for efficiency).
pub(crate) const HUBER: f64 = 2.5;
/// Beyond this many they hardly count.
const FAR: f64 = 4.0;

/// Weight of a residual of this many standard deviations: 1 for ordinary ones, then falling as Huber
/// proposes, and faster still where nothing but a slip explains it.
pub(crate) fn weight(score: f64) -> f64 {
    if score <= HUBER {
        1.0
    } else if score <= FAR {
        HUBER / score
    } else {
        HUBER * FAR * FAR / score.powi(3)
    }
}

/// The loss that belongs to [`weight`], whose slope is weight times score: half the square in the
/// middle, straight beyond, and bounded far off, so that a slip decides nothing.
pub(crate) fn loss(score: f64) -> f64 {
    let straight = |size: f64| HUBER * (size - 0.5 * HUBER);
    let size = score.abs();
    if size <= HUBER {
        0.5 * size * size
    } else if size <= FAR {
        straight(size)
    } else {
        straight(FAR) + HUBER * FAR * FAR * (1.0 / FAR - 1.0 / size)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_slope_of_the_loss_is_weight_times_score() {
        for score in [0.5, 2.4, 2.6, 3.9, 4.1, 30.0] {
            let step = 1e-6;
            let slope = (loss(score + step) - loss(score - step)) / (2.0 * step);
            assert!((slope - weight(score) * score).abs() < 1e-8, "{score}");
        }
        assert!(loss(1e9) < 17.0);
    }
}
