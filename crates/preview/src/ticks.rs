//! Tick positions at 1, 2 or 5 times a power of ten.

/// Ticks from 0 at equal steps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Ticks {
    pub(crate) step: f64,
    /// Decimals that write each tick exactly.
    pub(crate) decimals: usize,
}

impl Ticks {
    /// The smallest step of 1, 2 or 5 times a power of ten that cuts `range` (above 0, finite)
    /// into at most `most` parts.
    pub(crate) fn cutting(range: f64, most: f64) -> Self {
        let raw = range / most;
        let exponent = raw.log10().floor();
        let decade = 10_f64.powf(exponent);
        // A hair of tolerance: 10^floor is not exact.
        let factor = [1.0, 2.0, 5.0, 10.0]
            .into_iter()
            .find(|factor| factor * decade >= raw * (1.0 - 1e-9))
            .unwrap_or(10.0);
        let step = factor * decade;
        Self {
            step,
            decimals: crate::number::decimals_of_step(step),
        }
    }

    /// The ticks up to `end`, ascending, with a hair of tolerance.
    pub(crate) fn up_to(self, end: f64) -> impl Iterator<Item = f64> {
        (0..=200_u32)
            .map(move |index| f64::from(index) * self.step)
            .take_while(move |tick| *tick <= end + self.step * 1e-6)
    }

    /// The first tick that data up to `reach` do not go beyond.
    pub(crate) fn end_of(self, reach: f64) -> f64 {
        (reach / self.step - 1e-9).ceil().max(1.0) * self.step
    }

    /// A tick in figures; zero is plain.
    pub(crate) fn label(self, tick: f64) -> String {
        if tick > 0.0 {
            format!("{tick:.*}", self.decimals)
        } else {
            "0".to_owned()
        }
    }
}

/// The smallest step of 1, 2 or 5 times a power of ten that cuts `range` (above 0, finite) into at most `most`
/// parts.
#[must_use]
pub fn tick_step(range: f64, most: f64) -> f64 {
    Ticks::cutting(range, most).step
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_one_two_five() {
        for (range, most, step) in [
            (100.0, 5.0, 20.0),
            (830.0, 10.0, 100.0),
            (170.0, 10.0, 20.0),
            (1.0, 10.0, 0.1),
            (1.7, 5.0, 0.5),
            (1_000_000.0, 8.0, 200_000.0),
        ] {
            let found = Ticks::cutting(range, most).step;
            assert!((found / step - 1.0).abs() < 1e-9, "{range}/{most}: {found}");
        }
    }

    #[test]
    fn labels_are_exact() {
        let ticks = Ticks::cutting(1.0, 5.0);
        let labels: Vec<_> = ticks.up_to(1.0).map(|t| ticks.label(t)).collect();
        assert_eq!(labels, ["0", "0.2", "0.4", "0.6", "0.8", "1.0"], "ticks");
    }
}
