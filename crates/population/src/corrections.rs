//! Probabilities of many comparisons, made to hold for all of them together.

/// Probabilities corrected for all comparisons together, in the order given: by S. Holm, Scand. J. Statist.
/// 6 (1979), 65–70.
#[must_use]
pub fn holm(probabilities: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..probabilities.len()).collect();
    order.sort_by(|a, b| probabilities[*a].total_cmp(&probabilities[*b]));
    let mut found = vec![0.0; order.len()];
    let mut bound = 0.0_f64;
    for (place, index) in order.iter().enumerate() {
        let factor = (order.len() - place) as f64;
        bound = bound.max(factor * probabilities[*index]);
        found[*index] = bound.min(1.0);
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_is_corrected_for_those_not_yet_rejected() {
        // By Holm's definition: the least times 4, the next times 3, and no corrected one below the one before it. The
        // four probabilities are a worked example of many texts, from memory.
        let found = holm(&[0.01, 0.04, 0.03, 0.005]);
        for (found, expected) in found.iter().zip([0.03, 0.06, 0.06, 0.02]) {
            assert!((found - expected).abs() < 1e-15, "{found} for {expected}");
        }
        assert_eq!(holm(&[0.7, 0.8]), [1.0, 1.0]);
        assert!(holm(&[]).is_empty());
    }
}
