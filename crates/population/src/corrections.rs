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
