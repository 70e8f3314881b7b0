//! What whole steps do to a map.

use evenhand_curve::Curve;

use crate::control_point::ControlPoint;
use crate::map_curve::MapCurve;

/// Levels that are assumed where a stylus's are not known: 13 bits, finer than any hand.
pub const ASSUMED_LEVELS: u32 = 8192;

/// Figures of a map when readings come in whole counts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Quantisation {
    /// Different outputs that the readings can give.
    pub distinct_outputs: u64,
    /// Largest change of the output from one reading to the next, fraction of full scale.
    pub largest_step: f64,
    /// Largest slope of the map: how much it amplifies the reading's noise at worst.
    pub largest_gain: f64,
}

/// Counts over every reading `i / (levels − 1)` of a stylus with this many levels (13 bits where not
/// known). Points on a grid limit where the map bends, not its outputs between. The gain of a map that
/// bends is that between neighbouring readings.
#[must_use]
pub fn quantisation(
    curve: &MapCurve,
    points: &[ControlPoint],
    levels: Option<u32>,
) -> Quantisation {
    let mut figures = quantisation_of(curve, levels);
    if curve.is_straight() {
        figures.largest_gain = points
            .windows(2)
            .map(|pair| (pair[1].output - pair[0].output) / (pair[1].input - pair[0].input))
            .fold(0.0, f64::max);
    }
    figures
}

/// The same for any curve, such as a map within a chain: its gain is that between neighbouring readings.
#[must_use]
pub fn quantisation_of(curve: &dyn Curve, levels: Option<u32>) -> Quantisation {
    let levels = levels.unwrap_or(ASSUMED_LEVELS).max(2);
    let mut figures = Quantisation {
        distinct_outputs: 1,
        largest_step: 0.0,
        largest_gain: 0.0,
    };
    let last = f64::from(levels - 1);
    let mut before = None;
    for reading in 0..levels {
        let output = curve.value(f64::from(reading) / last);
        if let Some(before) = before
            && output > before
        {
            figures.distinct_outputs += 1;
            figures.largest_step = figures.largest_step.max(output - before);
        }
        before = Some(output);
    }
    figures.largest_gain = figures.largest_step * last;
    figures
}
