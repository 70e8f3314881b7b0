//! Estimates with their intervals.

use evenhand_measurement::Force;

/// A force with the interval that covers it at the confidence asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ForceInterval {
    /// Best estimate.
    pub estimate: Force,
    /// Lower end.
    pub low: Force,
    /// Upper end.
    pub high: Force,
}

/// Where the response reaches full scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Saturation {
    /// Full scale was seen: the saturation force with its interval.
    Reached(ForceInterval),
    /// Full scale was not seen: all that is known is a force at which the reading was still below.
    NotReached {
        /// The largest force measured.
        above: Force,
    },
}

impl Saturation {
    /// The estimate, where saturation was reached.
    #[must_use]
    pub fn estimate(&self) -> Option<Force> {
        match self {
            Self::Reached(interval) => Some(interval.estimate),
            Self::NotReached { .. } => None,
        }
    }

    /// The estimate with its interval, where saturation was reached.
    #[must_use]
    pub fn interval(&self) -> Option<ForceInterval> {
        match self {
            Self::Reached(interval) => Some(*interval),
            Self::NotReached { .. } => None,
        }
    }
}

/// Ends of the central interval that holds `confidence` of the draws (linear between order
/// statistics, type 7 of R. J. Hyndman and Y. Fan, "Sample quantiles", Am. Stat. 50, 1996).
///
/// The order of `draws` is changed. Without draws both ends are NaN.
pub(crate) fn central(draws: &mut [f64], confidence: f64) -> (f64, f64) {
    let tail = 0.5 * (1.0 - confidence);
    (quantile(draws, tail), quantile(draws, 1.0 - tail))
}

fn quantile(draws: &mut [f64], part: f64) -> f64 {
    if draws.is_empty() {
        return f64::NAN;
    }
    let position = part.clamp(0.0, 1.0) * (draws.len() - 1) as f64;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "part of a length"
    )]
    let below = position.floor() as usize;
    let (_, low, rest) = draws.select_nth_unstable_by(below, f64::total_cmp);
    let low = *low;
    let high = rest.iter().copied().min_by(f64::total_cmp).unwrap_or(low);
    low + (position - below as f64) * (high - low)
}
