//! All of a comparison, from fitted measurements.

use std::collections::BTreeMap;

use rayon::prelude::*;

use crate::bench_bias::{BenchBias, bench_biases};
use crate::clusters::Clusters;
use crate::corrections::holm;
use crate::envelope::{Envelope, envelope};
use crate::flag::{Flag, flags};
use crate::group::{Group, SHARE_LIMITS_GF, Verdict};
use crate::kruskal_wallis::{KruskalWallis, kruskal_wallis};
use crate::measured::{FittedMeasurement, ForceEstimate};
use crate::pair::{ForceDifference, Pair, PermutationSettings};
use crate::percentile_rank::percentile_rank;
use crate::profile::{Profile, READING_GRID};
use crate::repeats::{Repeatability, Repeats, repeatability, repeats};
use crate::share_above::{ShareAbove, share_above};
use crate::spread::Spread;
use crate::unit::{Quantity, Unit};
use crate::variance_components::variance_components;

/// Groups beyond this number are not compared two by two.
const MOST_PAIRED_GROUPS: usize = 45;
/// Divisions that a permutation test draws at least.
const LEAST_DRAWS: u32 = 20_000;
/// Draws for each pair, so that a correction for all pairs leaves something to find.
const DRAWS_PER_PAIR: u32 = 40;

/// What makes a group.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GroupBy {
    /// Units of one model.
    Model,
    /// Units found in one folder.
    Folder,
    /// All of them.
    All,
}

impl GroupBy {
    /// The word.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Model => "model",
            Self::Folder => "folder",
            Self::All => "all",
        }
    }
}

/// How measurements are compared.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CompareSettings {
    /// What makes a group.
    pub group_by: GroupBy,
    /// Probability that an interval should hold; the measurements' fits have the same.
    pub confidence: f64,
    /// Seed of permutation tests.
    pub seed: u64,
    /// Units count as consistent up to this standard deviation between them, a fraction of their mean saturation force.
    pub consistency_limit: f64,
    /// Put units of different benches into one group.
    pub pool_benches: bool,
}

/// A collection of measurements compared. Units are ordered by group, then by saturation force.
#[derive(Clone, Debug)]
pub struct Comparison {
    /// How it was made.
    pub settings: CompareSettings,
    /// The measurements, by the names of their files, then by what these hold.
    pub measured: Vec<FittedMeasurement>,
    /// The units, each on one bench.
    pub units: Vec<Unit>,
    /// The groups by the saturation force of their middle unit.
    pub groups: Vec<Group>,
    /// Envelope of the units of the bench with most units, or of all benches where pooled.
    pub envelope: Option<Envelope>,
    /// The units within it.
    pub enveloped: Vec<usize>,
    /// Bench whose units the envelope holds, where benches are named and not pooled.
    pub envelope_bench: Option<String>,
    /// Where each unit's saturation force stands among those of the envelope, 0..1.
    pub percentile_ranks: Vec<Option<f64>>,
    /// Units far from the others of their group.
    pub flags: Vec<Flag>,
    /// Groups of two units or more on the same bench, two by two.
    pub pairs: Vec<Pair>,
    /// Whether there were too many groups to compare two by two.
    pub too_many_pairs: bool,
    /// All groups of two units or more on the envelope's bench at once, by the order of
    /// [`Comparison::all_groups_by`].
    pub all_groups: Option<KruskalWallis>,
    /// What these are compared by: the force at 99 % where one of them reaches full scale gently, else saturation.
    pub all_groups_by: Quantity,
    /// Units that were measured more than once on a bench.
    pub repeats: Vec<Repeats>,
    /// Repeatability over all of them.
    pub repeatability: Option<Repeatability>,
    /// Benches with units in common.
    pub benches: Vec<BenchBias>,
}

impl Comparison {
    /// Whether measurements come from more than one bench.
    #[must_use]
    pub fn has_several_benches(&self) -> bool {
        self.measured
            .iter()
            .any(|one| one.bench != self.measured[0].bench)
    }

    /// The flags of a unit.
    pub fn flags_of(&self, unit: usize) -> impl Iterator<Item = &Flag> {
        self.flags.iter().filter(move |flag| flag.unit == unit)
    }
}

/// Compares measurements. The same measurements, settings and seed give the same result in any order and for any
/// number of threads.
#[must_use]
pub fn compare(mut measured: Vec<FittedMeasurement>, settings: CompareSettings) -> Comparison {
    // Sums differ in their last digits with the order of what is added.
    measured.sort_by(|a, b| (&a.file, &a.sha256).cmp(&(&b.file, &b.sha256)));
    let (units, members) = grouped(&measured, &settings);
    let envelope_bench = main_bench(&units);
    let is_enveloped = |bench: &Option<String>| settings.pool_benches || *bench == envelope_bench;
    let enveloped: Vec<usize> = (0..units.len())
        .filter(|index| is_enveloped(&units[*index].bench))
        .collect();
    let profiles: Vec<&Profile> = enveloped
        .iter()
        .map(|index| &units[*index].profile)
        .collect();
    let envelope = envelope(&profiles, settings.confidence);
    let saturations: Vec<f64> = enveloped
        .iter()
        .map(|index| ordering(&units[*index].saturation))
        .collect();
    let percentile_ranks: Vec<Option<f64>> = units
        .iter()
        .map(|unit| {
            // Among units of its own bench only; of few nothing is said.
            (enveloped.len() > 1 && is_enveloped(&unit.bench))
                .then(|| percentile_rank(ordering(&unit.saturation), &saturations))
                .flatten()
        })
        .collect();

    let mut groups: Vec<Group> = members
        .into_par_iter()
        .map(|member| group(member, &units, &measured, &percentile_ranks, &settings))
        .collect();
    judge(&mut groups, settings.consistency_limit);
    let flags = groups
        .iter()
        .enumerate()
        .flat_map(|(place, group)| {
            let own: Vec<(usize, &Unit)> = group.units.iter().map(|i| (*i, &units[*i])).collect();
            let mut steps: Vec<f64> = own
                .iter()
                .flat_map(|(_, unit)| &unit.measurements)
                .map(|index| measured[*index].resolution_gf)
                .collect();
            steps.sort_by(f64::total_cmp);
            flags(&own, place, crate::mann_whitney::median(&steps))
        })
        .collect();
    let (pairs, too_many_pairs) = pairs(&groups, &units, &settings);
    let on_bench = || groups.iter().filter(|g| is_enveloped(&g.bench));
    let all_groups_by = Quantity::upper(on_bench().any(|g| g.is_saturation_gentle));
    let values: Vec<Vec<f64>> = on_bench()
        .map(|g| known_forces(g, all_groups_by, &units))
        .filter(|values| values.len() >= 2)
        .collect();
    let all_groups = (values.len() >= 2)
        .then(|| kruskal_wallis(&values))
        .flatten();
    // Pooled or not, what repeats and benches show is told of each bench by itself.
    let apart = settings.pool_benches.then(|| {
        let unpooled = CompareSettings {
            pool_benches: false,
            ..settings
        };
        grouped(&measured, &unpooled).0
    });
    let apart = apart.as_ref().unwrap_or(&units);
    Comparison {
        repeats: apart
            .iter()
            .filter_map(|unit| repeats(unit, &measured))
            .collect(),
        repeatability: repeatability(apart, &measured),
        benches: bench_biases(apart, settings.confidence),
        envelope_bench: envelope_bench.filter(|_| !settings.pool_benches),
        settings,
        measured,
        units,
        groups,
        envelope,
        enveloped,
        percentile_ranks,
        flags,
        pairs,
        too_many_pairs,
        all_groups,
        all_groups_by,
    }
}

/// A saturation force for ordering: those that are only known to lie above come last.
fn ordering(figure: &ForceEstimate) -> f64 {
    if figure.is_least {
        f64::INFINITY
    } else {
        figure.estimate
    }
}

fn known_forces(group: &Group, quantity: Quantity, units: &[Unit]) -> Vec<f64> {
    group
        .units
        .iter()
        .filter_map(|index| quantity.of(&units[*index]).value())
        .collect()
}

/// The units of a group before anything is said of them.
struct Member {
    key: String,
    bench: Option<String>,
    /// Whether the same key was measured on another bench too.
    is_one_of_several: bool,
    units: Vec<usize>,
}

/// A name with the bench it belongs to.
type OnBench = (String, Option<String>);

fn grouped(measured: &[FittedMeasurement], settings: &CompareSettings) -> (Vec<Unit>, Vec<Member>) {
    let mut found: BTreeMap<OnBench, BTreeMap<OnBench, Vec<usize>>> = BTreeMap::new();
    for (index, one) in measured.iter().enumerate() {
        let key = match settings.group_by {
            GroupBy::Model => one
                .model
                .clone()
                .unwrap_or_else(|| "no model named".to_owned()),
            GroupBy::Folder => one.folder.clone().unwrap_or_else(|| "no folder".to_owned()),
            GroupBy::All => "all units".to_owned(),
        };
        let bench = one.bench.clone().filter(|_| !settings.pool_benches);
        // Without a unit's name nobody knows whether two files are of one stylus: they are two.
        let name = match (&one.model, &one.unit) {
            (Some(model), Some(unit)) => format!("{model} {unit}"),
            _ => one.file.clone(),
        };
        found
            .entry((key, bench))
            .or_default()
            .entry((name, one.bench.clone().filter(|_| !settings.pool_benches)))
            .or_default()
            .push(index);
    }
    let mut each: Vec<(OnBench, Vec<Unit>)> = found
        .into_iter()
        .map(|(place, named)| {
            let mut own: Vec<Unit> = named
                .into_iter()
                .filter_map(|((name, _), indices)| {
                    Unit::of(name, measured, indices, settings.confidence)
                })
                .collect();
            own.sort_by(|a, b| {
                ordering(&a.saturation)
                    .total_cmp(&ordering(&b.saturation))
                    .then_with(|| a.name.cmp(&b.name))
            });
            (place, own)
        })
        .collect();
    // By the saturation force of the middle unit; groups of equal ones stay in the order of names.
    let middle = |own: &[Unit]| {
        own.get(own.len().saturating_sub(1) / 2)
            .map_or(f64::INFINITY, |unit| ordering(&unit.saturation))
    };
    each.sort_by(|(_, a), (_, b)| middle(a).total_cmp(&middle(b)));
    let keys: Vec<String> = each.iter().map(|((key, _), _)| key.clone()).collect();
    let mut units: Vec<Unit> = Vec::new();
    let mut members = Vec::new();
    for (place, ((key, bench), own)) in each.into_iter().enumerate() {
        let first = units.len();
        units.extend(own.into_iter().map(|unit| Unit {
            group: place,
            ..unit
        }));
        members.push(Member {
            is_one_of_several: keys.iter().filter(|other| **other == key).count() > 1,
            key,
            bench,
            units: (first..units.len()).collect(),
        });
    }
    (units, members)
}

/// The bench with most units; of several the first by name.
fn main_bench(units: &[Unit]) -> Option<String> {
    let mut counts: BTreeMap<Option<&str>, usize> = BTreeMap::new();
    for unit in units {
        *counts.entry(unit.bench.as_deref()).or_default() += 1;
    }
    let most = counts.values().copied().max()?;
    counts
        .into_iter()
        .find(|(_, count)| *count == most)
        .and_then(|(bench, _)| bench.map(str::to_owned))
}

fn group(
    member: Member,
    units: &[Unit],
    measured: &[FittedMeasurement],
    percentile_ranks: &[Option<f64>],
    settings: &CompareSettings,
) -> Group {
    let own: Vec<&Unit> = member.units.iter().map(|index| &units[*index]).collect();
    let figures = |quantity: Quantity| -> Vec<&ForceEstimate> {
        own.iter().map(|u| quantity.of(u)).collect()
    };
    let spread = |quantity| Spread::of(&figures(quantity), settings.confidence);
    let saturations = figures(Quantity::Saturation);
    let is_saturation_gentle = own.iter().any(|unit| unit.near.is_saturation_gentle);
    let shares_above: Vec<ShareAbove> = SHARE_LIMITS_GF
        .iter()
        .filter_map(|force| share_above(&saturations, *force, settings.confidence))
        .collect();
    let repeated: Vec<Vec<f64>> = own
        .iter()
        .map(|unit| {
            let each = unit.measurements.iter();
            each.filter_map(|index| measured[*index].saturation.value())
                .collect()
        })
        .collect();
    let mut places: Vec<f64> = member
        .units
        .iter()
        .filter_map(|i| percentile_ranks[*i])
        .collect();
    places.sort_by(f64::total_cmp);
    Group {
        name: match &member.bench {
            Some(bench) if member.is_one_of_several => format!("{} ({bench})", member.key),
            None if member.is_one_of_several => format!("{} (no bench named)", member.key),
            _ => member.key.clone(),
        },
        key: member.key,
        bench: member.bench,
        onset: spread(Quantity::Onset),
        saturation: spread(Quantity::Saturation),
        span: spread(Quantity::Span),
        shares_above,
        variance_components: variance_components(&repeated),
        verdict: Verdict::OneUnit,
        homogeneity_p: None,
        typical: typical(&own),
        percentile_rank: if places.is_empty() {
            f64::NAN
        } else {
            crate::mann_whitney::median(&places)
        },
        at_1: spread(Quantity::At1),
        at_99: spread(Quantity::At99),
        is_onset_gentle: own.iter().any(|unit| unit.near.is_onset_gentle),
        is_saturation_gentle,
        clusters: Clusters::of(
            &figures(Quantity::upper(is_saturation_gentle)),
            settings.confidence,
            settings.seed,
        ),
        units: member.units,
    }
}

/// Mean force at each level of the units that get as far as the middle one does, as far as all of these do.
fn typical(units: &[&Unit]) -> Profile {
    let mut reached: Vec<usize> = units.iter().map(|u| u.profile.reached()).collect();
    reached.sort_unstable();
    let half = reached
        .get((reached.len().max(1) - 1) / 2)
        .copied()
        .unwrap_or(0);
    let those: Vec<&Profile> = units
        .iter()
        .map(|u| &u.profile)
        .filter(|p| p.reached() >= half.min(READING_GRID))
        .collect();
    let mean = Profile::mean(&those);
    mean.unwrap_or_else(|| units[0].profile.clone())
}

/// Says of each group whether its units are alike, with probabilities corrected for all groups.
fn judge(groups: &mut [Group], consistency_limit: f64) {
    for group in groups.iter_mut() {
        group.homogeneity_p = group.upper().homogeneity_p;
    }
    correct(groups, |group| group.homogeneity_p.as_mut());
    correct(groups, |group| {
        group.clusters.as_mut().map(|found| &mut found.p)
    });
    for group in groups {
        group.verdict = Verdict::of(group.upper(), group.homogeneity_p, consistency_limit);
    }
}

fn pairs(groups: &[Group], units: &[Unit], settings: &CompareSettings) -> (Vec<Pair>, bool) {
    // One unit says nothing of its model, so nothing of how it differs from another.
    let usable: Vec<usize> = (0..groups.len())
        .filter(|index| groups[*index].units.len() >= 2)
        .collect();
    let mut wanted = Vec::new();
    for (place, first) in usable.iter().enumerate() {
        for second in &usable[place + 1..] {
            if groups[*first].bench == groups[*second].bench {
                wanted.push((*first, *second));
            }
        }
    }
    if usable.len() > MOST_PAIRED_GROUPS {
        return (Vec::new(), true);
    }
    let count = u32::try_from(wanted.len()).unwrap_or(u32::MAX);
    let settings = PermutationSettings {
        confidence: settings.confidence,
        draws: LEAST_DRAWS.max(count.saturating_mul(DRAWS_PER_PAIR)),
        seed: settings.seed,
    };
    let own = |group: usize| -> Vec<&Unit> {
        groups[group]
            .units
            .iter()
            .map(|index| &units[*index])
            .collect()
    };
    let mut pairs: Vec<Pair> = wanted
        .into_par_iter()
        .map(|(first, second)| Pair::of((first, &own(first)), (second, &own(second)), settings))
        .collect();
    let figures: [fn(&mut Pair) -> &mut Option<ForceDifference>; 4] = [
        |pair| &mut pair.saturation,
        |pair| &mut pair.onset,
        |pair| &mut pair.at_1,
        |pair| &mut pair.at_99,
    ];
    for of in figures {
        correct(&mut pairs, |pair| {
            of(pair).as_mut().map(|figure| &mut figure.corrected_p)
        });
        correct(&mut pairs, |pair| {
            of(pair).as_mut()?.welch_corrected_p.as_mut()
        });
    }
    correct(&mut pairs, |pair| pair.curve_corrected_p.as_mut());
    (pairs, false)
}

/// Corrects one probability of every group or pair for all of them together.
fn correct<T>(all: &mut [T], of: impl Fn(&mut T) -> Option<&mut f64>) {
    let plain: Vec<f64> = all.iter_mut().filter_map(|one| of(one).copied()).collect();
    for (slot, value) in all.iter_mut().filter_map(of).zip(holm(&plain)) {
        *slot = value;
    }
}
