//! Responses that are true in a simulation.

use rand::Rng;
use rand_chacha::ChaCha8Rng;

const STEPS: usize = 2000;

/// A response known exactly.
pub(crate) struct Truth {
    pub(crate) onset: f64,
    pub(crate) saturation: f64,
    readings: Vec<f64>,
}

impl Truth {
    /// Draws onset, saturation and one of five kinds of shape.
    pub(crate) fn draw(random: &mut ChaCha8Rng) -> Self {
        let onset: f64 = random.random_range(2.0..30.0);
        let span = random.random_range(120.0_f64.ln()..700.0_f64.ln()).exp();
        let kind: usize = random.random_range(0..5);
        let exponent: f64 = random.random_range(0.5..1.8);
        let bend = random.random_range(2.0_f64.ln()..60.0_f64.ln()).exp();
        let part: f64 = random.random_range(0.1..0.9);
        let late: f64 = random.random_range(0.6..2.5);
        let rate: f64 = random.random_range(1.0..4.0);
        let kinks: usize = random.random_range(4..9);
        let logarithm = |z: f64| (1.0 + bend * z).ln() / (1.0 + bend).ln();
        let mixture = |z: f64| part * z.powf(exponent) + (1.0 - part) * logarithm(z);
        let logistic = |z: f64| 1.0 / (1.0 + (6.0 * (0.4 - z)).exp());
        let shape = |z: f64| match kind {
            0 => mixture(z),
            1 => {
                let knot = |i: usize| (i as f64 / kinks as f64).powf(1.3);
                let after = (1..kinks).find(|i| knot(*i) >= z).unwrap_or(kinks);
                let (from, to) = (knot(after - 1), knot(after));
                mixture(from) + (mixture(to) - mixture(from)) * (z - from) / (to - from)
            }
            2 => {
                part * z.powf(late)
                    + (1.0 - part) * (1.0 - (-rate * z).exp()) / (1.0 - (-rate).exp())
            }
            3 => {
                let rise = (logistic(z) - logistic(0.0)) / (logistic(1.0) - logistic(0.0));
                part * rise + (1.0 - part) * z.powf(0.7)
            }
            _ => part * z.powf(0.6) / (1.0 + 0.4 * (1.0 - z)) + (1.0 - part) * logarithm(z),
        };
        Self::of(onset, onset + span, shape)
    }

    /// The response with these ends and this shape, 0 to 1 over 0 to 1.
    pub(crate) fn of(onset: f64, saturation: f64, shape: impl Fn(f64) -> f64) -> Self {
        let readings = (0..=STEPS)
            .map(|i| shape(i as f64 / STEPS as f64))
            .collect();
        Self {
            onset,
            saturation,
            readings,
        }
    }

    /// Reading at a force in gf.
    pub(crate) fn reading(&self, force: f64) -> f64 {
        let position = (force - self.onset) / (self.saturation - self.onset) * STEPS as f64;
        if position <= 0.0 {
            return 0.0;
        }
        if position >= STEPS as f64 {
            return 1.0;
        }
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "0..STEPS"
        )]
        let below = position as usize;
        let part = position - below as f64;
        self.readings[below] * (1.0 - part) + self.readings[below + 1] * part
    }
}
