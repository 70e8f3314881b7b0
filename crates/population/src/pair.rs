//! Two groups compared.

use crate::curve_difference::{CurveDifference, curve_difference};
use crate::mann_whitney::{MannWhitney, mann_whitney};
use crate::permutation::{Permutation, divisions, permutation_test};
use crate::profile::Profile;
use crate::sample::Sample;
use crate::unit::{Quantity, Unit};
use crate::welch::{Difference, welch};

/// How a figure differs between two groups, first less second, gf.
#[derive(Clone, Debug, PartialEq)]
pub struct ForceDifference {
    /// Difference of the means.
    pub estimate: f64,
    /// Welch's interval; `None` where a group has fewer than two known values or nothing varies.
    pub interval: Option<Difference>,
    /// Comparison by order alone.
    pub order: MannWhitney,
    /// Permutation test of the means.
    pub permutation: Permutation,
    /// Its probability, corrected for all pairs (Holm).
    pub corrected_p: f64,
    /// The least probability that groups of these sizes could give, whatever their values.
    pub least_p: f64,
    /// Welch's probability, corrected for all pairs (Holm).
    pub welch_corrected_p: Option<f64>,
}

/// Two groups on one bench.
#[derive(Clone, Debug)]
pub struct Pair {
    /// First group, by its place in [`crate::Comparison::groups`].
    pub first: usize,
    /// Second group.
    pub second: usize,
    /// Onset forces; `None` where a group has no known one.
    pub onset: Option<ForceDifference>,
    /// Saturation forces of the units that saturate.
    pub saturation: Option<ForceDifference>,
    /// The curves.
    pub curve: Option<CurveDifference>,
    /// Probability of the curves' distance, corrected for all pairs (Holm).
    pub curve_corrected_p: Option<f64>,
    /// Forces at 1 %, where a unit of either group has a gentle onset: they are compared instead of onset.
    pub at_1: Option<ForceDifference>,
    /// Forces at 99 %, where a unit of either group has a gentle saturation: they are compared instead of saturation.
    pub at_99: Option<ForceDifference>,
}

/// How pairs are tried.
#[derive(Clone, Copy, Debug)]
pub(crate) struct PermutationSettings {
    pub(crate) confidence: f64,
    pub(crate) draws: u32,
    pub(crate) seed: u64,
}

/// Of all divisions the one found is as far apart as itself, and with equal sizes its mirror image too.
fn least_p(first: usize, second: usize, permutation: &Permutation, draws: u32) -> f64 {
    if !permutation.is_exact {
        return 1.0 / f64::from(draws + 1);
    }
    let as_far = if first == second { 2.0 } else { 1.0 };
    as_far / divisions(first, second)
}

fn profiles<'a>(units: &[&'a Unit]) -> Vec<&'a Profile> {
    units.iter().map(|unit| &unit.profile).collect()
}

impl Pair {
    /// What the groups are compared by at the upper end: the force at 99 % where responses reach full scale gently,
    /// else saturation.
    #[must_use]
    pub fn upper(&self) -> Option<&ForceDifference> {
        self.at_99.as_ref().or(self.saturation.as_ref())
    }

    pub(crate) fn of(
        (first, units_of_first): (usize, &[&Unit]),
        (second, units_of_second): (usize, &[&Unit]),
        settings: PermutationSettings,
    ) -> Self {
        let values = |units: &[&Unit], quantity: Quantity| -> Vec<f64> {
            units
                .iter()
                .filter_map(|u| quantity.of(u).value())
                .collect()
        };
        let figure = |quantity: Quantity| {
            let (a, b) = (
                values(units_of_first, quantity),
                values(units_of_second, quantity),
            );
            let permutation = permutation_test(&a, &b, settings.draws, settings.seed)?;
            let interval = welch(Sample::of(&a), Sample::of(&b), settings.confidence);
            Some(ForceDifference {
                estimate: permutation.difference,
                least_p: least_p(a.len(), b.len(), &permutation, settings.draws),
                welch_corrected_p: interval.map(|found| found.p),
                interval,
                order: mann_whitney(&a, &b, settings.confidence)?,
                corrected_p: permutation.p,
                permutation,
            })
        };
        let all = || units_of_first.iter().chain(units_of_second);
        let is_onset_gentle = all().any(|unit| unit.near.is_onset_gentle);
        let is_saturation_gentle = all().any(|unit| unit.near.is_saturation_gentle);
        let curve = curve_difference(
            &profiles(units_of_first),
            &profiles(units_of_second),
            settings.confidence,
            settings.draws,
            settings.seed,
        );
        Self {
            first,
            second,
            onset: figure(Quantity::Onset),
            saturation: figure(Quantity::Saturation),
            at_1: is_onset_gentle.then(|| figure(Quantity::At1)).flatten(),
            at_99: is_saturation_gentle
                .then(|| figure(Quantity::At99))
                .flatten(),
            curve_corrected_p: curve.as_ref().map(|c| c.p),
            curve,
        }
    }
}
