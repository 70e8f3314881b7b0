//! One stylus on one bench, from one measurement or several.

use crate::measured::{FittedMeasurement, ForceEstimate, NearEnds};
use crate::profile::Profile;
use crate::quantile::two_sided_z;
use crate::sample::Sample;

/// A stylus on a bench. Repeats on the same bench are one unit; another bench is another entry.
#[derive(Clone, Debug)]
pub struct Unit {
    /// Its name for people: model and unit, or the file.
    pub name: String,
    /// Model, where the file names one.
    pub model: Option<String>,
    /// Bench, where the file names one.
    pub bench: Option<String>,
    /// Group it belongs to, by its place in [`crate::Comparison::groups`].
    pub group: usize,
    /// Its measurements, by their places in [`crate::Comparison::measured`].
    pub measurements: Vec<usize>,
    /// Onset force.
    pub onset: ForceEstimate,
    /// Saturation force.
    pub saturation: ForceEstimate,
    /// Saturation less onset.
    pub span: ForceEstimate,
    /// Saturation class, where it is known.
    pub saturation_class: Option<&'static str>,
    /// The response; of several measurements the mean force at each reading.
    pub profile: Profile,
    /// Forces near both ends.
    pub near: NearEnds,
}

/// Which figure of a unit is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// Onset force.
    Onset,
    /// Saturation force.
    Saturation,
    /// Saturation less onset.
    Span,
    /// Force at 1 % of full scale.
    At1,
    /// Force at 99 % of full scale.
    At99,
}

impl Quantity {
    /// All of them.
    pub const ALL: [Self; 5] = [
        Self::Onset,
        Self::Saturation,
        Self::Span,
        Self::At1,
        Self::At99,
    ];

    /// What styluses are compared by at the upper end.
    pub(crate) const fn upper(is_gentle: bool) -> Self {
        if is_gentle {
            Self::At99
        } else {
            Self::Saturation
        }
    }

    /// The word.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Onset => "onset",
            Self::Saturation => "saturation",
            Self::Span => "span",
            Self::At1 => "force at 1 %",
            Self::At99 => "force at 99 %",
        }
    }

    /// Of a measurement.
    #[must_use]
    pub fn of_measured(self, measured: &FittedMeasurement) -> &ForceEstimate {
        match self {
            Self::Onset => &measured.onset,
            Self::Saturation => &measured.saturation,
            Self::Span => &measured.span,
            Self::At1 => &measured.near.at_1,
            Self::At99 => &measured.near.at_99,
        }
    }

    /// Of a unit.
    #[must_use]
    pub fn of(self, unit: &Unit) -> &ForceEstimate {
        match self {
            Self::Onset => &unit.onset,
            Self::Saturation => &unit.saturation,
            Self::Span => &unit.span,
            Self::At1 => &unit.near.at_1,
            Self::At99 => &unit.near.at_99,
        }
    }
}

impl Unit {
    /// Of measurements on one bench; `None` of none.
    pub(crate) fn of(
        name: String,
        all: &[FittedMeasurement],
        measurements: Vec<usize>,
        confidence: f64,
    ) -> Option<Self> {
        let own: Vec<&FittedMeasurement> = measurements.iter().map(|index| &all[*index]).collect();
        let first = *own.first()?;
        let joined = |quantity: Quantity| {
            let figures: Vec<&ForceEstimate> =
                own.iter().map(|m| quantity.of_measured(m)).collect();
            joined(&figures, confidence)
        };
        // Where some repeats saturate and others do not, the curve is that of those that do.
        let most = own.iter().map(|m| m.profile.reached()).max().unwrap_or(0);
        let profiles: Vec<&Profile> = own
            .iter()
            .map(|m| &m.profile)
            .filter(|profile| profile.reached() == most)
            .collect();
        let saturation = joined(Quantity::Saturation);
        Some(Self {
            name,
            model: first.model.clone(),
            bench: first.bench.clone(),
            group: 0,
            onset: joined(Quantity::Onset),
            span: joined(Quantity::Span),
            saturation_class: if own.len() == 1 || saturation.is_least {
                first.saturation_class
            } else {
                let force = evenhand_measurement::Force::from_gf(saturation.estimate);
                Some(evenhand_fitting::SaturationClass::of(force).as_str())
            },
            saturation,
            profile: Profile::mean(&profiles)?,
            near: NearEnds {
                at_1: joined(Quantity::At1),
                at_99: joined(Quantity::At99),
                is_onset_gentle: own.iter().any(|m| m.near.is_onset_gentle),
                is_saturation_gentle: own.iter().any(|m| m.near.is_saturation_gentle),
            },
            measurements,
        })
    }

    /// Whether it was measured more than once.
    #[must_use]
    pub fn is_repeated(&self) -> bool {
        self.measurements.len() > 1
    }
}

/// Mean of repeats. Its uncertainty comes from the larger of what the measurements claim and what their
/// scatter shows.
fn joined(figures: &[&ForceEstimate], confidence: f64) -> ForceEstimate {
    let known: Vec<&ForceEstimate> = figures.iter().copied().filter(|f| !f.is_least).collect();
    match known[..] {
        [] => figures
            .iter()
            .copied()
            .max_by(|a, b| a.low.total_cmp(&b.low))
            .copied()
            .unwrap_or(ForceEstimate {
                estimate: 0.0,
                low: 0.0,
                high: f64::INFINITY,
                error: f64::NAN,
                shared: f64::NAN,
                is_least: true,
                sd: f64::NAN,
                freedom: f64::NAN,
            }),
        [only] => *only,
        _ => {
            let values: Vec<f64> = known.iter().map(|f| f.estimate).collect();
            let sample = Sample::of(&values);
            let count = sample.count as f64;
            let claimed = known.iter().map(|f| f.error.powi(2)).sum::<f64>() / count;
            let seen = sample.deviation.powi(2);
            let error = (claimed.max(seen) / count).sqrt();
            // Satterthwaite's freedom of a mean of variances.
            let own = known.iter().map(|f| f.sd.powi(2));
            let doubt: f64 = known.iter().map(|f| f.sd.powi(4) / f.freedom).sum();
            let own_mean = own.clone().sum::<f64>() / count;
            let (variance, freedom) = if seen > own_mean {
                (seen, count - 1.0)
            } else {
                (own_mean, own.sum::<f64>().powi(2) / doubt)
            };
            let shared = known.iter().map(|f| f.shared).sum::<f64>() / count;
            let reach = two_sided_z(confidence) * error.hypot(shared);
            ForceEstimate {
                estimate: sample.mean,
                low: (sample.mean - reach).max(0.0),
                high: sample.mean + reach,
                error,
                shared,
                is_least: false,
                sd: (variance / count).sqrt(),
                freedom,
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::joined;
    use crate::measured::ForceEstimate;

    fn of(values: [f64; 2]) -> ForceEstimate {
        let figures = values.map(|value| ForceEstimate::measured(value, 1.0, 8.0));
        joined(&[&figures[0], &figures[1]], 0.95)
    }

    /// Two repeats 10 apart have a deviation of 10/√2 with one degree of freedom, their mean one of 5. Two that agree
    /// are known as they were measured: (1 + 1)² / (1/8 + 1/8) = 16 degrees of freedom by Satterthwaite's formula
    /// (Biometrics Bulletin 2, 1946, 110–114), the mean's deviation is 1/√2.
    #[test]
    fn repeats_that_scatter_and_repeats_that_agree() {
        let apart = of([200.0, 210.0]);
        assert!((apart.sd - 5.0).abs() < 1e-12, "{}", apart.sd);
        assert_eq!(apart.freedom, 1.0);
        let alike = of([200.0, 200.0]);
        assert!((alike.sd - 0.5_f64.sqrt()).abs() < 1e-12, "{}", alike.sd);
        assert!((alike.freedom - 16.0).abs() < 1e-12, "{}", alike.freedom);
    }
}
