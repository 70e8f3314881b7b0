//! `evenhand bench convert`.

use std::fmt::Write as _;

use evenhand_bench::{Budget, Contribution, Rig};

use evenhand_measurement::ForceBudget;
use evenhand_text::save_atomically;
use evenhand_workflow::{Converted, Failure, check_target, converted};
use serde_json::{Value, json};

use crate::args::ConvertArgs;
use crate::json::pretty;
use crate::output::Output;

/// Converts, writes the measurement where one was asked for, and tells forces and the largest budget.
pub(crate) fn run(args: &ConvertArgs, output: &Output) -> Result<u8, Failure> {
    if let Some(out) = &args.out {
        check_target(out, args.force, &[&args.placed, &args.rig])?;
    }
    let rig = Rig::read(&args.rig)?;
    let found = converted(
        &args.placed,
        &rig,
        args.levels,
        args.sheet.as_deref(),
        &args.column,
    )?;
    if let Some(out) = &args.out {
        let Some(text) = &found.measurement else {
            return Err(Failure::bad_input(
                format!(
                    "{}: there is no column of readings, so no measurement",
                    args.placed.display()
                ),
                "add a column reported_percent, reported or reported_raw, or leave --out away",
            ));
        };
        save_atomically(out, text.as_bytes(), args.force)?;
    }
    if output.json {
        output.data(&pretty(&json(&rig.name, &found)))?;
    } else {
        output.people(&text(&rig.name, &found))?;
        for warning in &found.warnings {
            output.warn(warning);
        }
    }
    Ok(0)
}

fn text(bench: &str, found: &Converted) -> String {
    let mut out = format!(
        "bench {bench}\n  {}\n\n  line  force gf   u gf     U gf (95 %)  load\n",
        found.read_as.in_words()
    );
    for row in &found.rows {
        let budget = &row.budget;
        let _ = writeln!(
            out,
            "  {:>4}  {:>8.2}  {:>7.3}  {:>11.3}  {}",
            row.line, budget.value, budget.combined, budget.expanded, row.placed
        );
    }
    let largest = found
        .rows
        .iter()
        .max_by(|a, b| a.budget.value.total_cmp(&b.budget.value));
    if let Some(row) = largest {
        let _ = writeln!(
            out,
            "\nbudget of the largest force, {:.2} gf (line {})",
            row.budget.value, row.line
        );
        contributions(&mut out, &row.budget);
    }
    let ForceBudget {
        gain,
        offset_gf,
        scatter_gf,
        scatter_part,
    } = found.budget;
    let _ = writeln!(
        out,
        "\nall forces together: gain {:.2} %, offset {offset_gf:.3} gf; each by itself: {scatter_gf:.3} gf and {:.2} % (standard uncertainties)",
        100.0 * gain,
        100.0 * scatter_part
    );
    out
}

fn contributions(out: &mut String, budget: &Budget) {
    // What is exact adds nothing.
    let mut sorted: Vec<_> = budget
        .contributions
        .iter()
        .filter(|one| one.input.standard > 0.0)
        .collect();
    sorted.sort_by(|a, b| b.standard.total_cmp(&a.standard));
    let width = sorted
        .iter()
        .map(|c| c.input.name.chars().count())
        .max()
        .unwrap_or(0);
    let _ = writeln!(
        out,
        "  {:<width$}  {:>12}  {:>10}  {:>12}  {:>8}  share   correlation",
        "input", "value", "u", "sensitivity", "u(F) gf"
    );
    for one in sorted {
        let _ = writeln!(
            out,
            "  {:<width$}  {:>12}  {:>10}  {:>12}  {:>8.3}  {:>4.1} %  {}",
            one.input.name,
            format!("{:.4} {}", one.input.value, one.input.unit),
            format!("{:.3}", one.input.standard),
            format!("{:.4}", one.sensitivity),
            one.standard,
            100.0 * one.fraction,
            one.input.correlation
        );
    }
    let freedom = if budget.freedom.is_finite() {
        format!("{:.1}", budget.freedom)
    } else {
        "infinite".to_owned()
    };
    let _ = writeln!(
        out,
        "  combined {:.3} gf, effective degrees of freedom {freedom}, coverage factor {:.3}, expanded {:.3} gf",
        budget.combined, budget.coverage, budget.expanded
    );
}

fn json(bench: &str, found: &Converted) -> Value {
    let contribution = |c: &Contribution| {
        json!({
            "input": c.input.name,
            "unit": c.input.unit,
            "value": c.input.value,
            "standard_uncertainty": c.input.standard,
            "degrees_of_freedom": c.input.freedom,
            "sensitivity": c.sensitivity,
            "contribution_gf": c.standard,
            "fraction_of_variance": c.fraction,
            "correlation": c.input.correlation.as_str(),
        })
    };
    json!({
        "bench": bench,
        "read_as": found.read_as,
        // Degrees of freedom are null where limits are known.
        "rows": found.rows.iter().map(|row| json!({
            "line": row.line,
            "load": row.placed,
            "force_gf": row.budget.value,
            "standard_uncertainty_gf": row.budget.combined,
            "degrees_of_freedom": row.budget.freedom,
            "coverage_factor": row.budget.coverage,
            "expanded_uncertainty_gf": row.budget.expanded,
            "contributions": row.budget.contributions.iter().map(contribution).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "force_gain_u": found.budget.gain,
        "force_offset_u_gf": found.budget.offset_gf,
        "force_scatter_u_gf": found.budget.scatter_gf,
        "force_scatter_u": found.budget.scatter_part,
        "warnings": found.warnings,
    })
}
