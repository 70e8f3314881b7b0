//! A comparison as scripts read it.

use evenhand_population::{
    Agreement, Figure, FigureDifference, Flag, Group, LEVELS, Measured, Pair, Reach, Spread, Unit,
    level_reading,
};
use evenhand_text::json_escaped;
use serde::Serialize;

use crate::findings::{Findings, LeftOut};

/// What `compare --json` prints; forces in gf, readings and parts 0..1, null where nothing is known.
#[derive(Debug, Serialize)]
pub struct ComparisonJson {
    version: String,
    command: String,
    confidence: f64,
    resamples: usize,
    seed: u64,
    group_by: &'static str,
    alike_limit: f64,
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
    doubles: Vec<LeftOutJson>,
}

#[derive(Debug, Serialize)]
struct FigureJson {
    estimate: Option<f64>,
    low: Option<f64>,
    high: Option<f64>,
    reached: bool,
}

impl From<&Figure> for FigureJson {
    fn from(figure: &Figure) -> Self {
        Self {
            estimate: figure.known(),
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
    observed_deviation: Option<f64>,
    measurement_deviation: Option<f64>,
    between_units_deviation: Option<f64>,
    between_units_at_most: Option<f64>,
    next_unit: Option<IntervalJson>,
    ninety_percent_of_units: Option<IntervalJson>,
    alike_p: Option<f64>,
}

impl From<&Spread> for SpreadJson {
    fn from(spread: &Spread) -> Self {
        Self {
            units: spread.known,
            not_reached: spread.open,
            mean: finite(spread.mean),
            observed_deviation: spread.observed,
            measurement_deviation: spread.measurement.and_then(finite),
            between_units_deviation: spread.between.and_then(finite),
            between_units_at_most: spread.between_at_most.and_then(finite),
            next_unit: spread.next_unit.map(interval),
            ninety_percent_of_units: spread.most_units.map(interval),
            alike_p: spread.alike_p,
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

impl From<&Reach> for ReachJson {
    fn from(reach: &Reach) -> Self {
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
    (0..LEVELS)
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
    activation_force_gf: SpreadJson,
    saturation_force_gf: SpreadJson,
    span_gf: SpreadJson,
    reaches: Vec<ReachJson>,
    repeats_deviation: Option<f64>,
    units_beyond_repeats_deviation: Option<f64>,
    verdict: &'static str,
    alike_p_corrected: Option<f64>,
    standing: Option<f64>,
    typical: Vec<PointJson>,
}

impl GroupJson {
    fn of(group: &Group, units: &[Unit]) -> Self {
        Self {
            name: group.name.clone(),
            bench: group.bench.clone(),
            units: group.units.iter().map(|i| units[*i].name.clone()).collect(),
            activation_force_gf: (&group.onset).into(),
            saturation_force_gf: (&group.saturation).into(),
            span_gf: (&group.span).into(),
            reaches: group.reaches.iter().map(Into::into).collect(),
            repeats_deviation: group.parts.map(|parts| parts.within),
            units_beyond_repeats_deviation: group.parts.map(|parts| parts.between),
            verdict: group.verdict.as_str(),
            alike_p_corrected: group.alike_p,
            standing: finite(group.standing),
            typical: curve(group.typical.forces()),
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
    activation_force_gf: FigureJson,
    saturation_force_gf: FigureJson,
    span_gf: FigureJson,
    span_band: Option<&'static str>,
    standing: Option<f64>,
    flagged: bool,
    curve: Vec<PointJson>,
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

impl From<&FigureDifference> for DifferenceJson {
    fn from(found: &FigureDifference) -> Self {
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
    levels: Vec<LevelJson>,
}

#[derive(Debug, Serialize)]
struct PairJson {
    first: String,
    second: String,
    activation_force_gf: Option<DifferenceJson>,
    saturation_force_gf: Option<DifferenceJson>,
    curve: Option<CurveJson>,
}

impl PairJson {
    fn of(pair: &Pair, groups: &[Group]) -> Self {
        Self {
            first: groups[pair.first].name.clone(),
            second: groups[pair.second].name.clone(),
            activation_force_gf: pair.onset.as_ref().map(Into::into),
            saturation_force_gf: pair.saturation.as_ref().map(Into::into),
            curve: pair.curve.as_ref().map(|found| CurveJson {
                distance_gf: found.distance_gf,
                permutation_p: found.p,
                permutation_exact: found.is_exact,
                corrected_p: pair.curve_corrected_p,
                levels: found
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
    freedom: f64,
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
    holds_part_of_units: f64,
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
    onset_deviation_gf: f64,
    saturation_deviation_gf: f64,
    saturation_range_gf: f64,
}

#[derive(Debug, Serialize)]
struct RepeatabilityJson {
    deviation: f64,
    freedom: f64,
    limit: f64,
    foretold: f64,
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
    part: f64,
}

#[derive(Debug, Serialize)]
struct BenchesJson {
    first: String,
    second: String,
    shared: Vec<SharedJson>,
    agreement_gf: Option<AgreementJson>,
    agreement_of_parts: Option<AgreementJson>,
}

#[derive(Debug, Serialize)]
struct LikeUnitJson {
    unit: String,
    max_error: f64,
    rms_error: f64,
    beyond_maps: f64,
    without_map: f64,
}

#[derive(Debug, Serialize)]
struct LikeJson {
    wished: String,
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
    samples: usize,
    activation_force_gf: FigureJson,
    saturation_force_gf: FigureJson,
    warnings: usize,
}

impl From<&Measured> for FileJson {
    fn from(one: &Measured) -> Self {
        Self {
            file: one.file.clone(),
            sha256: one.sha256.clone(),
            model: one.model.clone(),
            unit: one.unit.clone(),
            bench: one.bench.clone(),
            date: one.date.clone(),
            samples: one.samples,
            activation_force_gf: (&one.onset).into(),
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
            version: findings.version.clone(),
            command: findings.command.clone(),
            confidence: found.settings.confidence,
            resamples: findings.resamples,
            seed: found.settings.seed,
            group_by: found.settings.group_by.as_str(),
            alike_limit: found.settings.alike,
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
                freedom: all.freedom,
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
                    onset_deviation_gf: repeats.onset_deviation,
                    saturation_deviation_gf: repeats.saturation_deviation,
                    saturation_range_gf: repeats.saturation_range,
                })
                .collect(),
            repeatability: found.repeatability.map(|all| RepeatabilityJson {
                deviation: all.deviation,
                freedom: all.freedom,
                limit: all.limit,
                foretold: all.foretold,
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
                            part: shared.part,
                        })
                        .collect(),
                    agreement_gf: bias.agreement.as_ref().map(agreement),
                    agreement_of_parts: bias.agreement_of_parts.as_ref().map(agreement),
                })
                .collect(),
            like: findings.likened.as_ref().map(|likened| LikeJson {
                wished: likened.wished.clone(),
                receiver: likened.receiver.clone(),
                units: likened
                    .units
                    .iter()
                    .map(|one| LikeUnitJson {
                        unit: name(one.unit),
                        max_error: one.max_error,
                        rms_error: one.rms_error,
                        beyond_maps: one.beyond_maps,
                        without_map: one.without_map,
                    })
                    .collect(),
            }),
            files: found.measured.iter().map(Into::into).collect(),
            excluded: findings.excluded.iter().map(Into::into).collect(),
            skipped: findings.skipped.iter().map(Into::into).collect(),
            doubles: findings.doubles.iter().map(Into::into).collect(),
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
        activation_force_gf: (&unit.onset).into(),
        saturation_force_gf: (&unit.saturation).into(),
        span_gf: (&unit.span).into(),
        span_band: unit.span_band,
        standing: found.standings[index],
        flagged: found.flags_of(index).next().is_some(),
        curve: curve(unit.profile.forces()),
    }
}

fn envelope(findings: &Findings) -> Option<EnvelopeJson> {
    let found = &findings.comparison;
    let envelope = found.envelope.as_ref()?;
    let at = |forces: &[f64], level: usize| finite(forces[level]);
    Some(EnvelopeJson {
        units: envelope.units,
        bench: found.envelope_bench.clone(),
        holds_part_of_units: envelope.holds,
        rows: (0..LEVELS)
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
