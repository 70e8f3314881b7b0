//! Chances of several possibilities, and a draw among them.

/// The chance of each possibility from the logarithm of its weight, which may be minus infinity; they sum to 1. None
/// where no weight is finite.
pub(crate) fn chances(logs: &[f64]) -> Option<Vec<f64>> {
    let best = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if !best.is_finite() {
        return None;
    }
    let odds: Vec<f64> = logs.iter().map(|log| (log - best).exp()).collect();
    let total: f64 = odds.iter().sum();
    Some(odds.iter().map(|o| o / total).collect())
}

/// Which of several chances, which sum to about 1, a draw between 0 and 1 falls to; 0 where there are none.
pub(crate) fn drawn(chances: impl ExactSizeIterator<Item = f64>, mut draw: f64) -> usize {
    let last = chances.len().saturating_sub(1);
    for (index, chance) in chances.enumerate() {
        draw -= chance;
        if draw <= 0.0 {
            return index;
        }
    }
    last
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chances_follow_their_logarithms_however_small() {
        let found = chances(&[-1000.0, f64::NEG_INFINITY, -1000.0 + 3.0_f64.ln()]);
        let expected = [0.25, 0.0, 0.75];
        for (found, expected) in found.unwrap_or_default().iter().zip(expected) {
            assert!((found - expected).abs() < 1e-12, "{found} for {expected}");
        }
        assert_eq!(chances(&[f64::NEG_INFINITY]), None);
        assert_eq!(chances(&[]), None);
    }

    #[test]
    fn a_draw_falls_to_its_chance() {
        let chances = [0.25, 0.0, 0.75];
        for (draw, expected) in [(0.0, 0), (0.25, 0), (0.26, 2), (1.0, 2), (1.1, 2)] {
            assert_eq!(drawn(chances.into_iter(), draw), expected, "{draw}");
        }
    }
}
