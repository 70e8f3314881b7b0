//! Units that lie far from the others of their group.

use crate::outlier::outlier_scores;
use crate::unit::{Quantity, Unit};

/// Level of the response that stands for the curve's middle.
const MIDDLE: usize = 50;

/// Why a unit should be looked at.
#[derive(Clone, Debug, PartialEq)]
pub struct Flag {
    /// The unit, by its place in [`crate::Comparison::units`].
    pub unit: usize,
    /// Its group, by its place in [`crate::Comparison::groups`].
    pub group: usize,
    /// What is far: `onset`, `saturation`, or `half reading` for the force at half of full scale.
    pub what: &'static str,
    /// Its value, gf.
    pub value_gf: f64,
    /// Whether the value is only a lower bound.
    pub is_least: bool,
    /// Distance from the group's median in robust standard deviations.
    pub score: f64,
}

/// Flags among the units of a group, which are named by their places. The robust spread is taken no smaller
/// than the standard uncertainty and the resolution of the instruments. Fewer than four units have no flags.
pub(crate) fn flags(units: &[(usize, &Unit)], group: usize, resolution_gf: f64) -> Vec<Flag> {
    let mut found = Vec::new();
    let mut look = |what: &'static str, values: &[(f64, f64, bool)]| {
        let finite: Vec<(usize, &(f64, f64, bool))> = values
            .iter()
            .enumerate()
            .filter(|(_, (value, _, _))| value.is_finite())
            .collect();
        let mut errors: Vec<f64> = finite
            .iter()
            .map(|(_, (_, error, _))| *error)
            .filter(|error| error.is_finite())
            .collect();
        errors.sort_by(f64::total_cmp);
        let floor = crate::mann_whitney::median(&errors)
            .max(resolution_gf)
            .max(0.0);
        let plain: Vec<f64> = finite.iter().map(|(_, (value, _, _))| *value).collect();
        for ((index, (value, _, is_least)), score) in
            finite.into_iter().zip(outlier_scores(&plain, floor))
        {
            // A lower bound below the others says nothing.
            if score.is_outlier && !(*is_least && score.score < 0.0) {
                found.push(Flag {
                    unit: units[index].0,
                    group,
                    what,
                    value_gf: *value,
                    is_least: *is_least,
                    score: score.score,
                });
            }
        }
    };
    for quantity in [Quantity::Onset, Quantity::Saturation] {
        let values: Vec<(f64, f64, bool)> = units
            .iter()
            .map(|(_, unit)| {
                let figure = quantity.of(unit);
                (figure.estimate, figure.error, figure.is_least)
            })
            .collect();
        look(quantity.as_str(), &values);
    }
    let middles: Vec<(f64, f64, bool)> = units
        .iter()
        .map(|(_, unit)| {
            let force = unit.profile.forces()[MIDDLE];
            // A response that never got to its middle passed it beyond the last force.
            let is_least = force.is_infinite();
            let value = if is_least {
                unit.saturation.estimate
            } else {
                force
            };
            (value, unit.saturation.error / 2.0, is_least)
        })
        .collect();
    look("half reading", &middles);
    found
}
