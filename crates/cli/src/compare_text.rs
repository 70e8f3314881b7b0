//! A comparison as text.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use evenhand_population::{Comparison, ForceEstimate, Group};
use evenhand_report::{
    Findings, LIKENESS_HEADS, PAIR_HEADS, all_groups_sentence, bench_sentences, envelope_sentence,
    figure_words, flag_sentence, group_sentences, left_out_sentence, likeness_cells, likeness_note,
    overview, pair_cells, pair_note, probability, read_at_sentence, repeat_sentences,
};

/// Sentences are broken at this width.
const WIDTH: usize = 96;
/// Pairs beyond this are listed in the page and as JSON only.
const MOST_PAIRS: usize = 28;

pub(crate) fn text(findings: &Findings) -> String {
    let comparison = &findings.comparison;
    let mut out = String::new();
    let _ = writeln!(out, "{}", overview(comparison));
    for group in &comparison.groups {
        out.push('\n');
        self::group(&mut out, group, comparison);
    }
    let envelope: Vec<String> = envelope_sentence(comparison).into_iter().collect();
    listed(&mut out, "Envelope", &envelope);
    pairs(&mut out, comparison);
    listed(&mut out, "Repeats", &repeat_sentences(comparison));
    listed(&mut out, "Benches", &bench_sentences(comparison));
    if let Some(likened) = &findings.likened {
        let rows: Vec<[String; 4]> = likened
            .units
            .iter()
            .map(|one| likeness_cells(one, comparison))
            .collect();
        let _ = write!(out, "\nTo feel like {}\n", likened.target);
        table(&mut out, LIKENESS_HEADS, &rows);
        item(&mut out, &likeness_note(likened));
    }
    let left_out = left_out_sentence(findings);
    if !left_out.is_empty() {
        let _ = write!(out, "\n{left_out}\n");
    }
    out
}

fn group(out: &mut String, group: &Group, comparison: &Comparison) {
    let _ = writeln!(out, "{}", group.name);
    let rows: Vec<[String; 8]> = group
        .units
        .iter()
        .map(|index| {
            let unit = &comparison.units[*index];
            [
                unit.name.clone(),
                figure_words(&unit.onset),
                figure_words(&unit.saturation),
                figure_words(&unit.span),
                force_words(&unit.near.at_1),
                force_words(&unit.near.at_99),
                unit.saturation_class.unwrap_or("unknown").to_owned(),
                comparison.percentile_ranks[*index].map_or_else(String::new, probability),
            ]
        })
        .collect();
    let heads = [
        "unit",
        "onset",
        "saturation",
        "span",
        "at 1 %",
        "at 99 %",
        "saturation class",
        "standing",
    ];
    table(out, heads, &rows);
    for sentence in group_sentences(group, comparison) {
        item(out, &sentence);
    }
}

/// A force without its interval, which the page and JSON give.
fn force_words(figure: &ForceEstimate) -> String {
    let above = if figure.is_least { "above " } else { "" };
    format!("{above}{:.1} gf", figure.estimate)
}

/// Columns under their heads, as wide as they need to be.
fn table<const N: usize>(out: &mut String, heads: [&str; N], rows: &[[String; N]]) {
    let widths: Vec<usize> = (0..N)
        .map(|column| {
            let cells = rows.iter().map(|row| row[column].chars().count());
            cells.chain([heads[column].len()]).max().unwrap_or(0)
        })
        .collect();
    let mut line = |cells: &[&str]| {
        let padded: Vec<String> = cells
            .iter()
            .zip(&widths)
            .map(|(cell, width)| format!("{cell:<width$}"))
            .collect();
        let _ = writeln!(out, "  {}", padded.join("  ").trim_end());
    };
    line(&heads);
    for row in rows {
        let cells: Vec<&str> = row.iter().map(String::as_str).collect();
        line(&cells);
    }
}

fn pairs(out: &mut String, comparison: &Comparison) {
    if comparison.pairs.is_empty() && !comparison.too_many_pairs {
        return;
    }
    let mut sentences: Vec<String> = all_groups_sentence(comparison).into_iter().collect();
    let rows: Vec<[String; 5]> = comparison
        .pairs
        .iter()
        .take(MOST_PAIRS)
        .map(|pair| pair_cells(pair, comparison))
        .collect();
    let _ = write!(out, "\nGroups compared\n");
    if !rows.is_empty() {
        table(out, PAIR_HEADS, &rows);
    }
    sentences.extend(pair_note(comparison));
    let more = comparison.pairs.len().saturating_sub(MOST_PAIRS);
    if more > 0 {
        sentences.push(format!("{more} more pairs with --json or --report"));
    }
    if comparison.too_many_pairs {
        sentences.push("too many groups to compare them two by two".to_owned());
    }
    for sentence in &sentences {
        item(out, sentence);
    }
}

fn listed(out: &mut String, head: &str, sentences: &[String]) {
    if sentences.is_empty() {
        return;
    }
    let _ = write!(out, "\n{head}\n");
    for sentence in sentences {
        item(out, sentence);
    }
}

/// A sentence with a dash before it, broken between words.
fn item(out: &mut String, sentence: &str) {
    let mut line = String::from("  - ");
    let mut used = 4;
    for word in sentence.split(' ') {
        let length = word.chars().count();
        if used + length > WIDTH && used > 4 {
            let _ = writeln!(out, "{}", line.trim_end());
            line = String::from("    ");
            used = 4;
        }
        line.push_str(word);
        line.push(' ');
        used += length + 1;
    }
    let _ = writeln!(out, "{}", line.trim_end());
}

/// What a reader should look at.
pub(crate) fn warnings(findings: &Findings) -> Vec<String> {
    let comparison = &findings.comparison;
    let mut sentences: Vec<String> = comparison
        .flags
        .iter()
        .map(|flag| flag_sentence(flag, comparison))
        .collect();
    sentences.extend(read_at_sentence(comparison));
    let of = |index: usize| comparison.measured[index].file.as_str();
    for (index, one) in comparison.units.iter().enumerate() {
        // Two styluses never give the same response to the last digit.
        let twin = comparison.units[..index]
            .iter()
            .find(|other| other.profile == one.profile);
        if let (Some(twin), [own, ..]) = (twin, &one.measurements[..])
            && let Some(other) = twin.measurements.first()
        {
            sentences.push(format!(
                "{} and {} hold the same samples under two names; if they are one stylus, leave one out",
                of(*other),
                of(*own)
            ));
        }
    }
    let models: BTreeSet<&str> = comparison
        .measured
        .iter()
        .filter_map(|one| one.model.as_deref())
        .collect();
    let plain = |model: &str| model.to_lowercase().replace([' ', '-', '_'], "");
    for (index, one) in models.iter().enumerate() {
        for other in models.iter().skip(index + 1) {
            if plain(one) == plain(other) {
                sentences.push(format!(
                    "`{one}` and `{other}` are counted as two models; if they are one, write it the same everywhere"
                ));
            }
        }
    }
    let nameless = comparison
        .measured
        .iter()
        .filter(|m| m.model.is_none() || m.unit.is_none())
        .count();
    if nameless > 0 {
        sentences.push(format!(
            "{nameless} of {} measurements name no model or no unit: each counts as a unit of its own; write `# model = …` and `# unit = …`",
            comparison.measured.len()
        ));
    }
    let benchless = comparison
        .measured
        .iter()
        .filter(|m| m.bench.is_none())
        .count();
    if benchless > 0 && benchless < comparison.measured.len() {
        sentences.push(format!(
            "{benchless} of {} measurements name no bench: they are kept apart from the others; write `# bench = …`",
            comparison.measured.len()
        ));
    }
    sentences
}
