//! How many checks may fall outside by chance.

use statrs::distribution::{Binomial, DiscreteCDF as _};

/// Chance with which a map that does what was promised is taken for one that does not.
const FALSE_ALARM: f64 = 0.01;

/// The most checks outside their intervals that chance explains, where each is outside with a
/// probability of `1 − confidence`.
pub(crate) fn outside(checks: usize, confidence: f64) -> usize {
    let Ok(binomial) = Binomial::new(1.0 - confidence, checks as u64) else {
        return 0;
    };
    // Where all are outside nothing was confirmed.
    (0..checks)
        .find(|count| 1.0 - binomial.cdf(*count as u64) < FALSE_ALARM)
        .unwrap_or(checks)
        .min(checks.saturating_sub(1))
}

#[cfg(test)]
mod tests {
    use super::outside;

    #[test]
    fn chance_explains_what_the_binomial_says() {
        // Upper tails of the binomial with p = 0.05: P(X > 2) = 0.0115 and P(X > 3) = 0.0010 for n = 10,
        // P(X > 3) = 0.0159 and P(X > 4) = 0.0026 for n = 20 (recomputed).
        assert_eq!(outside(10, 0.95), 3);
        assert_eq!(outside(20, 0.95), 4);
        assert_eq!(outside(1, 0.95), 0);
        assert_eq!(outside(2, 0.95), 1);
        assert_eq!(outside(0, 0.95), 0);
    }
}
