//! The units of a model on a bench, and what they say of it.

use crate::clusters::Clusters;
use crate::profile::Profile;
use crate::share_above::ShareAbove;
use crate::spread::Spread;
use crate::unit::Quantity;
use crate::variance_components::VarianceComponents;

/// Forces for which it is told how probable it is that a unit reaches them: the limits of the saturation classes.
pub const SHARE_LIMITS_GF: [f64; 3] = [200.0, 400.0, 700.0];
/// Probabilities below this, corrected for the number of groups, count against "all alike".
pub const ALPHA: f64 = 0.05;

/// What the spread of a group's saturation forces, or of its forces at 99 % where those are gentle, allows to say.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// One unit: nothing is said of its model.
    OneUnit,
    /// The upper bound of the spread between units lies below the limit.
    Consistent,
    /// Its lower bound lies beyond the limit.
    Varies,
    /// Units differ by more than their measurements explain; whether by more than the limit is not known.
    DiffersAmountUnknown,
    /// Nothing is shown.
    Inconclusive,
}

impl Verdict {
    /// The word.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::OneUnit => "one unit",
            Self::Consistent => "consistent",
            Self::Varies => "varies",
            Self::DiffersAmountUnknown => "differs (amount unknown)",
            Self::Inconclusive => "inconclusive",
        }
    }

    /// Of the spread at the upper end. `consistency_limit` is the limit of the standard deviation between units as a part of
    /// the mean; `corrected_p` the probability of homogeneity, corrected.
    pub(crate) fn of(spread: &Spread, corrected_p: Option<f64>, consistency_limit: f64) -> Self {
        if spread.known + spread.unsaturated < 2 {
            return Self::OneUnit;
        }
        let limit = consistency_limit * spread.mean;
        let is_below = |bound: f64| bound < limit;
        let differs = corrected_p.is_some_and(|p| p < ALPHA);
        // Of units that did not saturate all that is known is that they lie above what was placed.
        if spread.unsaturated == 0 && spread.between_unit_sd_upper_bound.is_some_and(is_below) {
            Self::Consistent
        } else if differs
            && spread
                .between_unit_sd_lower_bound
                .is_some_and(|low| low > limit)
        {
            Self::Varies
        } else if differs {
            Self::DiffersAmountUnknown
        } else {
            Self::Inconclusive
        }
    }
}

/// A group of units measured on one bench, or on several where pooling was asked for.
#[derive(Clone, Debug)]
pub struct Group {
    /// Its name, with the bench where there are several.
    pub name: String,
    /// Its model, folder or other key, alone.
    pub key: String,
    /// Bench, unless it is not named or several are pooled.
    pub bench: Option<String>,
    /// Its units, by their places in [`crate::Comparison::units`].
    pub units: Vec<usize>,
    /// Onset forces.
    pub onset: Spread,
    /// Saturation forces.
    pub saturation: Spread,
    /// Spans.
    pub span: Spread,
    /// Probability that a unit reaches each of [`SHARE_LIMITS_GF`]; empty of one unit.
    pub shares_above: Vec<ShareAbove>,
    /// Saturation forces split into units and repeats, where a unit was measured more than once.
    pub variance_components: Option<VarianceComponents>,
    /// Whether its units are alike by [`Group::upper`].
    pub verdict: Verdict,
    /// Homogeneity by [`Group::upper`], corrected for the number of groups (Holm).
    pub homogeneity_p: Option<f64>,
    /// Mean force at each level over the units that get as far as the middle one does (of two the lower); infinite
    /// beyond that.
    pub typical: Profile,
    /// Its median unit by saturation among the units of the envelope: part of them below, 0..1; NaN where it is none
    /// of them.
    pub percentile_rank: f64,
    /// The cleanest division of its units into two by [`Group::upper_quantity`], where four or more get there;
    /// [`Clusters::is_shown`] says whether there are two.
    pub clusters: Option<Clusters>,
    /// Forces at 1 %.
    pub at_1: Spread,
    /// Forces at 99 %.
    pub at_99: Spread,
    /// Whether a unit leaves 0 so gently that groups are compared by the force at 1 % instead of onset.
    pub is_onset_gentle: bool,
    /// Whether one reaches full scale so gently that groups are compared by the force at 99 % instead of saturation.
    pub is_saturation_gentle: bool,
}

impl Group {
    /// What its units are compared by at the upper end: the force at 99 % where one reaches full scale gently, else
    /// saturation.
    #[must_use]
    pub const fn upper_quantity(&self) -> Quantity {
        Quantity::upper(self.is_saturation_gentle)
    }

    /// How that differs between its units.
    #[must_use]
    pub const fn upper(&self) -> &Spread {
        match self.upper_quantity() {
            Quantity::At99 => &self.at_99,
            _ => &self.saturation,
        }
    }
}
