//! A comparison as scripts read it.

use evenhand_measurement::ReadAt;
use evenhand_population::{
    Agreement, FittedMeasurement, Flag, ForceDifference, ForceEstimate, Group, Pair, READING_GRID,
    ShareAbove, Spread, Unit, level_reading,
};
use evenhand_text::json_escaped;
use serde::Serialize;

use crate::findings::{Findings, LeftOut};
use crate::sentences::read_at_sentence;

/// What `compare --json` prints; forces in gf, readings and fractions 0..1, null where nothing is known.
#[derive(Debug, Serialize)]
pub struct ComparisonJson {
    version: String,
    command: String,
    confidence: f64,
    resamples: usize,
    seed: u64,
    group_by: &'static str,
    consistency_limit: f64,
    benches_pooled: bool,
    groups: Vec<GroupJson>,
    units: Vec<UnitJson>,
    pairs: Vec<PairJson>,
    too_many_pairs: bool,
    all_groups: Option<AllJson>,
    envelope: Option<EnvelopeJson>,
    flags: Vec<FlagJson>,
    repeats: Vec<RepeatsJson>,
    repeatability: Option<RepeatabilityJson>,
    benches: Vec<BenchesJson>,
    like: Option<LikeJson>,
    files: Vec<FileJson>,
    excluded: Vec<LeftOutJson>,
    skipped: Vec<LeftOutJson>,
    duplicates: Vec<LeftOutJson>,
    warnings: Vec<String>,
}

#[derive(Debug, Serialize)]
struct FigureJson {
    estimate: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
    reached: bool,
}

impl From<&ForceEstimate> for FigureJson {
    fn from(figure: &ForceEstimate) -> Self {
        Self {
            estimate: figure.value(),
            low: finite(figure.low),
            high: finite(figure.high),
            reached: !figure.is_least,
        }
    }
}

fn finite(value: f64) -> Option<f64> {
    Some(value).filter(|value| value.is_finite())
}

#[derive(Debug, Serialize)]
struct IntervalJson {
    low: Option<f64>,
    high: Option<f64>,
}

fn interval((low, high): (f64, f64)) -> IntervalJson {
    IntervalJson {
        low: finite(low),
        high: finite(high),
    }
}

#[derive(Debug, Serialize)]
struct SpreadJson {
    units: usize,
    not_reached: usize,
    mean: Option<f64>,
    observed_sd: Option<f64>,
    measurement_sd: Option<f64>,
    between_unit_sd: Option<f64>,
    between_unit_sd_upper_bound: Option<f64>,
    next_unit: Option<IntervalJson>,
    tolerance_90: Option<IntervalJson>,
    homogeneity_p: Option<f64>,
    between_unit_sd_lower_bound: Option<f64>,
}

impl From<&Spread> for SpreadJson {
    fn from(spread: &Spread) -> Self {
        Self {
            units: spread.known,
            not_reached: spread.unsaturated,
            mean: finite(spread.mean),
            observed_sd: spread.observed_sd,
            measurement_sd: spread.measurement_sd.and_then(finite),
            between_unit_sd: spread.between_unit_sd.and_then(finite),
            between_unit_sd_upper_bound: spread.between_unit_sd_upper_bound.and_then(finite),
            next_unit: spread.next_unit.map(interval),
            tolerance_90: spread.tolerance_90.map(interval),
            homogeneity_p: spread.homogeneity_p,
            between_unit_sd_lower_bound: spread.between_unit_sd_lower_bound.and_then(finite),
        }
    }
}

#[derive(Debug, Serialize)]
struct ReachJson {
    force_gf: f64,
    probability: f64,
    low: f64,
    high: f64,
    basis: &'static str,
}

impl From<&ShareAbove> for ReachJson {
    fn from(reach: &ShareAbove) -> Self {
        Self {
            force_gf: reach.force_gf,
            probability: reach.estimate,
            low: reach.low,
            high: reach.high,
            basis: reach.basis.as_str(),
        }
    }
}

#[derive(Debug, Serialize)]
struct PointJson {
    reported: f64,
    force_gf: f64,
}

fn curve(forces: &[f64]) -> Vec<PointJson> {
    (0..READING_GRID)
        .filter(|level| forces[*level].is_finite())
        .map(|level| PointJson {
            reported: level_reading(level),
            force_gf: forces[level],
        })
        .collect()
}

#[derive(Debug, Serialize)]
struct GroupJson {
    name: String,
    bench: Option<String>,
    units: Vec<String>,
    onset_force_gf: SpreadJson,
    saturation_force_gf: SpreadJson,
    span_gf: SpreadJson,
    reaches: Vec<ReachJson>,
    repeats_sd: Option<f64>,
    units_beyond_repeats_sd: Option<f64>,
    verdict: &'static str,
    homogeneity_p_corrected: Option<f64>,
    percentile_rank: Option<f64>,
    typical: Vec<PointJson>,
    clusters: Option<ClustersJson>,
    force_at_1_percent_gf: SpreadJson,
    force_at_99_percent_gf: SpreadJson,
    gentle_onset: bool,
    gentle_saturation: bool,
}

/// Two clusters of units, where there are two.
#[derive(Debug, Serialize)]
struct ClustersJson {
    lower: Vec<String>,
    upper: Vec<String>,
    lower_up_to_gf: f64,
    upper_from_gf: f64,
    corrected_p: f64,
}

impl ClustersJson {
    fn of(group: &Group, units: &[Unit]) -> Option<Self> {
        let found = group.clusters.as_ref().filter(|found| found.is_shown())?;
        let names = |places: &[usize]| -> Vec<String> {
            let places = places.iter().map(|place| group.units[*place]);
            places.map(|unit| units[unit].name.clone()).collect()
        };
        Some(Self {
            lower: names(&found.lower),
            upper: names(&found.upper),
            lower_up_to_gf: found.gap.0,
            upper_from_gf: found.gap.1,
            corrected_p: found.p,
        })
    }
}

impl GroupJson {
    fn of(group: &Group, units: &[Unit]) -> Self {
        Self {
            name: group.name.clone(),
            bench: group.bench.clone(),
            units: group.units.iter().map(|i| units[*i].name.clone()).collect(),
            onset_force_gf: (&group.onset).into(),
            saturation_force_gf: (&group.saturation).into(),
            span_gf: (&group.span).into(),
            reaches: group.shares_above.iter().map(Into::into).collect(),
            repeats_sd: group.variance_components.map(|parts| parts.within),
            units_beyond_repeats_sd: group.variance_components.map(|parts| parts.between),
            verdict: group.verdict.as_str(),
            homogeneity_p_corrected: group.homogeneity_p,
            percentile_rank: finite(group.percentile_rank),
            typical: curve(group.typical.forces()),
            clusters: ClustersJson::of(group, units),
            force_at_1_percent_gf: (&group.at_1).into(),
            force_at_99_percent_gf: (&group.at_99).into(),
            gentle_onset: group.is_onset_gentle,
            gentle_saturation: group.is_saturation_gentle,
        }
    }
}

#[derive(Debug, Serialize)]
struct UnitJson {
    name: String,
    model: Option<String>,
    group: String,
    bench: Option<String>,
    files: Vec<String>,
    onset_force_gf: FigureJson,
    saturation_force_gf: FigureJson,
    span_gf: FigureJson,
    saturation_class: Option<&'static str>,
    percentile_rank: Option<f64>,
    flagged: bool,
    curve: Vec<PointJson>,
    force_at_1_percent_gf: FigureJson,
    force_at_99_percent_gf: FigureJson,
}

#[derive(Debug, Serialize)]
struct DifferenceJson {
    estimate: f64,
    low: Option<f64>,
    high: Option<f64>,
    median_shift: f64,
    median_shift_low: Option<f64>,
    median_shift_high: Option<f64>,
    order_p: Option<f64>,
    permutation_p: f64,
    permutation_exact: bool,
    corrected_p: f64,
    least_p: f64,
    welch_p: Option<f64>,
    welch_corrected_p: Option<f64>,
}

impl From<&ForceDifference> for DifferenceJson {
    fn from(found: &ForceDifference) -> Self {
        let shift = found.order.shift_interval;
        Self {
            estimate: found.estimate,
            low: found.interval.map(|i| i.low),
            high: found.interval.map(|i| i.high),
            median_shift: found.order.shift,
            median_shift_low: shift.map(|(low, _)| low),
            median_shift_high: shift.map(|(_, high)| high),
            order_p: found.order.p,
            permutation_p: found.permutation.p,
            permutation_exact: found.permutation.is_exact,
            corrected_p: found.corrected_p,
            least_p: found.least_p,
            welch_p: found.interval.map(|i| i.p),
            welch_corrected_p: found.welch_corrected_p,
        }
    }
}

#[derive(Debug, Serialize)]
struct LevelJson {
    reported: f64,
    estimate: f64,
    low: Option<f64>,
    high: Option<f64>,
}

#[derive(Debug, Serialize)]
struct CurveJson {
    distance_gf: f64,
    permutation_p: f64,
    permutation_exact: bool,
    corrected_p: Option<f64>,
    rows: Vec<LevelJson>,
}

#[derive(Debug, Serialize)]
struct PairJson {
    first: String,
    second: String,
    onset_force_gf: Option<DifferenceJson>,
    saturation_force_gf: Option<DifferenceJson>,
    curve: Option<CurveJson>,
    force_at_1_percent_gf: Option<DifferenceJson>,
    force_at_99_percent_gf: Option<DifferenceJson>,
}

impl PairJson {
    fn of(pair: &Pair, groups: &[Group]) -> Self {
        Self {
            first: groups[pair.first].name.clone(),
            second: groups[pair.second].name.clone(),
            onset_force_gf: pair.onset.as_ref().map(Into::into),
            saturation_force_gf: pair.saturation.as_ref().map(Into::into),
            force_at_1_percent_gf: pair.at_1.as_ref().map(Into::into),
            force_at_99_percent_gf: pair.at_99.as_ref().map(Into::into),
            curve: pair.curve.as_ref().map(|found| CurveJson {
                distance_gf: found.distance_gf,
                permutation_p: found.p,
                permutation_exact: found.is_exact,
                corrected_p: pair.curve_corrected_p,
                rows: found
                    .levels
                    .iter()
                    .map(|level| LevelJson {
                        reported: level.reading,
                        estimate: level.estimate,
                        low: finite(level.low),
                        high: finite(level.high),
                    })
                    .collect(),
            }),
        }
    }
}

#[derive(Debug, Serialize)]
struct AllJson {
    h: f64,
    degrees_of_freedom: f64,
    p: f64,
}

#[derive(Debug, Serialize)]
struct EnvelopeRowJson {
    reported: f64,
    least_gf: Option<f64>,
    tenth_gf: Option<f64>,
    median_gf: Option<f64>,
    ninetieth_gf: Option<f64>,
    greatest_gf: Option<f64>,
}

#[derive(Debug, Serialize)]
struct EnvelopeJson {
    units: usize,
    bench: Option<String>,
    holds_fraction_of_units: f64,
    rows: Vec<EnvelopeRowJson>,
}

#[derive(Debug, Serialize)]
struct FlagJson {
    unit: String,
    group: String,
    what: &'static str,
    value_gf: f64,
    is_least: bool,
    score: f64,
}

#[derive(Debug, Serialize)]
struct RepeatsJson {
    unit: String,
    measurements: usize,
    onset_sd_gf: f64,
    saturation_sd_gf: f64,
    saturation_range_gf: f64,
}

#[derive(Debug, Serialize)]
struct RepeatabilityJson {
    sd: f64,
    degrees_of_freedom: f64,
    limit: f64,
    predicted: f64,
    p: f64,
}

#[derive(Debug, Serialize)]
struct AgreementJson {
    bias: f64,
    bias_error: f64,
    limits: [f64; 2],
    limit_error: f64,
}

fn agreement(found: &Agreement) -> AgreementJson {
    AgreementJson {
        bias: found.bias,
        bias_error: found.bias_error,
        limits: [found.limits.0, found.limits.1],
        limit_error: found.limit_error,
    }
}

#[derive(Debug, Serialize)]
struct SharedJson {
    unit: String,
    difference_gf: f64,
    low: f64,
    high: f64,
    fraction: f64,
}

#[derive(Debug, Serialize)]
struct BenchesJson {
    first: String,
    second: String,
    shared: Vec<SharedJson>,
    agreement_gf: Option<AgreementJson>,
    agreement_of_fractions: Option<AgreementJson>,
}

#[derive(Debug, Serialize)]
struct LikeUnitJson {
    unit: String,
    max_error: f64,
    rms_error: f64,
    uncorrectable_error: f64,
    without_map: f64,
}

#[derive(Debug, Serialize)]
struct LikeJson {
    target: String,
    receiver: String,
    units: Vec<LikeUnitJson>,
}

#[derive(Debug, Serialize)]
struct FileJson {
    file: String,
    sha256: String,
    model: Option<String>,
    unit: Option<String>,
    bench: Option<String>,
    date: Option<String>,
    read_at: Option<&'static str>,
    samples: usize,
    onset_force_gf: FigureJson,
    saturation_force_gf: FigureJson,
    warnings: usize,
}

impl From<&FittedMeasurement> for FileJson {
    fn from(one: &FittedMeasurement) -> Self {
        Self {
            file: one.file.clone(),
            sha256: one.sha256.clone(),
            model: one.model.clone(),
            unit: one.unit.clone(),
            bench: one.bench.clone(),
            date: one.date.clone(),
            read_at: one.read_at.map(ReadAt::word),
            samples: one.samples,
            onset_force_gf: (&one.onset).into(),
            saturation_force_gf: (&one.saturation).into(),
            warnings: one.warnings,
        }
    }
}

#[derive(Debug, Serialize)]
struct LeftOutJson {
    file: String,
    name: Option<String>,
    reason: String,
}

impl From<&LeftOut> for LeftOutJson {
    fn from(one: &LeftOut) -> Self {
        Self {
            file: one.file.clone(),
            name: one.name.clone(),
            reason: one.reason.clone(),
        }
    }
}

impl ComparisonJson {
    /// Of findings.
    #[must_use]
    pub fn of(findings: &Findings) -> Self {
        let found = &findings.comparison;
        let name = |unit: usize| found.units[unit].name.clone();
        Self {
            warnings: read_at_sentence(found).into_iter().collect(),
            version: findings.version.clone(),
            command: findings.command.clone(),
            confidence: found.settings.confidence,
            resamples: findings.resamples,
            seed: found.settings.seed,
            group_by: found.settings.group_by.as_str(),
            consistency_limit: found.settings.consistency_limit,
            benches_pooled: found.settings.pool_benches,
            groups: found
                .groups
                .iter()
                .map(|group| GroupJson::of(group, &found.units))
                .collect(),
            units: (0..found.units.len())
                .map(|index| unit(findings, index))
                .collect(),
            pairs: found
                .pairs
                .iter()
                .map(|pair| PairJson::of(pair, &found.groups))
                .collect(),
            too_many_pairs: found.too_many_pairs,
            all_groups: found.all_groups.map(|all| AllJson {
                h: all.h,
                degrees_of_freedom: all.degrees_of_freedom,
                p: all.p,
            }),
            envelope: envelope(findings),
            flags: found
                .flags
                .iter()
                .map(|flag: &Flag| FlagJson {
                    unit: name(flag.unit),
                    group: found.groups[flag.group].name.clone(),
                    what: flag.what,
                    value_gf: flag.value_gf,
                    is_least: flag.is_least,
                    score: flag.score,
                })
                .collect(),
            repeats: found
                .repeats
                .iter()
                .map(|repeats| RepeatsJson {
                    unit: repeats.unit.clone(),
                    measurements: repeats.count,
                    onset_sd_gf: repeats.onset_sd,
                    saturation_sd_gf: repeats.saturation_sd,
                    saturation_range_gf: repeats.saturation_range,
                })
                .collect(),
            repeatability: found.repeatability.map(|all| RepeatabilityJson {
                sd: all.sd,
                degrees_of_freedom: all.degrees_of_freedom,
                limit: all.limit,
                predicted: all.predicted_sd,
                p: all.p,
            }),
            benches: found
                .benches
                .iter()
                .map(|bias| BenchesJson {
                    first: bias.first.clone(),
                    second: bias.second.clone(),
                    shared: bias
                        .shared
                        .iter()
                        .map(|shared| SharedJson {
                            unit: shared.unit.clone(),
                            difference_gf: shared.difference,
                            low: shared.low,
                            high: shared.high,
                            fraction: shared.fraction,
                        })
                        .collect(),
                    agreement_gf: bias.agreement.as_ref().map(agreement),
                    agreement_of_fractions: bias.agreement_of_fractions.as_ref().map(agreement),
                })
                .collect(),
            like: findings.likened.as_ref().map(|likened| LikeJson {
                target: likened.wished.clone(),
                receiver: likened.receiver.clone(),
                units: likened
                    .units
                    .iter()
                    .map(|one| LikeUnitJson {
                        unit: name(one.unit),
                        max_error: one.max_error,
                        rms_error: one.rms_error,
                        uncorrectable_error: one.uncorrectable_error,
                        without_map: one.without_map,
                    })
                    .collect(),
            }),
            files: found.measured.iter().map(Into::into).collect(),
            excluded: findings.excluded.iter().map(Into::into).collect(),
            skipped: findings.skipped.iter().map(Into::into).collect(),
            duplicates: findings.duplicates.iter().map(Into::into).collect(),
        }
    }

    /// As text, indented, ending in a line break.
    ///
    /// # Errors
    /// None that strings and numbers could cause; those of the writer.
    pub fn text(&self) -> Result<String, serde_json::Error> {
        let mut text = json_escaped(&serde_json::to_string_pretty(self)?);
        text.push('\n');
        Ok(text)
    }
}

fn unit(findings: &Findings, index: usize) -> UnitJson {
    let found = &findings.comparison;
    let unit = &found.units[index];
    UnitJson {
        name: unit.name.clone(),
        model: unit.model.clone(),
        group: found.groups[unit.group].name.clone(),
        bench: unit.bench.clone(),
        files: unit
            .measurements
            .iter()
            .map(|index| found.measured[*index].file.clone())
            .collect(),
        onset_force_gf: (&unit.onset).into(),
        saturation_force_gf: (&unit.saturation).into(),
        span_gf: (&unit.span).into(),
        saturation_class: unit.saturation_class,
        percentile_rank: found.percentile_ranks[index],
        flagged: found.flags_of(index).next().is_some(),
        curve: curve(unit.profile.forces()),
        force_at_1_percent_gf: (&unit.near.at_1).into(),
        force_at_99_percent_gf: (&unit.near.at_99).into(),
    }
}

fn envelope(findings: &Findings) -> Option<EnvelopeJson> {
    let found = &findings.comparison;
    let envelope = found.envelope.as_ref()?;
    let at = |forces: &[f64], level: usize| finite(forces[level]);
    Some(EnvelopeJson {
        units: envelope.units,
        bench: found.envelope_bench.clone(),
        holds_fraction_of_units: envelope.holds,
        rows: (0..READING_GRID)
            .map(|level| EnvelopeRowJson {
                reported: level_reading(level),
                least_gf: at(&envelope.least, level),
                tenth_gf: envelope.outer.as_ref().and_then(|(low, _)| at(low, level)),
                median_gf: envelope
                    .median
                    .as_ref()
                    .and_then(|median| at(median, level)),
                ninetieth_gf: envelope
                    .outer
                    .as_ref()
                    .and_then(|(_, high)| at(high, level)),
                greatest_gf: at(&envelope.greatest, level),
            })
            .collect(),
    })
}
