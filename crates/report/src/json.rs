//! A comparison as scripts read it.

use evenhand_measurement::ReadAt;
use evenhand_population::{
    Agreement, Clusters, CurveDifference, FittedMeasurement, Flag, ForceDifference, ForceEstimate,
    Group, Pair, READING_GRID, ShareAbove, Spread, Unit, level_reading,
};
use evenhand_text::json_escaped;
use serde_json::{Value, json};

use crate::findings::{Findings, LeftOut, MatchReport};
use crate::sentences::read_at_sentence;

/// What `compare --json` prints, indented, ending in a line break: forces in gf, readings and fractions 0..1, null
/// where nothing is known.
#[must_use]
pub fn comparison_json(findings: &Findings) -> String {
    json_escaped(&format!("{:#}\n", comparison(findings)))
}

// A number that is not finite becomes null.
fn comparison(findings: &Findings) -> Value {
    let found = &findings.comparison;
    let name = |unit: usize| &found.units[unit].name;
    json!({
        "version": findings.version,
        "command": findings.command,
        "confidence": found.settings.confidence,
        "resamples": findings.resamples,
        "seed": found.settings.seed,
        "group_by": found.settings.group_by.as_str(),
        "consistency_limit": found.settings.consistency_limit,
        "benches_pooled": found.settings.pool_benches,
        "groups": list(&found.groups, |each| group(each, &found.units)),
        "units": (0..found.units.len()).map(|index| unit(findings, index)).collect::<Vec<_>>(),
        "pairs": list(&found.pairs, |each| pair(each, &found.groups)),
        "too_many_pairs": found.too_many_pairs,
        "all_groups": found.all_groups.map(|all| json!({
            "h": all.h,
            "degrees_of_freedom": all.degrees_of_freedom,
            "p": all.p,
        })),
        "envelope": envelope(findings),
        "flags": list(&found.flags, |flag: &Flag| json!({
            "unit": name(flag.unit),
            "group": found.groups[flag.group].name,
            "what": flag.what,
            "value_gf": flag.value_gf,
            "is_least": flag.is_least,
            "score": flag.score,
        })),
        "repeats": list(&found.repeats, |repeats| json!({
            "unit": repeats.unit,
            "measurements": repeats.count,
            "onset_sd_gf": repeats.onset_sd,
            "saturation_sd_gf": repeats.saturation_sd,
            "saturation_range_gf": repeats.saturation_range,
        })),
        "repeatability": found.repeatability.map(|all| json!({
            "sd": all.sd,
            "degrees_of_freedom": all.degrees_of_freedom,
            "limit": all.limit,
            "predicted": all.predicted_sd,
            "p": all.p,
        })),
        "benches": list(&found.benches, |bias| json!({
            "first": bias.first,
            "second": bias.second,
            "shared": list(&bias.shared, |shared| json!({
                "unit": shared.unit,
                "difference_gf": shared.difference,
                "low": shared.low,
                "high": shared.high,
                "fraction": shared.fraction,
            })),
            "agreement_gf": bias.agreement.map(agreement),
            "agreement_of_fractions": bias.agreement_of_fractions.map(agreement),
        })),
        "like": findings.likened.as_ref().map(|likened: &MatchReport| json!({
            "target": likened.target,
            "receiver": likened.receiver,
            "units": list(&likened.units, |one| json!({
                "unit": name(one.unit),
                "max_error": one.max_error,
                "rms_error": one.rms_error,
                "uncorrectable_error": one.uncorrectable_error,
                "without_map": one.without_map,
            })),
        })),
        "files": list(&found.measured, file),
        "excluded": list(&findings.excluded, left_out),
        "skipped": list(&findings.skipped, left_out),
        "duplicates": list(&findings.duplicates, left_out),
        "warnings": read_at_sentence(found).into_iter().collect::<Vec<_>>(),
    })
}

fn list<T>(all: &[T], object: impl Fn(&T) -> Value) -> Vec<Value> {
    all.iter().map(object).collect()
}

fn figure(found: &ForceEstimate) -> Value {
    json!({
        "estimate": found.value(),
        "low": found.low,
        "high": found.high,
        "reached": !found.is_least,
    })
}

fn interval((low, high): (f64, f64)) -> Value {
    json!({ "low": low, "high": high })
}

fn spread(of: &Spread) -> Value {
    json!({
        "units": of.known,
        "not_reached": of.unsaturated,
        "mean": of.mean,
        "observed_sd": of.observed_sd,
        "measurement_sd": of.measurement_sd,
        "between_unit_sd": of.between_unit_sd,
        "between_unit_sd_upper_bound": of.between_unit_sd_upper_bound,
        "next_unit": of.next_unit.map(interval),
        "tolerance_90": of.tolerance_90.map(interval),
        "homogeneity_p": of.homogeneity_p,
        "between_unit_sd_lower_bound": of.between_unit_sd_lower_bound,
    })
}

fn share_above(share: &ShareAbove) -> Value {
    json!({
        "force_gf": share.force_gf,
        "probability": share.estimate,
        "low": share.low,
        "high": share.high,
        "basis": share.basis.as_str(),
    })
}

fn curve(forces: &[f64]) -> Vec<Value> {
    (0..READING_GRID)
        .filter(|level| forces[*level].is_finite())
        .map(|level| json!({ "reported": level_reading(level), "force_gf": forces[level] }))
        .collect()
}

fn group(group: &Group, units: &[Unit]) -> Value {
    let clusters = group.clusters.as_ref().filter(|found| found.is_shown());
    json!({
        "name": group.name,
        "bench": group.bench,
        "units": list(&group.units, |unit| json!(units[*unit].name)),
        "onset_force_gf": spread(&group.onset),
        "saturation_force_gf": spread(&group.saturation),
        "span_gf": spread(&group.span),
        "reaches": list(&group.shares_above, share_above),
        "repeats_sd": group.variance_components.map(|parts| parts.within),
        "units_beyond_repeats_sd": group.variance_components.map(|parts| parts.between),
        "verdict": group.verdict.as_str(),
        "homogeneity_p_corrected": group.homogeneity_p,
        "percentile_rank": group.percentile_rank,
        "typical": curve(group.typical.forces()),
        "clusters": clusters.map(|found| clusters_of(found, group, units)),
        "force_at_1_percent_gf": spread(&group.at_1),
        "force_at_99_percent_gf": spread(&group.at_99),
        "gentle_onset": group.is_onset_gentle,
        "gentle_saturation": group.is_saturation_gentle,
    })
}

fn clusters_of(found: &Clusters, group: &Group, units: &[Unit]) -> Value {
    let names = |places: &[usize]| list(places, |place| json!(units[group.units[*place]].name));
    json!({
        "lower": names(&found.lower),
        "upper": names(&found.upper),
        "lower_up_to_gf": found.gap.0,
        "upper_from_gf": found.gap.1,
        "corrected_p": found.p,
    })
}

fn unit(findings: &Findings, index: usize) -> Value {
    let found = &findings.comparison;
    let unit = &found.units[index];
    json!({
        "name": unit.name,
        "model": unit.model,
        "group": found.groups[unit.group].name,
        "bench": unit.bench,
        "files": list(&unit.measurements, |index| json!(found.measured[*index].file)),
        "onset_force_gf": figure(&unit.onset),
        "saturation_force_gf": figure(&unit.saturation),
        "span_gf": figure(&unit.span),
        "saturation_class": unit.saturation_class,
        "percentile_rank": found.percentile_ranks[index],
        "flagged": found.flags_of(index).next().is_some(),
        "curve": curve(unit.profile.forces()),
        "force_at_1_percent_gf": figure(&unit.near.at_1),
        "force_at_99_percent_gf": figure(&unit.near.at_99),
    })
}

fn pair(pair: &Pair, groups: &[Group]) -> Value {
    let difference = |found: &Option<ForceDifference>| found.as_ref().map(difference);
    let curve = pair.curve.as_ref();
    json!({
        "first": groups[pair.first].name,
        "second": groups[pair.second].name,
        "onset_force_gf": difference(&pair.onset),
        "saturation_force_gf": difference(&pair.saturation),
        "curve": curve.map(|found| curve_difference(found, pair.curve_corrected_p)),
        "force_at_1_percent_gf": difference(&pair.at_1),
        "force_at_99_percent_gf": difference(&pair.at_99),
    })
}

fn difference(found: &ForceDifference) -> Value {
    let shift = found.order.shift_interval;
    json!({
        "estimate": found.estimate,
        "low": found.interval.map(|i| i.low),
        "high": found.interval.map(|i| i.high),
        "median_shift": found.order.shift,
        "median_shift_low": shift.map(|(low, _)| low),
        "median_shift_high": shift.map(|(_, high)| high),
        "order_p": found.order.p,
        "permutation_p": found.permutation.p,
        "permutation_exact": found.permutation.is_exact,
        "corrected_p": found.corrected_p,
        "least_p": found.least_p,
        "welch_p": found.interval.map(|i| i.p),
        "welch_corrected_p": found.welch_corrected_p,
    })
}

fn curve_difference(found: &CurveDifference, corrected_p: Option<f64>) -> Value {
    json!({
        "distance_gf": found.distance_gf,
        "permutation_p": found.p,
        "permutation_exact": found.is_exact,
        "corrected_p": corrected_p,
        "rows": list(&found.levels, |level| json!({
            "reported": level.reading,
            "estimate": level.estimate,
            "low": level.low,
            "high": level.high,
        })),
    })
}

fn agreement(found: Agreement) -> Value {
    json!({
        "bias": found.bias,
        "bias_error": found.bias_error,
        "limits": [found.limits.0, found.limits.1],
        "limit_error": found.limit_error,
    })
}

fn envelope(findings: &Findings) -> Option<Value> {
    let found = &findings.comparison;
    let envelope = found.envelope.as_ref()?;
    let outer = envelope.outer.as_ref();
    let row = |level: usize| {
        let at = |forces: &Vec<f64>| forces[level];
        json!({
            "reported": level_reading(level),
            "least_gf": at(&envelope.least),
            "tenth_gf": outer.map(|(low, _)| at(low)),
            "median_gf": envelope.median.as_ref().map(at),
            "ninetieth_gf": outer.map(|(_, high)| at(high)),
            "greatest_gf": at(&envelope.greatest),
        })
    };
    Some(json!({
        "units": envelope.units,
        "bench": found.envelope_bench,
        "holds_fraction_of_units": envelope.holds,
        "rows": (0..READING_GRID).map(row).collect::<Vec<_>>(),
    }))
}

fn file(one: &FittedMeasurement) -> Value {
    json!({
        "file": one.file,
        "sha256": one.sha256,
        "model": one.model,
        "unit": one.unit,
        "bench": one.bench,
        "date": one.date,
        "read_at": one.read_at.map(ReadAt::word),
        "samples": one.samples,
        "onset_force_gf": figure(&one.onset),
        "saturation_force_gf": figure(&one.saturation),
        "warnings": one.warnings,
    })
}

fn left_out(one: &LeftOut) -> Value {
    json!({ "file": one.file, "name": one.name, "reason": one.reason })
}
