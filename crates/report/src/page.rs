//! One page that holds all of a comparison.

use base64::Engine as _;
use base64::prelude::BASE64_STANDARD;
use evenhand_population::{Comparison, ForceEstimate, Group, GroupBy, Pair};
use evenhand_preview::{Theme, comparison_svg, panels_svg, units_svg};
use evenhand_text::clean_lines;
use evenhand_text::percent;
use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::chart::chart_of;
use crate::findings::{Findings, LeftOut};
use crate::json::comparison_json;
use crate::sentences::{
    CAUTIONS, LIKENESS_HEADS, PAIR_HEADS, all_groups_sentence, bench_sentences, flag_sentence,
    group_sentences, left_out_sentence, likeness_cells, likeness_note, method, overview,
    pair_cells, pair_note, probability, read_at_sentence, repeat_sentences,
};
use crate::style::{SCRIPT, sheet};
use crate::table::{figure_words, units_csv};

/// Groups beyond this are told in the table alone.
const MOST_TOLD: usize = 60;

/// The page as HTML: method, bench, cautions, charts, tables, data to download, digests, version and the
/// command that makes it again. It refers to nothing outside itself and is read without scripts; a script
/// sorts the table of units where scripts run.
#[must_use]
pub fn page(findings: &Findings) -> String {
    let comparison = &findings.comparison;
    let chart = chart_of(findings);
    let title = chart.title.clone();
    let figure = |svg: String, caption: Markup| {
        html! {
            figure {
                (PreEscaped(svg))
                figcaption { (caption) }
            }
        }
    };
    let left_out = left_out_sentence(findings);
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="generator" content={ "evenhand " (findings.version) };
                title { (title) }
                style { (PreEscaped(sheet())) }
            }
            body {
                main {
                    h1 { (title) }
                    p.lead { (overview(comparison)) "." }
                    (downloads(findings))
                    @if !left_out.is_empty() { p { (left_out) } }
                    (flags(comparison))
                    h2 { "All responses" }
                    (figure(comparison_svg(&chart, Theme::Light), html! {
                        "The further right a line, the more force the same reading takes. Names stand over the end of their line."
                    }))
                    (cautions())
                    h2 { "Group by group" }
                    (figure(panels_svg(&chart, Theme::Light), html! {
                        "Every panel has the same axes: reading in percent upwards, force to the right; grey is the envelope of all."
                    }))
                    (groups(comparison))
                    h2 { "From onset to saturation" }
                    (figure(units_svg(&chart, Theme::Light), html! {
                        "Forces at which each unit begins and ends to respond."
                    }))
                    (units(comparison))
                    (pairs(comparison))
                    (sentences("Repeats", &repeat_sentences(comparison)))
                    (sentences("Where readings were taken", &read_at_sentence(comparison).into_iter().collect::<Vec<_>>()))
                    (sentences("Benches", &bench_sentences(comparison)))
                    (like(findings))
                    (benches(comparison))
                    h2 { "Method" }
                    dl {
                        @for (head, text) in method(findings) {
                            dt { (head) }
                            dd { (text) }
                        }
                    }
                    (files(findings))
                    h2 { "Made by" }
                    p { "evenhand " (findings.version) ", from the files above, by this command:" }
                    pre { (findings.command) }
                }
                script { (PreEscaped(SCRIPT)) }
            }
        }
    };
    // Names, dates and the command come from files and folders of others.
    clean_lines(&page.into_string())
}

/// Data as links that hold it.
fn downloads(findings: &Findings) -> Markup {
    let link = |name: &str, kind: &str, text: &str, words: &str| {
        let data = BASE64_STANDARD.encode(text);
        html! {
            a download=(name) href={ "data:" (kind) ";base64," (data) } { (words) }
        }
    };
    let json = comparison_json(findings);
    html! {
        p.screen {
            "Data: "
            (link("units.csv", "text/csv;charset=utf-8", &units_csv(&findings.comparison), "units as a table (CSV)"))
            ", "
            (link("comparison.json", "application/json", &json, "everything (JSON)"))
        }
    }
}

fn cautions() -> Markup {
    html! {
        section.cautions aria-label="Cautions" {
            strong { "Cautions" }
            ul {
                @for caution in CAUTIONS { li { (caution) } }
            }
        }
    }
}

fn flags(comparison: &Comparison) -> Markup {
    html! {
        @if !comparison.flags.is_empty() {
            section aria-label="Flags" {
                p { "To look at:" }
                ul {
                    @for flag in &comparison.flags { li { (flag_sentence(flag, comparison)) } }
                }
            }
        }
    }
}

/// A cell with a force, sorted by its number.
fn cell(figure: &ForceEstimate) -> Markup {
    let number = if figure.is_least {
        f64::MAX
    } else {
        figure.estimate
    };
    html! { td.number data-number=(number) { (figure_words(figure).replace(" gf", "")) } }
}

fn groups(comparison: &Comparison) -> Markup {
    html! {
        @for group in comparison.groups.iter().take(MOST_TOLD) {
            h3 { (group.name) }
            ul {
                @for sentence in group_sentences(group, comparison) { li { (capital(&sentence)) "." } }
                li { (capital(&standing(group))) "." }
            }
        }
        @if comparison.groups.len() > MOST_TOLD {
            p.note { (comparison.groups.len() - MOST_TOLD) " more groups are in the data to download." }
        }
    }
}

fn standing(group: &Group) -> String {
    if group.percentile_rank.is_finite() {
        format!(
            "its middle unit saturates later than {} of the units in the envelope",
            probability(group.percentile_rank)
        )
    } else {
        "its units are none of the envelope's".to_owned()
    }
}

fn units(comparison: &Comparison) -> Markup {
    // A unit's name says its model, and one bench needs no column.
    let by_model = comparison.settings.group_by == GroupBy::Model;
    let several = comparison.has_several_benches();
    html! {
        h2 { "Units" }
        div.wide {
            table.sorts {
                caption {
                    "Forces with " (percent(comparison.settings.confidence)) " % intervals. Standing: part of the envelope's units that saturate earlier."
                }
                thead {
                    tr {
                        th scope="col" { "Unit" }
                        @if !by_model { th scope="col" { "Group" } }
                        @if several { th scope="col" { "Bench" } }
                        th.number scope="col" { "Files" }
                        th.number scope="col" { "Onset, gf" }
                        th.number scope="col" { "Saturation, gf" }
                        th.number scope="col" { "Span, gf" }
                        th.number scope="col" { "At 1 %, gf" }
                        th.number scope="col" { "At 99 %, gf" }
                        th scope="col" { "Saturation class" }
                        th.number scope="col" { "Standing" }
                        th scope="col" { "Flag" }
                    }
                }
                tbody {
                    @for (index, unit) in comparison.units.iter().enumerate() {
                        @let standing = comparison.percentile_ranks[index];
                        tr {
                            th scope="row" { (unit.name) }
                            @if !by_model { td { (comparison.groups[unit.group].key) } }
                            @if several { td { (unit.bench.as_deref().unwrap_or("not named")) } }
                            td.number data-number=(unit.measurements.len()) { (unit.measurements.len()) }
                            (cell(&unit.onset))
                            (cell(&unit.saturation))
                            (cell(&unit.span))
                            (cell(&unit.near.at_1))
                            (cell(&unit.near.at_99))
                            td { (unit.saturation_class.unwrap_or("unknown")) }
                            td.number data-number=(standing.unwrap_or(f64::NAN)) {
                                (standing.map_or_else(String::new, probability))
                            }
                            td {
                                @if let Some(flag) = comparison.flags_of(index).next() { (flag.what) }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn pairs(comparison: &Comparison) -> Markup {
    html! {
        @if comparison.too_many_pairs {
            h2 { "Groups compared" }
            p { "There are too many groups to compare them two by two." }
        } @else if !comparison.pairs.is_empty() {
            h2 { "Groups compared" }
            @if let Some(sentence) = all_groups_sentence(comparison) { p { (capital(&sentence)) "." } }
            div.wide {
                table.sorts {
                    @if let Some(note) = pair_note(comparison) { caption { (capital(&note)) "." } }
                    thead {
                        tr { @for head in PAIR_HEADS { th scope="col" { (head) } } }
                    }
                    tbody {
                        @for pair in &comparison.pairs {
                            tr {
                                @for (cell, number) in pair_cells(pair, comparison).iter().zip(pair_numbers(pair)) {
                                    td data-number=[number] { (cell) }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// What the cells of a pair are sorted by; names by themselves.
fn pair_numbers(pair: &Pair) -> [Option<f64>; 5] {
    let found = pair.upper();
    let known = |value: Option<f64>| Some(value.unwrap_or(f64::NAN));
    [
        None,
        known(found.map(|f| f.estimate)),
        known(found.and_then(|f| f.welch_corrected_p)),
        known(found.map(|f| f.corrected_p)),
        known(pair.curve.as_ref().map(|curve| curve.distance_gf)),
    ]
}

/// With a capital at its beginning, as sentences of a page have it.
fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

fn sentences(head: &str, all: &[String]) -> Markup {
    html! {
        @if !all.is_empty() {
            h2 { (head) }
            ul {
                @for sentence in all { li { (capital(sentence)) "." } }
            }
        }
    }
}

fn like(findings: &Findings) -> Markup {
    let Some(likened) = &findings.likened else {
        return html! {};
    };
    let comparison = &findings.comparison;
    html! {
        h2 { "To feel like " (likened.target) }
        div.wide {
            table.sorts {
                caption { (capital(&likeness_note(likened))) "." }
                thead {
                    tr { @for head in LIKENESS_HEADS { th scope="col" { (head) } } }
                }
                tbody {
                    @for one in &likened.units {
                        @let [unit, with, beyond, without] = likeness_cells(one, comparison);
                        tr {
                            th scope="row" { (unit) }
                            td data-number=(one.max_error) { (with) }
                            td data-number=(one.uncorrectable_error) { (beyond) }
                            td data-number=(one.without_map) { (without) }
                        }
                    }
                }
            }
        }
    }
}

/// What the files say of their benches.
fn benches(comparison: &Comparison) -> Markup {
    let mut names: Vec<Option<&str>> = comparison
        .measured
        .iter()
        .map(|m| m.bench.as_deref())
        .collect();
    names.sort_unstable();
    names.dedup();
    let row = |bench: Option<&str>| {
        let own: Vec<_> = comparison
            .measured
            .iter()
            .filter(|m| m.bench.as_deref() == bench)
            .collect();
        let mut dates: Vec<&str> = own.iter().filter_map(|m| m.date.as_deref()).collect();
        dates.sort_unstable();
        let mut levers: Vec<&str> = own.iter().filter_map(|m| m.lever.as_deref()).collect();
        levers.sort_unstable();
        levers.dedup();
        let samples: usize = own.iter().map(|m| m.samples).sum();
        let largest = own.iter().map(|m| m.largest_gf).fold(0.0, f64::max);
        let days = match (dates.first(), dates.last()) {
            (Some(first), Some(last)) if first != last => format!("{first} to {last}"),
            (Some(first), _) => (*first).to_owned(),
            _ => "not said".to_owned(),
        };
        html! {
            tr {
                th scope="row" { (bench.unwrap_or("not named")) }
                td { (days) }
                td { @if levers.is_empty() { "not said" } @else { (levers.join("; ")) } }
                td.number { (own.len()) }
                td.number { (samples) }
                td.number { (format!("{largest:.0} gf")) }
            }
        }
    };
    html! {
        h2 { "The bench" }
        div.wide {
            table {
                thead {
                    tr {
                        th scope="col" { "Bench" }
                        th scope="col" { "Days" }
                        th scope="col" { "Lever" }
                        th.number scope="col" { "Measurements" }
                        th.number scope="col" { "Samples" }
                        th.number scope="col" { "Largest force" }
                    }
                }
                tbody { @for bench in names { (row(bench)) } }
            }
        }
    }
}

fn files(findings: &Findings) -> Markup {
    let listed = |head: &str, files: &[LeftOut]| {
        html! {
            @if !files.is_empty() {
                h3 { (head) }
                ul {
                    @for one in files {
                        li {
                            code { (one.file) }
                            @if let Some(name) = &one.name { " (" (name) ")" }
                            ": " (one.reason)
                        }
                    }
                }
            }
        }
    };
    html! {
        h2 { "Files" }
        div.wide {
            table {
                thead {
                    tr {
                        th scope="col" { "File" }
                        th scope="col" { "Day" }
                        th.number scope="col" { "Samples" }
                        th scope="col" { "SHA-256" }
                    }
                }
                tbody {
                    @for one in &findings.comparison.measured {
                        tr {
                            td { (one.file) }
                            td { (one.date.as_deref().unwrap_or("")) }
                            td.number { (one.samples) }
                            td.digest { code { (one.sha256) } }
                        }
                    }
                }
            }
        }
        (listed("Left out by request", &findings.excluded))
        (listed("Not usable", &findings.skipped))
        (listed("The same bytes twice, counted once", &findings.duplicates))
    }
}
