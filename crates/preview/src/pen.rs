//! From a force of the hand to the width of a stroke, without and with the map.

use evenhand_curve::Curve;

/// Which outputs are meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// As they are without the map.
    Without,
    /// As the map makes them.
    With,
}

impl Side {
    /// Both, in the order in which they are drawn.
    pub const BOTH: [Self; 2] = [Self::Without, Self::With];

    /// In a word.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Without => "without",
            Self::With => "with",
        }
    }
}

/// A stylus, with and without its map. Readings come in whole steps, as tablets report them.
#[derive(Clone, Copy)]
pub struct Pen<'a> {
    /// Force along the stylus, gf, to reading 0..1.
    pub response: &'a dyn Curve,
    /// Reading to output without the map.
    pub without: &'a dyn Curve,
    /// Reading to output with the map.
    pub with: &'a dyn Curve,
    /// Number of levels of the readings, at least 2.
    pub levels: u32,
    /// Force along the stylus for a force of 1 as the hand means it.
    pub axial_part: f64,
}

/// Outputs this near are the same.
const ROUNDING: f64 = 1e-9;

/// Scatter of what a stylus reads and of what a hand presses, one standard deviation each.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scatter {
    /// Of a reading, fraction of full scale.
    pub reading: f64,
    /// Of a force, as part of it.
    pub tremor: f64,
}

impl Pen<'_> {
    /// Reading at a force of the hand, gf, in whole steps.
    #[must_use]
    pub fn reading(&self, force_gf: f64) -> f64 {
        self.stepped(self.exact(force_gf))
    }

    /// Output at a force of the hand, gf.
    #[must_use]
    pub fn output(&self, force_gf: f64, side: Side) -> f64 {
        self.output_of(self.reading(force_gf), side)
    }

    /// Output at a reading.
    #[must_use]
    pub fn output_of(&self, reading: f64, side: Side) -> f64 {
        self.curve(side).value(reading).clamp(0.0, 1.0)
    }

    /// A reading as the nearest whole step.
    #[must_use]
    pub fn stepped(&self, reading: f64) -> f64 {
        (reading.clamp(0.0, 1.0) * self.last()).round() / self.last()
    }

    /// Outputs between which those at a force lie in 19 of 20 cases (two standard deviations to either
    /// side): both curves rise, so the ends of the forces give the ends of the outputs.
    #[must_use]
    pub fn output_band(&self, force_gf: f64, scatter: &Scatter, side: Side) -> (f64, f64) {
        let shake = 2.0 * scatter.tremor * force_gf;
        let (low, high) = (self.exact(force_gf - shake), self.exact(force_gf + shake));
        let middle = self.exact(force_gf);
        // Independent scatter adds in squares (JCGM 100, 5.1.2). A nib that is not felt reads nothing.
        let noise = if middle > 0.0 {
            2.0 * scatter.reading
        } else {
            0.0
        };
        let low = middle - (middle - low).hypot(noise);
        let high = middle + (high - middle).hypot(noise);
        (
            self.output_of(low.max(0.0), side),
            self.output_of(high.min(1.0), side),
        )
    }

    /// How many times the map enlarges a small scatter of readings where its output is `output`: the rise of
    /// the output over that of the reading, two standard deviations to either side. `None` where the
    /// output is not reached.
    #[must_use]
    pub fn gain(&self, output: f64, scatter: &Scatter, side: Side) -> Option<f64> {
        let curve = self.curve(side);
        let reading = curve.inverse(output);
        if curve.value(reading) < output - ROUNDING {
            return None;
        }
        let reach = (2.0 * scatter.reading).max(1.0 / self.last());
        let (low, high) = ((reading - reach).max(0.0), (reading + reach).min(1.0));
        Some((curve.value(high) - curve.value(low)) / (high - low))
    }

    /// Number of steps from no reading to full.
    pub(crate) fn last(&self) -> f64 {
        f64::from(self.levels.max(2) - 1)
    }

    fn curve(&self, side: Side) -> &dyn Curve {
        match side {
            Side::Without => self.without,
            Side::With => self.with,
        }
    }

    fn exact(&self, force_gf: f64) -> f64 {
        self.response.value(force_gf * self.axial_part)
    }
}
