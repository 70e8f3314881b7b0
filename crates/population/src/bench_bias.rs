//! What two benches say of the same units.

use crate::agreement::{Agreement, agreement};
use crate::quantile::two_sided_z;
use crate::unit::Unit;

/// A unit on both benches.
#[derive(Clone, Debug, PartialEq)]
pub struct SharedUnit {
    /// Its name.
    pub unit: String,
    /// Saturation forces on the first and the second bench, gf.
    pub saturations: (f64, f64),
    /// Saturation force, first less second, gf.
    pub difference: f64,
    /// Its interval from the measurements' uncertainties and both benches' gains.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// The difference as a part of the mean of both.
    pub fraction: f64,
}

/// Two benches with units in common. Nothing is pooled or corrected for it.
#[derive(Clone, Debug, PartialEq)]
pub struct BenchBias {
    /// First bench.
    pub first: String,
    /// Second bench.
    pub second: String,
    /// Units that saturate on both.
    pub shared: Vec<SharedUnit>,
    /// Bland and Altman's bias and limits, gf; `None` of fewer than two units.
    pub agreement: Option<Agreement>,
    /// The same for differences as parts of the mean, where a gain is what differs.
    pub agreement_of_fractions: Option<Agreement>,
}

/// Every pair of benches that have a unit in common.
pub(crate) fn bench_biases(units: &[Unit], confidence: f64) -> Vec<BenchBias> {
    let mut benches: Vec<&str> = units.iter().filter_map(|u| u.bench.as_deref()).collect();
    benches.sort_unstable();
    benches.dedup();
    let mut found = Vec::new();
    for (place, first) in benches.iter().enumerate() {
        for second in &benches[place + 1..] {
            let on = |bench: &str| {
                units
                    .iter()
                    .filter(move |unit| unit.bench.as_deref() == Some(bench))
                    .collect::<Vec<_>>()
            };
            let (on_first, on_second) = (on(first), on(second));
            let shared: Vec<SharedUnit> = on_first
                .iter()
                .flat_map(|a| on_second.iter().map(move |b| (a, b)))
                .filter(|(a, b)| a.model.is_some() && a.name == b.name)
                .filter_map(|(a, b)| shared_unit(a, b, confidence))
                .collect();
            if shared.is_empty() {
                continue;
            }
            let values = |of: fn(f64, f64) -> (f64, f64)| -> Vec<(f64, f64)> {
                shared
                    .iter()
                    .map(|s| of(s.saturations.0, s.saturations.1))
                    .collect()
            };
            found.push(BenchBias {
                first: (*first).to_owned(),
                second: (*second).to_owned(),
                agreement: agreement(&values(|a, b| (a, b))),
                agreement_of_fractions: agreement(&values(|a, b| {
                    let mean = f64::midpoint(a, b);
                    (a / mean, b / mean)
                })),
                shared,
            });
        }
    }
    found
}

fn shared_unit(a: &Unit, b: &Unit, confidence: f64) -> Option<SharedUnit> {
    let (x, y) = (a.saturation.value()?, b.saturation.value()?);
    let own = a.saturation.error.hypot(b.saturation.error);
    let gains = a.saturation.shared.hypot(b.saturation.shared);
    let reach = two_sided_z(confidence) * own.hypot(gains);
    let difference = x - y;
    Some(SharedUnit {
        unit: a.name.clone(),
        saturations: (x, y),
        difference,
        low: difference - reach,
        high: difference + reach,
        fraction: difference / f64::midpoint(x, y),
    })
}
