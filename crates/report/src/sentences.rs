//! What is said of a comparison, for terminals and pages alike.

use evenhand_fitting::BENCH_GAIN;
use evenhand_measurement::ReadAt;
use evenhand_population::{
    ALPHA, Basis, BenchBias, Comparison, Flag, Group, Pair, Quantity, ShareAbove, Spread,
    TOLERANCE_PART, UnitMatch, Verdict,
};
use evenhand_text::{count, percent};

use crate::findings::{Findings, MatchReport};

/// What bench and reader should beware of.
pub const CAUTIONS: [&str; 5] = [
    "Loose weights fall: guard the lever and your feet.",
    "Do not load past the maker's limit for nib or glass; from 1 kgf (9.8 N) on stop unless the maker allows it.",
    "A map changes what is drawn, not what the hand presses: hours of pressing hard can hurt. With pain or numbness rest, and ask a clinician.",
    "Saturation classes, groupings and the words consistent and varies are a bench's opinion, not a maker's specification.",
    "Few units say little of a model: read the intervals, not the means.",
];

/// Units of a cluster beyond this are counted, not named.
const MOST_NAMED: usize = 8;

/// A force without needless digits.
fn force(value: f64) -> String {
    if value.abs() < 20.0 {
        format!("{value:.1}")
    } else {
        format!("{value:.0}")
    }
}

fn range((low, high): (f64, f64)) -> String {
    // Above what was placed nothing is known.
    if high.is_infinite() {
        return format!("above {} gf (no upper end known)", force(low.max(0.0)));
    }
    // A force below 0 is none; where the normal law reaches there, that is its end.
    if low <= 0.0 {
        return format!("below {} gf", force(high));
    }
    format!("{} to {} gf", force(low), force(high))
}

/// A probability in percent; those near certainty keep a digit.
#[must_use]
pub fn probability(p: f64) -> String {
    let percent = 100.0 * p;
    if percent <= 0.0 || percent >= 100.0 {
        format!("{percent:.0} %")
    } else if percent < 0.1 {
        "below 0.1 %".to_owned()
    } else if percent > 99.9 {
        "above 99.9 %".to_owned()
    } else if !(1.0..=99.0).contains(&percent) {
        format!("{percent:.1} %")
    } else {
        format!("{percent:.0} %")
    }
}

fn p_value(p: f64) -> String {
    if p < 0.0001 {
        "p below 0.0001".to_owned()
    } else if p < 0.01 {
        format!("p = {p:.4}")
    } else if p < 0.1 {
        format!("p = {p:.3}")
    } else {
        format!("p = {p:.2}")
    }
}

fn percent_of(part: f64) -> String {
    format!("{:.1} %", 100.0 * part)
}

/// Units, groups, benches and measurements in one line.
#[must_use]
pub fn overview(comparison: &Comparison) -> String {
    let mut benches: Vec<Option<&str>> = comparison
        .measured
        .iter()
        .map(|m| m.bench.as_deref())
        .collect();
    benches.sort_unstable();
    benches.dedup();
    let on = match benches[..] {
        [None] => "on benches without a name, taken as one".to_owned(),
        [Some(bench)] => format!("on the bench {bench}"),
        _ => format!(
            "on {}",
            count(benches.len(), "bench").replace("benchs", "benches")
        ),
    };
    let mut names: Vec<&str> = comparison.units.iter().map(|u| u.name.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    let again = match comparison.units.len() - names.len() {
        0 => String::new(),
        more => format!(" ({more} of them also on another bench)"),
    };
    format!(
        "{}{again} of {} {on}, {}",
        count(names.len(), "unit"),
        count(comparison.groups.len(), "group"),
        count(comparison.measured.len(), "measurement"),
    )
}

/// A group in one line, for charts.
#[must_use]
pub fn group_note(group: &Group) -> String {
    let saturation = &group.saturation;
    let units = count(group.units.len(), "unit");
    let open = open_words(saturation);
    if saturation.known == 0 {
        return format!("{units}, saturation not reached");
    }
    if group.units.len() == 1 {
        return format!(
            "1 unit, saturation {} gf; one unit says nothing of its model",
            force(saturation.mean)
        );
    }
    match saturation.next_unit {
        Some(next) => format!(
            "{units}{open}, saturation {} gf, next unit{} {}; {}",
            force(saturation.mean),
            of_those(saturation),
            range(next),
            group.verdict.as_str()
        ),
        None => format!("{units}{open}, saturation {} gf", force(saturation.mean)),
    }
}

fn open_words(spread: &Spread) -> String {
    if spread.unsaturated == 0 {
        String::new()
    } else {
        format!(" ({} did not saturate)", spread.unsaturated)
    }
}

/// Whom a statement about units leaves out.
fn of_those(spread: &Spread) -> &'static str {
    if spread.unsaturated > 0 {
        " that saturates"
    } else {
        ""
    }
}

/// A group in sentences: its spread, its next unit, what it reaches, and whether its units are alike.
#[must_use]
pub fn group_sentences(group: &Group, comparison: &Comparison) -> Vec<String> {
    let confidence = percent(comparison.settings.confidence);
    if group.units.len() < 2 {
        return vec!["one unit: nothing is said of its model".to_owned()];
    }
    let mut sentences = Vec::new();
    let saturation = &group.saturation;
    if saturation.unsaturated > 0 {
        let rest = match saturation.known {
            0 => "no mean and no spread of saturation is known".to_owned(),
            1 => format!("the other at {} gf", force(saturation.mean)),
            others => format!(
                "means and spreads are those of the {others} others, and say nothing of units that do not saturate"
            ),
        };
        sentences.push(format!(
            "{} of {} did not saturate within the forces placed; {rest}",
            saturation.unsaturated,
            count(group.units.len(), "unit"),
        ));
    }
    sentences.extend(spread_sentence("saturation", saturation, &confidence));
    sentences.extend(spread_sentence("onset", &group.onset, &confidence));
    for (is_gentle, end, quantity, spread) in [
        (
            group.is_saturation_gentle,
            "a response reaches full scale gently, so that saturation is hardly shown",
            Quantity::At99,
            &group.at_99,
        ),
        (
            group.is_onset_gentle,
            "a response leaves 0 gently, so that onset is hardly shown",
            Quantity::At1,
            &group.at_1,
        ),
    ] {
        if let Some(sentence) = spread_sentence(quantity.as_str(), spread, &confidence)
            && is_gentle
        {
            sentences.push(format!("{end}; compare by {sentence}"));
        }
    }
    if let Some(first) = group.shares_above.first() {
        let each: Vec<String> = group.shares_above.iter().map(reach_words).collect();
        let basis = match first.basis {
            Basis::Normal => "if units are normal",
            Basis::Counts => "by counting units",
        };
        sentences.push(format!(
            "a unit still responds at {} ({confidence} % intervals, {basis})",
            each.join(", ")
        ));
    }
    if let Some(parts) = &group.variance_components {
        sentences.push(format!(
            "split by repeats instead of by intervals: repeats of one unit scatter by {} gf, units by {} gf beyond that ({})",
            force(parts.within),
            force(parts.between),
            p_value(parts.p)
        ));
    }
    sentences.push(verdict_sentence(group, comparison));
    sentences.extend(cluster_sentence(group, comparison));
    sentences
}

/// That units fall into two clusters, where the test says so.
fn cluster_sentence(group: &Group, comparison: &Comparison) -> Option<String> {
    let found = group.clusters.as_ref().filter(|found| found.is_shown())?;
    let names = |places: &[usize]| -> String {
        let named = places.iter().take(MOST_NAMED);
        let names: Vec<String> = named
            .map(|place| unit_name(group.units[*place], comparison))
            .collect();
        match places.len() - names.len() {
            0 => names.join(", "),
            more => format!("{} and {more} more", names.join(", ")),
        }
    };
    Some(format!(
        "two clusters by {}: {} up to {} gf; {} from {} gf on (one normal law divides as cleanly with {}, corrected); they may be two versions of one model",
        by_words(group.upper_quantity()),
        names(&found.lower),
        force(found.gap.0),
        names(&found.upper),
        force(found.gap.1),
        p_value(found.p)
    ))
}

fn spread_sentence(name: &str, spread: &Spread, confidence: &str) -> Option<String> {
    let (observed, measuring) = (spread.observed_sd?, spread.measurement_sd?);
    let inputs = format!(
        "observed SD {} gf, measurement SD {}",
        force(observed),
        force(measuring)
    );
    let bounds = spread
        .between_unit_sd_lower_bound
        .zip(spread.between_unit_sd_upper_bound);
    let units = match (spread.between_unit_sd, bounds) {
        (Some(between), Some((low, high))) if between > 0.0 => format!(
            "between-unit SD {} gf (at least {}, at most {} gf, each with {confidence} %; {inputs})",
            force(between),
            force(low),
            force(high)
        ),
        (Some(_), Some((_, high))) => format!(
            "no between-unit spread detected, but measuring would hide an SD of up to {} gf ({confidence} % bound; {inputs})",
            force(high)
        ),
        _ => format!("between-unit SD unknown ({inputs})"),
    };
    let next = spread.next_unit.map_or_else(String::new, |next| {
        format!("; next unit{}: {}", of_those(spread), range(next))
    });
    let most = spread.tolerance_90.map_or_else(String::new, |most| {
        let those = if spread.unsaturated > 0 {
            " that saturate"
        } else {
            ""
        };
        format!(
            "; {} % of units{those}: {}",
            percent(TOLERANCE_PART),
            range(most)
        )
    });
    Some(format!(
        "{name}: mean {} gf; {units}{next}{most}",
        force(spread.mean)
    ))
}

fn reach_words(reach: &ShareAbove) -> String {
    let [estimate, low, high] = [reach.estimate, reach.low, reach.high].map(probability);
    if estimate == low && low == high {
        format!("{:.0} gf: {estimate}", reach.force_gf)
    } else {
        format!("{:.0} gf: {estimate} ({low} to {high})", reach.force_gf)
    }
}

fn verdict_sentence(group: &Group, comparison: &Comparison) -> String {
    let limit = percent(comparison.settings.consistency_limit);
    let confidence = percent(comparison.settings.confidence);
    let (upper, by) = (group.upper(), by_words(group.upper_quantity()));
    let tested = group.homogeneity_p.map_or_else(
        || "their uncertainties allow no test".to_owned(),
        |p| format!("homogeneity {}, corrected", p_value(p)),
    );
    let bounds = upper
        .between_unit_sd_lower_bound
        .zip(upper.between_unit_sd_upper_bound)
        .map(|(low, high)| [low, high].map(|bound| percent_of(bound / upper.mean)));
    let word = group.verdict.as_str();
    match (group.verdict, bounds) {
        (Verdict::OneUnit, _) => format!("{word}: nothing is said of its model"),
        (Verdict::Consistent, Some([_, high])) => format!(
            "{word}: between-unit SD of {by} at most {high} of the mean ({confidence} % bound), below the limit of {limit} %"
        ),
        (Verdict::Varies, Some([low, high])) => format!(
            "{word}: units differ beyond their uncertainties ({tested}); between-unit SD of {by} at least {low}, at most {high} of the mean ({confidence} % bounds); the limit for consistent is {limit} %"
        ),
        (Verdict::DiffersAmountUnknown, Some([low, high])) => format!(
            "{word}: units differ beyond their uncertainties ({tested}), but the between-unit SD of {by} may be anything from {low} to {high} of the mean ({confidence} % bounds); the limit for consistent is {limit} %"
        ),
        (_, Some([_, high])) => format!(
            "{word}: no difference detected ({tested}), but the between-unit SD of {by} is known to be at most {high} of the mean only ({confidence} % bound); the limit for consistent is {limit} %"
        ),
        (_, None) if upper.known < 2 => {
            format!("{word}: too few units saturated to say how they differ")
        }
        (_, None) => format!("{word}: {tested}"),
    }
}

/// A figure as it stands within a sentence.
fn by_words(quantity: Quantity) -> String {
    match quantity {
        Quantity::At1 | Quantity::At99 => format!("the {}", quantity.as_str()),
        _ => quantity.as_str().to_owned(),
    }
}

/// What is compared between two groups, for heads of tables, as [`pair_cells`] gives it.
pub const PAIR_HEADS: [&str; 5] = [
    "first less second",
    "saturation, gf",
    "Welch",
    "permutation",
    "curves apart",
];

/// Two groups compared: names, difference of saturation with its interval, then probabilities corrected for
/// all pairs: Welch's, that of permutations, and that of the curves' distance.
#[must_use]
pub fn pair_cells(pair: &Pair, comparison: &Comparison) -> [String; 5] {
    let name = |group: usize| comparison.groups[group].name.as_str();
    let unknown = || "unknown".to_owned();
    let found = pair.upper();
    let by = if pair.at_99.is_some() {
        " (at 99 %)"
    } else {
        ""
    };
    let curve = pair.curve.as_ref().zip(pair.curve_corrected_p);
    [
        format!("{} − {}{by}", name(pair.first), name(pair.second)),
        found.map_or_else(unknown, |found| {
            let interval = found.interval.map_or_else(
                || "no interval".to_owned(),
                |interval| format!("{} to {}", signed(interval.low), signed(interval.high)),
            );
            format!("{} ({interval})", signed(found.estimate))
        }),
        found
            .and_then(|found| found.welch_corrected_p)
            .map_or_else(unknown, p_value),
        found.map_or_else(unknown, |found| p_value(found.corrected_p)),
        curve.map_or_else(unknown, |(curve, p)| {
            format!("{} gf, {}", force(curve.distance_gf), p_value(p))
        }),
    ]
}

/// What a reader of [`pair_cells`] should know.
#[must_use]
pub fn pair_note(comparison: &Comparison) -> Option<String> {
    let least = comparison
        .pairs
        .iter()
        .filter_map(Pair::upper)
        .map(|found| found.least_p)
        .fold(f64::INFINITY, f64::min);
    let pairs = comparison.pairs.len();
    let are_open = comparison
        .groups
        .iter()
        .any(|group| group.saturation.unsaturated > 0);
    let open = if are_open {
        "; units that did not saturate count in the curves only, up to the readings that all reach"
    } else {
        ""
    };
    let gentle = if comparison.pairs.iter().any(|pair| pair.at_99.is_some()) {
        "; where a response reaches full scale gently, saturation is hardly shown, and groups are compared by the force at 99 % instead (marked)"
    } else {
        ""
    };
    least.is_finite().then(|| {
        format!(
            "intervals are of each pair by itself; probabilities are corrected for {} (Holm); for saturation no permutation of units of any pair can give less than {} before it, nor less than {} after it{open}{gentle}",
            count(pairs, "pair"),
            p_value(least),
            p_value((least * pairs as f64).min(1.0))
        )
    })
}

fn signed(value: f64) -> String {
    let digits = force(value.abs());
    if value < 0.0 {
        format!("−{digits}")
    } else {
        format!("+{digits}")
    }
}

/// All groups at once.
#[must_use]
pub fn all_groups_sentence(comparison: &Comparison) -> Option<String> {
    let found = comparison.all_groups.as_ref()?;
    Some(format!(
        "all groups alike in {} (Kruskal and Wallis, H = {:.1}, {}): {}",
        by_words(comparison.all_groups_by),
        found.h,
        count_of_freedom(found.degrees_of_freedom),
        p_value(found.p)
    ))
}

/// What the envelope holds; `None` of fewer than two units.
#[must_use]
pub fn envelope_sentence(comparison: &Comparison) -> Option<String> {
    let envelope = comparison.envelope.as_ref().filter(|e| e.units > 1)?;
    let bench = comparison
        .envelope_bench
        .as_ref()
        .map_or_else(String::new, |bench| format!(" on {bench}"));
    let greatest = envelope.greatest.iter();
    let last = greatest.take_while(|force| force.is_finite()).count();
    let up_to = if last < envelope.greatest.len() {
        format!(
            " up to a reading of {} %, beyond which not all were measured",
            last.saturating_sub(1)
        )
    } else {
        String::new()
    };
    Some(format!(
        "extremes of {} units{bench}{up_to}; at any one reading they hold at least {} of all units, if these were drawn from them at random",
        envelope.units,
        probability(envelope.holds)
    ))
}

/// What repeats show.
#[must_use]
pub fn repeat_sentences(comparison: &Comparison) -> Vec<String> {
    let mut sentences: Vec<String> = comparison
        .repeats
        .iter()
        .map(|repeats| {
            format!(
                "{}, measured {} times: saturation scatters by {} gf (one standard deviation), {} gf between extremes; onset by {} gf",
                repeats.unit,
                repeats.count,
                force(repeats.saturation_sd),
                force(repeats.saturation_range),
                force(repeats.onset_sd)
            )
        })
        .collect();
    for unit in comparison.units.iter().filter(|unit| unit.is_repeated()) {
        let own = unit
            .measurements
            .iter()
            .map(|index| &comparison.measured[*index]);
        let open = own.filter(|m| m.saturation.is_least).count();
        if open > 0 {
            sentences.push(format!(
                "{}, measured {} times: {open} of them did not reach full scale; its saturation is that of the others",
                unit.name,
                unit.measurements.len()
            ));
        }
    }
    if let Some(found) = &comparison.repeatability {
        let judged = if found.p < ALPHA {
            "more than their intervals foretell: something between measurements, such as a repositioned lever, is not in them"
        } else {
            "no more than their intervals allow"
        };
        sentences.push(format!(
            "repeatability of saturation over {}: {} of the force (intervals foretell {}); two repeats differ by at most {} in 95 % of cases; they scatter {judged} ({})",
            count_of_freedom(found.degrees_of_freedom),
            percent_of(found.sd),
            percent_of(found.predicted_sd),
            percent_of(found.limit),
            p_value(found.p)
        ));
    }
    sentences
}

fn count_of_freedom(freedom: f64) -> String {
    format!(
        "{freedom:.0} degree{} of freedom",
        if freedom > 1.5 { "s" } else { "" }
    )
}

/// That readings were taken in different places, where they were and files say so: system, browser and program each
/// may change them, and a difference between styluses may be one between places.
#[must_use]
pub fn read_at_sentence(comparison: &Comparison) -> Option<String> {
    let places = || comparison.measured.iter().filter_map(|one| one.read_at);
    let counted: Vec<String> = ReadAt::ALL
        .into_iter()
        .map(|place| (place, places().filter(|other| *other == place).count()))
        .filter(|(_, count)| *count > 0)
        .map(|(place, found)| format!("{} at the {}", count(found, "measurement"), place.word()))
        .collect();
    (counted.len() > 1).then(|| {
        format!(
            "readings were taken in different places ({}): what lies between may change them; compare only what was read at the same place",
            counted.join(", ")
        )
    })
}

/// What benches with units in common show.
#[must_use]
pub fn bench_sentences(comparison: &Comparison) -> Vec<String> {
    let mut sentences = Vec::new();
    if comparison.has_several_benches() {
        sentences.push(if comparison.settings.pool_benches {
            "units of all benches are pooled, as was asked: spreads between units hold what benches differ by, and a unit on several benches is the mean of them".to_owned()
        } else {
            "benches are kept apart: no group, pair or envelope holds units of two".to_owned()
        });
    }
    for bias in &comparison.benches {
        sentences.extend(bias.shared.iter().map(|shared| {
            format!(
                "{}: {} less {}, saturation {} gf ({} to {}), {} of its mean",
                shared.unit,
                bias.first,
                bias.second,
                signed(shared.difference),
                signed(shared.low),
                signed(shared.high),
                signed_percent(shared.fraction)
            )
        }));
        sentences.push(bias_sentence(bias));
    }
    sentences
}

fn signed_percent(part: f64) -> String {
    let sign = if part < 0.0 { "−" } else { "+" };
    format!("{sign}{}", percent_of(part.abs()))
}

fn bias_sentence(bias: &BenchBias) -> String {
    match (&bias.agreement, &bias.agreement_of_fractions) {
        (Some(found), Some(parts)) => format!(
            "{} less {} over {}: bias {} gf (standard error {}), limits of agreement {} to {} gf (Bland and Altman); as parts of the force {} ({} to {})",
            bias.first,
            bias.second,
            count(bias.shared.len(), "shared unit"),
            signed(found.bias),
            force(found.bias_error),
            signed(found.limits.0),
            signed(found.limits.1),
            signed_percent(parts.bias),
            signed_percent(parts.limits.0),
            signed_percent(parts.limits.1)
        ),
        _ => format!(
            "{} and {} share one unit: a bias of the bench cannot be told from what is particular to that unit",
            bias.first, bias.second
        ),
    }
}

/// Why a unit should be looked at.
#[must_use]
pub fn flag_sentence(flag: &Flag, comparison: &Comparison) -> String {
    let at_least = if flag.is_least { "at least " } else { "" };
    format!(
        "{}: {} {at_least}{} gf, {at_least}{:.0} robust standard deviations from the median of {}; it is kept unless excluded",
        comparison.units[flag.unit].name,
        flag.what,
        force(flag.value_gf),
        flag.score.abs(),
        comparison.groups[flag.group].name
    )
}

/// What was left out by request, for every picture; empty where nothing was.
#[must_use]
pub fn left_out_sentence(findings: &Findings) -> String {
    let mut names: Vec<&str> = findings
        .excluded
        .iter()
        .map(|one| one.name.as_deref().unwrap_or(&one.file))
        .collect();
    names.dedup();
    if names.is_empty() {
        return String::new();
    }
    format!("Left out by request: {}.", names.join(", "))
}

/// How near units come to the one that is wished for, for heads of tables, as [`likeness_cells`] gives it.
pub const LIKENESS_HEADS: [&str; 4] = ["unit", "with a map", "beyond any map", "without"];

/// A unit's name, with its bench where another has the same name.
fn unit_name(index: usize, comparison: &Comparison) -> String {
    let unit = &comparison.units[index];
    let namesakes = comparison
        .units
        .iter()
        .filter(|other| other.name == unit.name);
    match &unit.bench {
        Some(bench) if namesakes.count() > 1 => format!("{} ({bench})", unit.name),
        _ => unit.name.clone(),
    }
}

/// How near one unit comes: worst errors of the output.
#[must_use]
pub fn likeness_cells(one: &UnitMatch, comparison: &Comparison) -> [String; 4] {
    [
        unit_name(one.unit, comparison),
        percent_of(one.max_error),
        percent_of(one.uncorrectable_error),
        percent_of(one.without_map),
    ]
}

/// What a reader of [`likeness_cells`] should know.
#[must_use]
pub fn likeness_note(likened: &MatchReport) -> String {
    format!(
        "worst errors of the output over the forces of {}, with maps for the receiver {}; what is beyond any map comes from a stylus that responds later or is full earlier",
        likened.target, likened.receiver
    )
}

/// How it was done, paragraph by paragraph.
#[must_use]
pub fn method(findings: &Findings) -> Vec<(&'static str, String)> {
    let settings = &findings.comparison.settings;
    let confidence = percent(settings.confidence);
    let mut sentences = vec![
        (
            "Each measurement",
            format!(
                "is fitted by itself: a rising response through known forces and readings, where readings of 0 and of full scale only bound it. Intervals hold at {confidence} %, from {} resamples, seed {}.",
                findings.resamples, settings.seed
            ),
        ),
        (
            "A unit",
            "is one stylus on one bench. Measurements of the same unit on the same bench are averaged, force by force at equal readings. Where saturation was not reached, only a lower bound is known; it is never replaced by a number.".to_owned(),
        ),
        (
            "Spread between units",
            format!(
                "is what has to be added to each unit's variance of measuring for their scatter to be as expected (Paule and Mandel; of equal uncertainties √(observed² − measurement²)). Its bounds, each at {confidence} %, are those of a Q-profile (Viechtbauer 2007): every spread is believed under which the scatter found is not improbable, and for the upper bound the scatter counts no smaller than measuring alone makes it. The gain of the bench (its budget's, or {} of each force) is common to its units and not counted. Where the next unit lies, and what holds {} % of all units with the same confidence, assume a normal law, and a deviation no smaller than measuring adds: units that happen to agree are not known better than they were measured. With few units they are wide, and rightly so. Where repeats are told, the spread is also split by their scatter instead of by intervals: another estimate of the same.",
                percent_of(BENCH_GAIN),
                percent(TOLERANCE_PART)
            ),
        ),
        (
            "Consistent and varies",
            format!(
                "are said by this test only: {} where the upper bound of the between-unit SD of saturation lies below {} % of the mean (our own limit); {} where its lower bound lies above that limit and the hypothesis that all units are alike is rejected; {} where it is rejected (Welch's test of means whose uncertainties rest on few samples, {}, corrected over groups by Holm); else {}.",
                Verdict::Consistent.as_str(),
                percent(settings.consistency_limit),
                Verdict::Varies.as_str(),
                Verdict::DiffersAmountUnknown.as_str(),
                p_limit(),
                Verdict::Inconclusive.as_str()
            ),
        ),
        (
            "The probability of reaching a force",
            "(of still responding there: a saturation force no smaller) inverts the normal tolerance factors exactly; where a unit did not saturate it counts units (Clopper and Pearson).".to_owned(),
        ),
        (
            "Clusters",
            format!(
                "are two where the units of a group (four or more, two at least in each) divide more cleanly by saturation force than groups drawn by the seed from one normal law with the estimated spread and each unit's own uncertainty ({}, corrected over groups by Holm).",
                p_limit()
            ),
        ),
        (
            "Two groups",
            "are compared on the same bench and from two units each on: difference of means with Welch's interval, permutation of units (all divisions where there are few, drawn by the seed where there are many), corrected over all pairs by Holm. Curves are compared by their mean distance in force at readings from 5 to 95 %, by permutation too.".to_owned(),
        ),
        (
            "Flags",
            "name units of groups of four or more by their distance from the median in robust standard deviations, beyond what the farthest of so many normal values exceeds once in a hundred groups; that deviation is taken no smaller than the uncertainty and resolution of the measurements. A flagged unit stays in unless it is left out by request, and is then named in every picture.".to_owned(),
        ),
    ];
    if let Some(envelope) = &findings.comparison.envelope {
        let bench = findings
            .comparison
            .envelope_bench
            .as_ref()
            .map_or_else(String::new, |bench| format!(" of the bench {bench}"));
        sentences.push((
            "The envelope",
            format!(
                "holds the least and greatest force at each reading over {}{bench}. At any one reading it holds at least {} of all units like these, with {confidence} %, whatever their law{}.",
                count(envelope.units, "unit"),
                probability(envelope.holds),
                if envelope.outer.is_some() {
                    "; the inner area is from the 10 % to the 90 % point of these units"
                } else {
                    "; percentiles are given from 20 units on"
                }
            ),
        ));
    }
    sentences
}

fn p_limit() -> String {
    format!("p below {ALPHA}")
}
