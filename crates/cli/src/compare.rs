//! `evenhand compare`.

use std::path::{Path, PathBuf};

use evenhand_measurement::ReadOptions;
use evenhand_population::{
    CompareSettings, Comparison, GroupBy, Profile, Unit, compare, unit_matches,
};
use evenhand_preview::{Theme, comparison_svg, panels_svg, units_svg};
use evenhand_report::{Findings, LeftOut, MatchReport, chart_of, comparison_json, page};
use evenhand_text::{refuse_input, save_atomically};
use evenhand_workflow::{
    CANNOT, Collection, ExcludedFile, Failure, Skipped, check_target, collect, failure_text,
    find_measurements, fitted, measurement, receiver, save_picture,
};

use crate::args::{ChartOf, CompareArgs, GroupKey};
use crate::compare_text;
use crate::input;
use crate::output::Output;
use crate::picture;
use crate::progress;

/// Compares, writes what was asked for, and tells; files that cannot be used are named and make it end with 1.
pub(crate) fn run(args: &CompareArgs, output: &Output) -> Result<u8, Failure> {
    let chart = match &args.chart {
        Some(out) => Some((out, picture::form(out, args.force, &[])?)),
        None => None,
    };
    if let Some(out) = &args.report {
        check_report(out, args)?;
    }
    let found = find_measurements(&args.paths)?;
    if found.files.is_empty() {
        return Err(Failure::bad_input(
            "there is no measurement in what was named",
            "name files, or folders that hold .csv or .toml files",
        ));
    }
    let mut inputs: Vec<&Path> = found.files.iter().map(PathBuf::as_path).collect();
    inputs.extend(args.like.as_deref().map(Path::new));
    inputs.push(Path::new(&args.receiver));
    for out in args.chart.iter().chain(&args.report) {
        refuse_input(out, &inputs)?;
    }
    let settings = input::settings(&args.intervals);
    let options = ReadOptions {
        levels: args.levels,
        ..ReadOptions::default()
    };
    let bar = progress::bar(found.files.len(), "fitting", output);
    let collection = collect(&found.files, &options, &settings, &args.exclude, &|| {
        bar.step();
    });
    bar.clear();
    let collection = collection?;
    if !found.skipped.is_empty() {
        let names: Vec<String> = found
            .skipped
            .iter()
            .map(|p| p.display().to_string())
            .collect();
        output.warn(&format!(
            "passed over as maps or checks by their names: {}",
            names.join(", ")
        ));
    }
    for skipped in &collection.skipped {
        output.error_text(&failure_text(&skipped.failure, output.error_color()));
    }
    if collection.measured.is_empty() {
        return Err(nothing_left(collection));
    }
    let code = if collection.skipped.is_empty() {
        0
    } else {
        CANNOT
    };
    let findings = findings(args, collection)?;
    if let Some((out, form)) = chart {
        let shown = chart_of(&findings);
        let theme = picture::theme(args.theme);
        save_picture(drawn(args.chart_of, &shown, theme), out, form, args.force)?;
    }
    if let Some(out) = &args.report {
        save_atomically(out, page(&findings).as_bytes(), args.force)?;
    }
    print(&findings, output)?;
    Ok(code)
}

fn drawn(what: ChartOf, chart: &evenhand_preview::ComparisonChart, theme: Theme) -> String {
    match what {
        ChartOf::All => comparison_svg(chart, theme),
        ChartOf::Groups => panels_svg(chart, theme),
        ChartOf::Units => units_svg(chart, theme),
    }
}

/// Refuses, before any work, a page that cannot be meant.
fn check_report(out: &Path, args: &CompareArgs) -> Result<(), Failure> {
    let is_page = out.extension().is_some_and(|ending| {
        ending.eq_ignore_ascii_case("html") || ending.eq_ignore_ascii_case("htm")
    });
    if !is_page {
        return Err(Failure::bad_input(
            format!("{}: the ending does not say HTML", out.display()),
            "name the page OUT.html",
        ));
    }
    if args.chart.as_ref() == Some(out.to_path_buf()).as_ref() {
        return Err(Failure::bad_input(
            "page and chart have the same name",
            "name one of them otherwise",
        ));
    }
    check_target(out, args.force, &[])
}

/// Why nothing can be compared: the fault of the only file, or that all were left out.
fn nothing_left(mut collection: Collection) -> Failure {
    if collection.skipped.len() == 1 && collection.excluded.is_empty() {
        // It was told already; what is left to say is that there is nothing else.
        let Skipped { file, .. } = collection.skipped.remove(0);
        return Failure::bad_input(
            format!("{file} cannot be used, and there is nothing else to compare"),
            "name measurements that can be read and fitted",
        );
    }
    Failure::bad_input(
        format!(
            "nothing is left to compare: {} of {} cannot be used, {} left out by request",
            collection.skipped.len(),
            collection.skipped.len() + collection.excluded.len(),
            collection.excluded.len()
        ),
        "name measurements that can be read and fitted",
    )
}

fn findings(args: &CompareArgs, collection: Collection) -> Result<Findings, Failure> {
    let settings = CompareSettings {
        group_by: match args.group {
            GroupKey::Model => GroupBy::Model,
            GroupKey::Folder => GroupBy::Folder,
            GroupKey::All => GroupBy::All,
        },
        confidence: args.intervals.confidence.value(),
        seed: args.intervals.seed,
        consistency_limit: args.alike.value(),
        pool_benches: args.pool_benches,
    };
    let comparison = compare(collection.measured, settings);
    let likened = match &args.like {
        Some(like) => Some(likened(like, args, &comparison)?),
        None => None,
    };
    let left_out = |file: ExcludedFile, reason: String| LeftOut {
        file: file.file,
        name: Some(file.name),
        reason,
    };
    Ok(Findings {
        comparison,
        resamples: args.intervals.resamples,
        excluded: collection
            .excluded
            .into_iter()
            .map(|one| left_out(one, "left out by request".to_owned()))
            .collect(),
        skipped: collection
            .skipped
            .into_iter()
            .map(|skipped| LeftOut {
                file: skipped.file,
                name: None,
                reason: skipped.failure.message.clone(),
            })
            .collect(),
        duplicates: collection
            .duplicates
            .into_iter()
            .map(|one| {
                let reason = format!(
                    "the same bytes as {}",
                    one.same_as.as_deref().unwrap_or("another")
                );
                left_out(one, reason)
            })
            .collect(),
        likened,
        command: command(),
        version: env!("CARGO_PKG_VERSION").to_owned(),
    })
}

/// Who is wished for: a response, and the units that are not meant by it.
fn likened(
    like: &str,
    args: &CompareArgs,
    comparison: &Comparison,
) -> Result<MatchReport, Failure> {
    let (profile, own) = profile_of(like, args, comparison)?;
    let receiver = receiver(&args.receiver)?;
    let others: Vec<usize> = (0..comparison.units.len())
        .filter(|unit| !own.contains(unit))
        .collect();
    if others.is_empty() {
        return Err(Failure::bad_input(
            format!("there is no unit besides those of `{like}`"),
            "name the measurements of other styluses too",
        ));
    }
    let units: Vec<&Unit> = others.iter().map(|unit| &comparison.units[*unit]).collect();
    let mut found = unit_matches(&units, &profile, &receiver).map_err(|error| {
        let mut failure = Failure::from(error);
        failure.message = format!("`{like}`: {}", failure.message);
        failure
    })?;
    for one in &mut found {
        one.unit = others[one.unit];
    }
    Ok(MatchReport {
        target: like.to_owned(),
        receiver: receiver.name().to_owned(),
        units: found,
    })
}

fn profile_of(
    like: &str,
    args: &CompareArgs,
    comparison: &Comparison,
) -> Result<(Profile, Vec<usize>), Failure> {
    let groups = || comparison.groups.iter();
    let group = groups()
        .find(|group| group.name == like)
        .or_else(|| groups().find(|g| g.key == like && g.bench == comparison.envelope_bench))
        .or_else(|| groups().find(|group| group.key == like));
    if let Some(group) = group {
        let own = (0..comparison.units.len())
            .filter(|unit| comparison.groups[comparison.units[*unit].group].key == group.key)
            .collect();
        return Ok((group.typical.clone(), own));
    }
    let named = |unit: &usize| comparison.units[*unit].name == like;
    let own: Vec<usize> = (0..comparison.units.len()).filter(named).collect();
    if let Some(first) = own.first() {
        return Ok((comparison.units[*first].profile.clone(), own));
    }
    let path = PathBuf::from(like);
    if !path.exists() {
        let mut names: Vec<&str> = groups().map(|group| group.key.as_str()).collect();
        names.dedup();
        return Err(Failure::bad_input(
            format!("there is no group, unit or file `{like}`"),
            format!(
                "name one of {}, a unit such as \"{}\", or a measurement",
                names.join(", "),
                comparison.units[0].name
            ),
        ));
    }
    let options = ReadOptions {
        levels: args.levels,
        ..ReadOptions::default()
    };
    let read = measurement(&path, &options)?;
    let fit = fitted(&read, &input::settings(&args.intervals))?;
    let own = (0..comparison.units.len())
        .filter(|unit| {
            let own = &comparison.units[*unit].measurements;
            own.iter()
                .any(|index| comparison.measured[*index].sha256 == read.source.sha256)
        })
        .collect();
    Ok((Profile::of(&fit.response), own))
}

/// The command as it was given, to be typed again.
fn command() -> String {
    let words = std::env::args_os().skip(1).map(|word| {
        let word = word.to_string_lossy().into_owned();
        let plain = |c: char| c.is_alphanumeric() || "-_./=,:%+@\\".contains(c);
        if !word.is_empty() && word.chars().all(plain) {
            word
        } else {
            format!("'{}'", word.replace('\'', r"'\''"))
        }
    });
    std::iter::once("evenhand".to_owned())
        .chain(words)
        .collect::<Vec<_>>()
        .join(" ")
}

fn print(findings: &Findings, output: &Output) -> Result<(), Failure> {
    if output.json {
        return output.data(&comparison_json(findings));
    }
    output.people(&compare_text::text(findings))?;
    for one in &findings.duplicates {
        output.warn(&format!("{}: {}; it counts once", one.file, one.reason));
    }
    for sentence in compare_text::warnings(findings) {
        output.warn(&sentence);
    }
    Ok(())
}
