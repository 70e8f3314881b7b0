//! What comparisons say, and what they leave unsaid, of invented units.

use evenhand_fitting::Response;
use evenhand_measurement::Force;
use evenhand_population::{
    Basis, CompareSettings, Comparison, FittedMeasurement, ForceEstimate, GroupBy, NearEnds,
    Profile, Quantity, READING_GRID, Verdict, compare, level_reading,
};
use proptest::prelude::*;

const SETTINGS: CompareSettings = CompareSettings {
    group_by: GroupBy::Model,
    confidence: 0.95,
    seed: 1,
    consistency_limit: 0.1,
    pool_benches: false,
};

fn figure(estimate: f64, error: f64) -> ForceEstimate {
    ForceEstimate {
        estimate,
        low: estimate - 1.96 * error,
        high: estimate + 1.96 * error,
        error,
        shared: 0.0,
        is_least: false,
        sd: error,
        freedom: f64::INFINITY,
    }
}

fn above(force: f64) -> ForceEstimate {
    ForceEstimate {
        estimate: force,
        low: force,
        high: f64::INFINITY,
        error: f64::NAN,
        shared: f64::NAN,
        is_least: true,
        sd: f64::NAN,
        freedom: f64::NAN,
    }
}

/// A measurement of a straight response; `limit` is the last force that the bench placed.
fn measured(
    model: &str,
    unit: &str,
    bench: &str,
    saturation: f64,
    limit: f64,
) -> FittedMeasurement {
    let onset = 5.0;
    let reached = saturation <= limit;
    let points: Vec<(Force, f64)> = (0..READING_GRID)
        .map(|level| {
            let reading = level_reading(level);
            (onset + (saturation - onset) * reading, reading)
        })
        .filter(|(force, _)| *force <= limit)
        .map(|(force, reading)| (Force::from_gf(force), reading))
        .collect();
    let response = Response::from_points(&points).expect("a response");
    let up_to = |force: f64, bound: f64, error: f64| {
        if reached {
            figure(force, error)
        } else {
            above(bound)
        }
    };
    FittedMeasurement {
        file: format!("{model}-{unit}-{bench}-{saturation}.csv"),
        sha256: format!("{model}{unit}{bench}{saturation}"),
        folder: None,
        model: Some(model.to_owned()),
        unit: Some(unit.to_owned()),
        bench: Some(bench.to_owned()).filter(|name| !name.is_empty()),
        date: None,
        lever: None,
        tilt_deg: None,
        read_at: None,
        samples: 20,
        left_out: 0,
        largest_gf: limit,
        onset: figure(onset, 0.3),
        saturation: up_to(saturation, limit, 1.0),
        span: up_to(saturation - onset, limit - onset, 1.1),
        saturation_class: None,
        profile: Profile::of(&response),
        resolution_gf: 0.02,
        warnings: 0,
        near: NearEnds {
            at_1: figure(onset + 0.01 * (saturation - onset), 0.3),
            at_99: up_to(onset + 0.99 * (saturation - onset), limit, 1.0),
            is_onset_gentle: false,
            is_saturation_gentle: false,
        },
    }
}

/// Units of a model that have these saturation forces.
fn units(model: &str, saturations: &[f64]) -> Vec<FittedMeasurement> {
    let units = (0..).zip(saturations);
    let one = |(unit, saturation): (u32, &f64)| {
        measured(model, &format!("{unit:02}"), "", *saturation, 1000.0)
    };
    units.map(one).collect()
}

fn dunlins(saturations: &[f64]) -> Vec<FittedMeasurement> {
    units("Dunlin", saturations)
}

#[test]
fn one_unit_says_nothing_of_its_model() {
    let found = compare(dunlins(&[170.0]), SETTINGS);
    let group = &found.groups[0];
    assert_eq!(group.verdict, Verdict::OneUnit);
    assert!(group.shares_above.is_empty() && found.pairs.is_empty());
    assert_eq!(group.saturation.next_unit, None);
    assert_eq!(group.saturation.between_unit_sd, None);
}

#[test]
fn two_units_say_little() {
    let found = compare(dunlins(&[165.0, 175.0]), SETTINGS);
    let spread = &found.groups[0].saturation;
    let (low, high) = spread.next_unit.expect("two units foretell a third");
    // t(0.975, 1) = 12.706 (any table), s = 7.071, √1.5: half a width of 110 gf.
    assert!((high - low - 2.0 * 12.7062 * 50.0_f64.sqrt() * 1.5_f64.sqrt()).abs() < 0.01);
    assert_ne!(found.groups[0].verdict, Verdict::Consistent);
}

#[test]
fn words_follow_their_test() {
    let verdict = |saturations: &[f64]| compare(dunlins(saturations), SETTINGS).groups[0].verdict;
    let alike = verdict(&[169.0, 170.0, 170.5, 171.0, 169.5]);
    assert_eq!(alike, Verdict::Consistent);
    // Far apart, but four units do not tell that it is by more than a tenth: s = 21.4, at least 21.4 · √(3/7.815).
    let apart = verdict(&[140.0, 160.0, 175.0, 190.0]);
    assert_eq!(apart, Verdict::DiffersAmountUnknown);
    assert_eq!(verdict(&[100.0, 150.0, 200.0, 260.0]), Verdict::Varies);
    // Two nearly equal units leave a wide bound, and no difference either.
    let mut near = dunlins(&[169.0, 172.5]);
    for one in &mut near {
        one.saturation = figure(one.saturation.estimate, 2.0);
    }
    let near = compare(near, SETTINGS).groups[0].verdict;
    assert_eq!(near, Verdict::Inconclusive);
}

#[test]
fn benches_are_never_pooled_unasked() {
    let collection = || {
        let mut all = Vec::new();
        for (unit, saturation) in [("01", 170.0), ("02", 172.0), ("03", 168.0)] {
            all.push(measured("Dunlin", unit, "window", saturation, 1000.0));
            all.push(measured("Dunlin", unit, "loft", 1.02 * saturation, 1000.0));
        }
        all
    };
    let found = compare(collection(), SETTINGS);
    assert_eq!(found.groups.len(), 2);
    for group in &found.groups {
        let mut benches: Vec<_> = group.units.iter().map(|i| &found.units[*i].bench).collect();
        benches.dedup();
        assert_eq!(benches.len(), 1, "{benches:?}");
    }
    assert_eq!(found.enveloped.len(), 3, "the envelope holds one bench");
    // Models of different benches are not compared.
    assert!(found.pairs.is_empty());
    let bias = &found.benches[0];
    assert_eq!(bias.shared.len(), 3);
    let agreement = bias.agreement_of_fractions.expect("three shared units");
    // loft less window: 2 parts in 101.
    assert!((agreement.bias - 0.02 / 1.01).abs() < 1e-9, "{agreement:?}");

    let pooling = CompareSettings {
        pool_benches: true,
        ..SETTINGS
    };
    let pooled = compare(collection(), pooling);
    assert_eq!((pooled.groups.len(), pooled.enveloped.len()), (1, 3));
    // A unit on both benches is one unit, not two of the three that the model's spread rests on.
    assert_eq!(pooled.groups[0].saturation.known, 3);
    let first = pooled.units.iter().find(|unit| unit.name == "Dunlin 01");
    let mean = first.expect("the unit").saturation.estimate;
    assert!((mean - 171.7).abs() < 1e-9, "{mean}");
    // What the benches differ by is told all the same.
    assert_eq!(pooled.benches, found.benches);
    assert!(pooled.repeats.is_empty(), "another bench is no repeat");
}

#[test]
fn gains_of_both_benches_are_in_what_they_differ_by() {
    let on = |bench: &str, saturation: f64, shared: f64| {
        let mut one = measured("Dunlin", "01", bench, saturation, 1000.0);
        one.saturation.shared = shared;
        one
    };
    let both = vec![on("loft", 306.0, 3.0), on("window", 300.0, 2.0)];
    let found = compare(both, SETTINGS);
    let shared = &found.benches[0].shared[0];
    // JCGM 100, 5.1.2: squares of 1, 1, 3 and 2 gf; the normal quantile from any table.
    let reach = 1.959_964 * 15.0_f64.sqrt();
    assert!((shared.difference - 6.0).abs() < 1e-9, "{shared:?}");
    let reaches = [
        shared.high - shared.difference,
        shared.difference - shared.low,
    ];
    assert!(
        reaches.iter().all(|found| (found - reach).abs() < 1e-4),
        "{shared:?}"
    );
}

#[test]
fn units_that_never_saturated_leave_the_next_one_open() {
    let saturations = [168.0, 170.0, 171.0, 173.0, 175.0];
    let closed = compare(dunlins(&saturations), SETTINGS).groups[0].saturation;
    let mut all = dunlins(&saturations);
    all.push(measured("Dunlin", "05", "", 2500.0, 1000.0));
    let open = compare(all, SETTINGS).groups[0].saturation;
    for (closed, open) in [
        (closed.next_unit, open.next_unit),
        (closed.tolerance_90, open.tolerance_90),
    ] {
        let (closed, open) = (closed.expect("five units"), open.expect("five units"));
        assert!(closed.1.is_finite() && open.1.is_infinite(), "{open:?}");
        assert!((open.0 - closed.0).abs() < 1e-9, "{open:?} and {closed:?}");
    }
}

/// Straight responses from 5 gf: one to 200 gf, one towards 2500 gf that is known up to 1000 gf, a reading of 39 %.
#[test]
fn a_typical_response_goes_as_far_as_the_middle_unit() {
    let soft = measured("Dunlin", "01", "", 200.0, 1000.0);
    let stiff = measured("Dunlin", "02", "", 2500.0, 1000.0);
    let of = |all: Vec<FittedMeasurement>| compare(all, SETTINGS).groups[0].typical.clone();
    let two = of(vec![soft.clone(), stiff.clone()]);
    let expected = 5.0 + 0.3 * (195.0 + 2495.0) / 2.0;
    assert!((two.forces()[30] - expected).abs() < 1e-9);
    assert!(two.forces()[60].is_infinite());
    // Of three the middle one saturates, and the stiff one is none of those.
    let mut other = soft.clone();
    other.unit = Some("03".to_owned());
    let three = of(vec![soft, stiff, other]);
    assert!((three.forces()[60] - (5.0 + 0.6 * 195.0)).abs() < 1e-9);
}

#[test]
fn probabilities_of_groups_are_corrected_by_holm() {
    let mut all = Vec::new();
    for (model, low, high) in [
        ("a", 100.0, 102.0),
        ("b", 200.0, 202.5),
        ("c", 300.0, 303.0),
    ] {
        all.extend(units(model, &[low, high]));
    }
    let found = compare(all, SETTINGS);
    // χ² of one degree of freedom is z²: two-sided normal tails of d/√2, 0.15730, 0.07710 and 0.03389, the least times 3,
    // the next times 2, none below the one before.
    let expected = [0.157_30, 0.154_20, 0.101_68];
    for (group, expected) in found.groups.iter().zip(expected) {
        let p = group.homogeneity_p.expect("two units");
        assert!((p - expected).abs() < 2e-4, "{}: {p}", group.name);
    }
}

#[test]
fn gentle_ends_are_compared_by_the_forces_beside_them() {
    let mut all = units("a", &[100.0, 101.0, 102.0]);
    all.extend(units("b", &[300.0, 301.0, 302.0]));
    let plain = compare(all.clone(), SETTINGS);
    let pair = &plain.pairs[0];
    assert!(pair.at_1.is_none() && pair.at_99.is_none());
    assert_eq!(pair.upper(), pair.saturation.as_ref());
    all[4].near.is_saturation_gentle = true;
    let gentle = compare(all, SETTINGS);
    let pair = &gentle.pairs[0];
    let upper = pair.upper().expect("all reach 99 %");
    // Responses are straight: 99 % of what saturation forces differ by, and probabilities of the same order.
    assert!((upper.estimate + 0.99 * 200.0).abs() < 1e-9, "{upper:?}");
    assert_eq!(Some(upper), pair.at_99.as_ref());
    assert!(pair.at_1.is_none());
    let flagged = gentle.groups.iter().map(|g| g.is_saturation_gentle);
    assert!(flagged.eq([false, true]));
}

/// Alike where they leave off being alike: saturation forces far apart, forces at 99 % not.
#[test]
fn a_group_with_a_gentle_end_is_judged_by_the_force_at_99_percent() {
    let mut all = Vec::new();
    for (model, first) in [("a", 200.0), ("b", 300.0)] {
        for unit in 0..5_u32 {
            let saturation = first + 40.0 * f64::from(unit);
            let mut one = measured(model, &unit.to_string(), "", saturation, 1000.0);
            one.near.at_99 = figure(150.0, 1.0);
            all.push(one);
        }
    }
    let plain = compare(all.clone(), SETTINGS);
    let differ = plain.all_groups.expect("two groups");
    assert!(differ.h > 1.0, "{differ:?}");
    assert_ne!(plain.groups[0].verdict, Verdict::Consistent);
    for one in &mut all {
        one.near.is_saturation_gentle = true;
    }
    let gentle = compare(all, SETTINGS);
    assert_eq!(gentle.all_groups_by, Quantity::At99);
    // All equal: nothing can be put in order.
    assert!(
        gentle
            .all_groups
            .is_none_or(|all| all.h.abs() < 1e-9 || all.h.is_nan())
    );
    let group = &gentle.groups[0];
    assert_eq!(group.verdict, Verdict::Consistent);
    assert_eq!(group.upper(), &group.at_99);
}

#[test]
fn repeats_are_one_unit() {
    let mut all = dunlins(&[170.0, 180.0]);
    all.push(measured("Dunlin", "00", "", 176.0, 1000.0));
    let found = compare(all, SETTINGS);
    assert_eq!(found.units.len(), 2);
    let unit = found.units.iter().find(|unit| unit.is_repeated());
    let saturation = unit.expect("a repeat").saturation;
    assert!((saturation.estimate - 173.0).abs() < 1e-9);
    // Repeats 6 gf apart scatter by 4.24 gf; their mean is known to 3 gf, not to what each claims.
    assert!((saturation.error - 3.0).abs() < 1e-9, "{saturation:?}");
    let all = found.repeatability.expect("a repeat");
    assert!((all.sd - 18.0_f64.sqrt() / 173.0).abs() < 1e-9, "{all:?}");
    assert!(all.p < 0.01, "more than their intervals foretell: {all:?}");
    // The repeatability limit: 1.96 · √2 standard deviations, which ISO 5725-6 rounds to 2.8.
    let off = all.limit / all.sd - 1.96 * 2.0_f64.sqrt();
    assert!(off.abs() < 0.005, "{all:?}");
}

#[test]
fn a_stiff_unit_is_flagged_and_keeps_its_bound() {
    let mut all = dunlins(&[168.0, 170.0, 171.0, 173.0, 175.0]);
    all.push(measured("Dunlin", "05", "", 2500.0, 1000.0));
    let found = compare(all, SETTINGS);
    let group = &found.groups[0];
    let spread = &group.saturation;
    assert_eq!((spread.known, spread.unsaturated), (5, 1));
    let flag = found.flags.iter().find(|flag| flag.what == "saturation");
    let flag = flag.expect("a flag");
    assert!(flag.is_least && flag.score > 3.5, "{flag:?}");
    assert_eq!(found.units[flag.unit].name, "Dunlin 05");
    assert_eq!(group.shares_above[0].basis, Basis::Counts);
    assert!((group.shares_above[0].estimate - 1.0 / 6.0).abs() < 1e-12);
    // A unit without saturation is not alike.
    assert_ne!(group.verdict, Verdict::Consistent);
    // The typical response is that of the units that saturate.
    assert_eq!(group.typical.reached(), READING_GRID);
}

#[test]
fn the_least_probability_is_told() {
    let mut all = dunlins(&[100.0, 101.0, 102.0]);
    all.extend(units("Avocet", &[300.0, 301.0, 303.0, 305.0]));
    let found = compare(all, SETTINGS);
    let pair = &found.pairs[0];
    let saturation = pair.saturation.as_ref().expect("both saturate");
    // Fully apart: 1 of 7!/(3! 4!) = 35 divisions.
    assert!((saturation.permutation.p - 1.0 / 35.0).abs() < 1e-12);
    assert!((saturation.least_p - 1.0 / 35.0).abs() < 1e-12);
    assert!(saturation.permutation.is_exact);
}

#[test]
fn threads_and_order_do_not_matter() {
    let all: Vec<FittedMeasurement> = (0..40_u32)
        .map(|i| {
            let model = ["Dunlin", "Avocet", "Godwit"][i as usize % 3];
            let saturation = 150.0 + 90.0 * f64::from(i % 3) + f64::from(i * i % 23);
            measured(model, &format!("{i:02}"), "", saturation, 1000.0)
        })
        .collect();
    let names = |comparison: &Comparison| -> Vec<String> {
        let names = comparison.units.iter().map(|unit| unit.name.clone());
        names.collect()
    };
    let told = |found: &Comparison| {
        let (groups, pairs, flags) = (&found.groups, &found.pairs, &found.flags);
        format!("{:?}{groups:?}{pairs:?}{flags:?}", names(found))
    };
    let in_threads = |threads: usize, all: Vec<FittedMeasurement>| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
        pool.expect("a pool").install(|| compare(all, SETTINGS))
    };
    let one = told(&in_threads(1, all.clone()));
    assert_eq!(one, told(&in_threads(4, all.clone())), "threads");
    // With repeats, whose mean is a sum in some order.
    let mut all = all;
    for number in 0..3_u32 {
        let saturation = 151.3 + 0.1 * f64::from(number).sqrt();
        all.push(measured("Dunlin", "00", "", saturation, 1000.0));
    }
    let in_order = told(&compare(all.clone(), SETTINGS));
    all.reverse();
    assert_eq!(in_order, told(&compare(all.clone(), SETTINGS)), "reversed");
    all.rotate_left(17);
    assert_eq!(in_order, told(&compare(all, SETTINGS)), "turned");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn whatever_the_units_what_is_said_holds_together(
        saturations in prop::collection::vec((20.0_f64..1500.0, 0_usize..4, 0_usize..5, any::<bool>()), 1..24),
    ) {
        let all: Vec<FittedMeasurement> = saturations
            .iter()
            .map(|(saturation, model, unit, loft)| {
                let bench = if *loft { "loft" } else { "window" };
                measured(["a", "b", "c", "d"][*model], &unit.to_string(), bench, *saturation, 1000.0)
            })
            .collect();
        let count = all.len();
        let found = compare(all, SETTINGS);
        let grouped: usize = found.groups.iter().map(|g| g.units.len()).sum();
        prop_assert_eq!(grouped, found.units.len());
        let used: usize = found.units.iter().map(|u| u.measurements.len()).sum();
        prop_assert_eq!(used, count, "nothing is dropped");
        let envelope = found.envelope.as_ref().expect("an envelope");
        for index in &found.enveloped {
            let forces = found.units[*index].profile.forces();
            for (level, force) in forces.iter().enumerate() {
                prop_assert!(envelope.least[level] <= *force && *force <= envelope.greatest[level]);
            }
        }
        for group in &found.groups {
            for reach in &group.shares_above {
                prop_assert!(0.0 <= reach.low && reach.low <= reach.estimate, "{:?}", reach);
                prop_assert!(reach.estimate <= reach.high && reach.high <= 1.0, "{:?}", reach);
            }
            if let Some((low, high)) = group.saturation.next_unit {
                prop_assert!(low <= group.saturation.mean && group.saturation.mean <= high);
            }
        }
        for pair in &found.pairs {
            prop_assert_eq!(&found.groups[pair.first].bench, &found.groups[pair.second].bench);
            if let Some(figure) = &pair.saturation {
                prop_assert!(figure.permutation.p >= figure.least_p * (1.0 - 1e-12), "{:?}", figure);
                prop_assert!(figure.corrected_p >= figure.permutation.p);
            }
        }
    }
}
