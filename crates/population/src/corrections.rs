//! Probabilities of many comparisons, made to hold for all of them together.

/// How probabilities are corrected.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Correction {
    /// Times the number of comparisons.
    Bonferroni,
    /// S. Holm, Scand. J. Statist. 6 (1979), 65–70.
    Holm,
    /// Y. Hochberg, Biometrika 75 (1988), 800–802.
    Hochberg,
    /// The part of false ones among those called different: Y. Benjamini and Y. Hochberg, J. R. Statist. Soc.
    /// B 57 (1995), 289–300.
    FalseDiscovery,
    /// The same under any dependence: Y. Benjamini and D. Yekutieli, Ann. Statist. 29 (2001), 1165–1188.
    FalseDiscoveryDependent,
}

/// Corrected probabilities in the order given.
#[must_use]
pub fn corrected(probabilities: &[f64], correction: Correction) -> Vec<f64> {
    let n = probabilities.len();
    let mut order: Vec<usize> = (0..n).collect();
    order.sort_by(|a, b| probabilities[*a].total_cmp(&probabilities[*b]));
    let count = n as f64;
    let harmonic: f64 = (1..=n).map(|i| 1.0 / i as f64).sum();
    let factor = |place: usize| {
        let rank = (place + 1) as f64;
        match correction {
            Correction::Bonferroni => count,
            Correction::Holm | Correction::Hochberg => count - rank + 1.0,
            Correction::FalseDiscovery => count / rank,
            Correction::FalseDiscoveryDependent => harmonic * count / rank,
        }
    };
    let mut found = vec![0.0; n];
    let mut bound = match correction {
        Correction::Bonferroni | Correction::Holm => 0.0,
        _ => 1.0,
    };
    let places: Box<dyn Iterator<Item = usize>> = match correction {
        // Step by step from the least, or from the greatest.
        Correction::Bonferroni | Correction::Holm => Box::new(0..n),
        _ => Box::new((0..n).rev()),
    };
    for place in places {
        let index = order[place];
        let value = factor(place) * probabilities[index];
        bound = match correction {
            Correction::Bonferroni => value,
            Correction::Holm => value.max(bound),
            _ => value.min(bound),
        };
        found[index] = bound.min(1.0);
    }
    found
}
