//! What lies beyond the outermost value.

/// How far beyond the outermost of `n` independent values a quantile may lie: the outermost may be as far in as the
/// level `tail^(1/n)` (that is where all `n` lie below with probability `tail`), and from there on the tail
/// is taken to fall off exponentially with the mean excess `scale`. 0 where the outermost is surely far enough.
#[must_use]
pub fn beyond_outermost(n: f64, level: f64, tail: f64, scale: f64) -> f64 {
    let reached = tail.powf(1.0 / n);
    (scale * ((1.0 - reached) / (1.0 - level)).ln()).max(0.0)
}
