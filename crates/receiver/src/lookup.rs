//! A map applied to many readings at once.

use evenhand_curve::Curve;

/// A map's output at every reading of a stylus with so many levels.
#[derive(Clone, Debug, PartialEq)]
pub struct Lookup {
    outputs: Vec<f32>,
}

impl Lookup {
    /// The outputs of a map at the readings `i / (levels − 1)`; at least two levels are taken.
    #[must_use]
    pub fn new(map: &dyn Curve, levels: u16) -> Self {
        let last = levels.max(2) - 1;
        #[expect(
            clippy::cast_possible_truncation,
            reason = "single precision is finer than any output that is drawn"
        )]
        let output = |count: u16| map.value(f64::from(count) / f64::from(last)) as f32;
        Self {
            outputs: (0..=last).map(output).collect(),
        }
    }

    /// Outputs of raw readings, 0..1; readings above the last level give its output. `outputs` is filled
    /// as far as both reach.
    pub fn apply(&self, readings: &[u16], outputs: &mut [f32]) {
        let last = self.outputs.len() - 1;
        for (reading, output) in readings.iter().zip(outputs) {
            *output = self.outputs[usize::from(*reading).min(last)];
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{ControlPoint, MapCurve, MapInterpolation};

    #[test]
    fn every_reading_has_the_output_of_the_map() {
        let points = [(0.0, 0.0), (0.3, 0.1), (1.0, 1.0)].map(|(x, y)| ControlPoint::new(x, y));
        let map = MapCurve::new(MapInterpolation::Linear, &points, None).unwrap();
        let lookup = Lookup::new(&map, 1024);
        let readings: Vec<u16> = (0..1030).collect();
        let mut outputs = vec![-1.0; readings.len()];
        lookup.apply(&readings, &mut outputs);
        for (reading, output) in readings.iter().zip(&outputs) {
            let exact = map.value(f64::from((*reading).min(1023)) / 1023.0);
            assert!((f64::from(*output) - exact).abs() < 1e-7);
        }
    }
}
