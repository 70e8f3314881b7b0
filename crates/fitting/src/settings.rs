//! What a fit may be told.

use crate::error::FitError;

/// Settings of a fit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Settings {
    /// Resamples behind the intervals; at least [`Settings::LEAST_RESAMPLES`] are made.
    pub resamples: usize,
    /// Probability that an interval should hold, between 0 and 1, both excluded.
    pub confidence: f64,
    /// Seed of the resampling.
    pub seed: u64,
}

impl Settings {
    /// Checks that the resamples can carry intervals of this confidence level: at least one beyond each end.
    pub(crate) fn check(&self) -> Result<(), FitError> {
        let Self {
            resamples,
            confidence,
            ..
        } = *self;
        if !(confidence > 0.0 && confidence < 1.0) {
            return Err(FitError::Confidence { found: confidence });
        }
        // Without the last digits of 1 − 0.95.
        let least = (2.0 / (1.0 - confidence) - 1e-6).ceil();
        if (resamples.max(Self::LEAST_RESAMPLES) as f64) < least {
            return Err(FitError::TooFewResamples {
                confidence,
                resamples,
                least,
            });
        }
        Ok(())
    }

    /// Settings for a look at the response itself, whose intervals are of no interest.
    #[must_use]
    pub fn quick() -> Self {
        Self {
            resamples: Self::LEAST_RESAMPLES,
            ..Self::default()
        }
    }

    /// Fewer resamples than this say nothing about the ends of an interval.
    pub const LEAST_RESAMPLES: usize = 50;
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            resamples: 1000,
            confidence: 0.95,
            seed: 1,
        }
    }
}
