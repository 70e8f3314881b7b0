//! Measurements for tests: a rise with a small ripple that stands for noise.

use evenhand_measurement::{Direction, Force, Measurement, Sample, Seating};

/// Samples at these forces, of a response from 10 gf to 250 gf; `gain` multiplies what is placed.
pub(crate) fn pass(
    forces: impl IntoIterator<Item = f64>,
    shape: fn(f64) -> f64,
    gain: f64,
    first_line: usize,
) -> Vec<Sample> {
    (first_line..)
        .zip(forces)
        .map(|(line, force)| {
            let part = ((force * gain - 10.0) / 240.0).clamp(0.0, 1.0);
            let inside = part > 0.0 && part < 1.0;
            // Golden-ratio steps: as unlike a curve as noise, and the same every time.
            let ripple = (line as f64 * 0.618_034).fract() - 0.5;
            let reading = shape(part) + if inside { 0.01 * ripple } else { 0.0 };
            Sample {
                force: Force::from_gf(force),
                reading: reading.clamp(0.0, 1.0),
                seating: 0,
                direction: None,
                line,
            }
        })
        .collect()
}

/// `count` forces from 4 gf to 280 gf, shifted by a part of a step.
pub(crate) fn ladder(count: u32, shift: f64) -> impl Iterator<Item = f64> {
    (0..count).map(move |i| 4.0 + 276.0 * (f64::from(i) + shift) / f64::from(count))
}

pub(crate) fn measurement(samples: Vec<Sample>) -> Measurement {
    Measurement {
        seatings: vec![Seating {
            index: 1,
            direction: None::<Direction>,
        }],
        samples,
        ..Measurement::default()
    }
}
