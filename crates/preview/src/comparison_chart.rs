//! What charts of many units show.

use crate::response_chart::Span;

/// A group of units.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct GroupMark {
    /// Its name.
    pub name: String,
    /// A sentence below its name, such as how its saturation spreads.
    pub note: String,
    /// Its typical response: force in gf, reading 0..1.
    pub typical: Vec<(f64, f64)>,
    /// Within which the saturation force of its next unit is foretold to lie, gf.
    pub next_unit: Option<(f64, f64)>,
}

/// One unit.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct UnitMark {
    /// Its name.
    pub name: String,
    /// Its group, by its place in [`ComparisonChart::groups`].
    pub group: usize,
    /// Its response: force in gf, reading 0..1.
    pub curve: Vec<(f64, f64)>,
    /// Onset force, gf.
    pub onset: Span,
    /// Saturation force, gf; where `saturation_open`, the force it is above.
    pub saturation: Span,
    /// Whether saturation was not reached.
    pub saturation_open: bool,
    /// Whether it lies far from the others of its group.
    pub flagged: bool,
}

/// Within which the responses lie: forces in gf with readings 0..1; an infinite force lies beyond the axis.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct EnvelopeMark {
    /// What it holds, in words.
    pub name: String,
    /// Its sides.
    pub sides: Sides,
    /// Percentiles within, with their words.
    pub inner: Option<(String, Sides)>,
}

/// Two curves with an area between them.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Sides {
    /// Least force at each reading.
    pub least: Vec<(f64, f64)>,
    /// Greatest force at each reading.
    pub greatest: Vec<(f64, f64)>,
}

/// Charts of a collection: all responses in one, one panel for each group, ranges of all units. Forces below
/// 0 or not finite are drawn at the ends of the axis.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ComparisonChart {
    /// First line.
    pub title: String,
    /// Below it.
    pub subtitle: String,
    /// The groups, in the order of panels and ranges.
    pub groups: Vec<GroupMark>,
    /// The units, in the order of ranges.
    pub units: Vec<UnitMark>,
    /// The envelope.
    pub envelope: Option<EnvelopeMark>,
    /// Saturation classes: label, from, to (gf).
    pub classes: Vec<(String, f64, f64)>,
    /// Probability that intervals should hold.
    pub confidence: f64,
    /// What was left out and why, in every chart.
    pub left_out: String,
    /// Where it comes from, below the chart.
    pub footer: String,
}

impl ComparisonChart {
    /// The largest force that is drawn, gf; at least 1.
    pub(crate) fn reach(&self) -> f64 {
        let curves = self.units.iter().map(|unit| &unit.curve);
        let typical = self.groups.iter().map(|group| &group.typical);
        curves
            .chain(typical)
            .flatten()
            .map(|(force, _)| *force)
            .chain(self.units.iter().map(|unit| unit.saturation.estimate))
            .filter(|force| force.is_finite() && *force < 1e6)
            .fold(1.0, f64::max)
    }

    /// Units of a group.
    pub(crate) fn units_of(&self, group: usize) -> impl Iterator<Item = &UnitMark> + Clone {
        self.units.iter().filter(move |unit| unit.group == group)
    }
}

/// The points of a curve that can be placed: all but those that are not numbers.
pub(crate) fn placeable(curve: &[(f64, f64)]) -> impl DoubleEndedIterator<Item = (f64, f64)> + '_ {
    let points = curve.iter().copied();
    points.filter(|(force, reading)| !force.is_nan() && !reading.is_nan())
}
