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

/// Huber's loss: half the square in the middle, straight beyond.
pub(crate) fn loss(score: f64) -> f64 {
    let size = score.abs();
    if size <= HUBER {
        0.5 * size * size
    } else {
        HUBER * (size - 0.5 * HUBER)
    }
}
