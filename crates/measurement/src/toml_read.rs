//! Reading a measurement from TOML.

use evenhand_text::{
    Faults, Node, Place, ReadAs, ReadColumn, Remedy, Rule, Setting, TomlFile, Value, clean, folded,
    quoted,
};

use crate::columns::{FORCE_UNITS, SAMPLES};
use crate::measurement::{
    Bench, Direction, ForceActs, ForceBudget, Measurement, ReadAt, Sample, Seating,
};
use crate::options::{MOST_LEVELS, MOST_SAMPLES, ReadOptions};
use crate::selection::SampleRequest;
use crate::unit::{ForceUnit, ReadingUnit, reading_fraction};

const TOP: &[&str] = &["stylus", "bench", "seating", "exclude", "labels"];
const STYLUS: &[&str] = &["model", "unit", "levels"];
const BENCH: &[&str] = &[
    "name",
    "date",
    "force",
    "force_acts",
    "reading",
    "read_at",
    "tilt_deg",
    "lever",
    "notes",
    "force_gain_u",
    "force_offset_u_gf",
    "force_scatter_u_gf",
    "force_scatter_u",
    "seating_gain_u",
];
const SEATING: &[&str] = &["direction", "samples"];
const PAIRS: &str = "write pairs of force and reading, such as samples = [[5, 0.0], [10, 1.3]]";
const EXCLUDE: &str = "write the lines of the samples, such as exclude = [12, 17] or exclude = [\"12:2\"] for the second sample of line 12, above the first [table]";

/// A measurement from TOML, the samples it asks to exclude, and how it was understood.
pub(crate) fn read(
    name: &str,
    text: &str,
    options: &ReadOptions,
) -> Result<(Measurement, Vec<SampleRequest>, ReadAs), Faults> {
    let outline = "a measurement has [stylus], [bench] and one [[seating]] or more";
    let file = TomlFile::parse(name, text, outline)?;
    let mut measurement = Measurement::default();
    let exclude = document(&file, options, &mut measurement);
    let read_as = read_as(&measurement);
    file.finish(Some((measurement, exclude, read_as)))
}

fn document(
    file: &TomlFile<'_>,
    options: &ReadOptions,
    measurement: &mut Measurement,
) -> Vec<SampleRequest> {
    let top = file.root();
    top.only(TOP);
    if let Some(stylus) = top.table("stylus") {
        only(file, &stylus, STYLUS);
        measurement.stylus.model = text(&stylus, "model");
        measurement.stylus.unit = text(&stylus, "unit");
        if let Some(unit) = &measurement.stylus.unit
            && FORCE_UNITS.iter().any(|(word, _)| *word == folded(unit))
        {
            file.fault(
                stylus.span_of("unit"),
                format!("unit = {}", quoted(unit)),
                "which stylus of its model it is",
                "write the unit of forces as force = \"gf\" in [bench]",
            );
        }
        let limits = (2, u64::from(MOST_LEVELS));
        let levels = stylus.whole(
            "levels",
            limits,
            "write the number of levels, such as levels = 8192",
        );
        measurement.stylus.levels = levels.and_then(|found| u32::try_from(found.value).ok());
    }
    if let Some(labels) = top.table("labels") {
        for key in labels.keys() {
            if !SAMPLES.remarks.is_label(key) {
                file.fault(
                    labels.span_of(key),
                    format!("the label {}", quoted(key)),
                    "",
                    "choose a name of your own, of letters and digits, that no key of a measurement is like",
                );
            } else if let Some(found) = labels.text(key) {
                measurement
                    .labels
                    .insert(key.to_owned(), clean(found.value.trim()));
            }
        }
    }
    measurement.stylus.levels = measurement.stylus.levels.or(options.levels);
    let bench = top.table("bench");
    if !top.has("bench") {
        file.fault(
            file.end(),
            "no [bench]",
            "",
            "add [bench] with force = \"gf\" and reading = \"percent\"",
        );
    }
    let units = bench.and_then(|bench| take_bench(file, &bench, measurement));
    let seatings = top.tables("seating");
    if !top.has("seating") {
        file.fault(
            file.end(),
            "no [[seating]]",
            "",
            "add [[seating]] with samples = [[5, 0.0], [10, 1.3]]",
        );
    }
    for (index, seating) in (1..).zip(&seatings) {
        take_seating(file, seating, index, units, measurement);
    }
    if measurement.samples.is_empty() && !file.has_faults() {
        file.fault_of_file(
            "there are no samples",
            "add [[seating]] with samples = [[5, 0.0], [10, 1.3]]",
        );
    }
    excluded(file, &top)
}

/// Refuses every key but these; `exclude` below a heading belongs to its table, and would leave the samples in.
fn only(file: &TomlFile<'_>, node: &Node<'_, '_>, known: &[&str]) {
    if node.has("exclude") {
        file.fault(
            node.span_of("exclude"),
            "exclude below a heading",
            "",
            "write it above the first [heading] of the file: exclude = [12, 17]",
        );
    }
    let with_exclude: Vec<&str> = known.iter().copied().chain(["exclude"]).collect();
    node.only(&with_exclude);
}

fn text(node: &Node<'_, '_>, key: &str) -> Option<String> {
    Some(node.text(key)?.value)
}

/// Takes the bench; its units, where both are given.
fn take_bench(
    file: &TomlFile<'_>,
    node: &Node<'_, '_>,
    measurement: &mut Measurement,
) -> Option<(ForceUnit, ReadingUnit)> {
    only(file, node, BENCH);
    let bench = &mut measurement.bench;
    bench.name = text(node, "name");
    bench.date = text(node, "date");
    bench.notes = text(node, "notes");
    // A lever's lengths may be a table of numbers.
    bench.lever = match node.value("lever") {
        Some(value) if value.is_table() => {
            Some(value.written().trim_matches(['{', '}']).trim().to_owned())
        }
        _ => text(node, "lever"),
    };
    let tilt = node.number(
        "tilt_deg",
        Rule::Finite,
        "write degrees, such as tilt_deg = 30",
    );
    bench.tilt_deg = tilt.map(|tilt| tilt.value);
    for (key, most) in ForceBudget::KEYS.into_iter().zip(ForceBudget::MOST) {
        let remedy = format!("write a standard uncertainty, such as {key} = 0.002");
        if let Some(figure) = node.number(key, Rule::Between(0.0, most), &remedy) {
            bench.budget.get_or_insert_default().set(key, figure.value);
        }
    }
    let (key, most) = Bench::SEATING_GAIN_U;
    let remedy = format!("write a part of the force, such as {key} = 0.01");
    let spread = node.number(key, Rule::Between(0.0, most), &remedy);
    bench.seating_gain_u = spread.map(|spread| spread.value);
    let acts = [ForceActs::AlongStylus, ForceActs::OnSurface].map(|acts| (acts.word(), acts));
    bench.force_acts = node.choice("force_acts", &acts).map(|found| found.value);
    let places = ReadAt::ALL.map(|place| (place.word(), place));
    bench.read_at = node.choice("read_at", &places).map(|found| found.value);
    node.needs(
        &["force", "reading"],
        "write the units of samples, such as force = \"gf\" and reading = \"percent\"",
    );
    let force = node.choice("force", &ForceUnit::WORDS);
    let reading = node.choice("reading", &ReadingUnit::ALL.map(|unit| (unit.word(), unit)));
    let (force, reading) = (force?.value, reading?.value);
    (bench.force_unit, bench.reading_unit) = (force, reading);
    if reading == ReadingUnit::Raw && measurement.stylus.levels.is_none() {
        file.fault(
            node.span_of("reading"),
            "raw readings without a number of levels",
            "",
            Remedy::from("add levels = 8192, with your stylus's number, to [stylus]")
                .or_set(Setting::Levels),
        );
        return None;
    }
    Some((force, reading))
}

fn take_seating(
    file: &TomlFile<'_>,
    node: &Node<'_, '_>,
    index: i64,
    units: Option<(ForceUnit, ReadingUnit)>,
    measurement: &mut Measurement,
) {
    only(file, node, SEATING);
    node.needs(&["samples"], PAIRS);
    let words = [Direction::Loading, Direction::Unloading].map(|way| (way.as_str(), way));
    let direction = node.choice("direction", &words).map(|found| found.value);
    measurement.seatings.push(Seating { index, direction });
    let seating = measurement.seatings.len() - 1;
    for value in node.list("samples", PAIRS).unwrap_or_default() {
        if measurement.samples.len() == MOST_SAMPLES {
            file.fault(
                value.span(),
                format!("more than {MOST_SAMPLES} samples"),
                "",
                "a bench has tens or hundreds of samples; keep one for each applied force",
            );
            return;
        }
        let pair = pair(file, &value, units, measurement.stylus.levels);
        if let Some((force, reading)) = pair {
            measurement.samples.push(Sample {
                force,
                reading,
                seating,
                direction,
                line: Place::of(file.text(), value.span()).line,
            });
        }
    }
}

fn pair(
    file: &TomlFile<'_>,
    value: &Value<'_, '_>,
    units: Option<(ForceUnit, ReadingUnit)>,
    levels: Option<u32>,
) -> Option<(crate::Force, f64)> {
    let items = value.list("samples", PAIRS)?;
    let [force_value, reading_value] = items.as_slice() else {
        return value.wrong("samples", "pairs of a force and a reading", PAIRS);
    };
    let force = force_value.number("force", Rule::Finite, PAIRS);
    let reading = reading_value.number("reading", Rule::Finite, PAIRS);
    let (force, reading) = (force?.value, reading?.value);
    if force < 0.0 {
        file.fault(
            force_value.span(),
            format!("a negative force, {force}"),
            "",
            "write the force pressing the nib as a positive number",
        );
        return None;
    }
    let (force_unit, reading_unit) = units?;
    match reading_fraction(reading, reading_unit, levels) {
        Ok(reading) => Some((force_unit.force(force), reading)),
        Err((found, remedy)) => {
            file.fault(reading_value.span(), found, "", remedy);
            None
        }
    }
}

/// The samples that `exclude` names: lines, or texts such as "12:2".
fn excluded(file: &TomlFile<'_>, top: &Node<'_, '_>) -> Vec<SampleRequest> {
    let mut wanted = Vec::new();
    for value in top.list("exclude", EXCLUDE).unwrap_or_default() {
        let written = match value.as_whole() {
            Some(line) => line.to_string(),
            None => value.written().trim_matches('"').to_owned(),
        };
        match written.parse() {
            Ok(place) => wanted.push(SampleRequest {
                place,
                at: Some(Place::of(file.text(), value.span())),
            }),
            Err(_) => file.fault(
                value.span(),
                quoted(&written),
                "the line of a sample",
                EXCLUDE,
            ),
        }
    }
    wanted
}

fn read_as(measurement: &Measurement) -> ReadAs {
    let column = |name: &str, meaning: &str, unit: &str| ReadColumn {
        name: name.to_owned(),
        meaning: meaning.to_owned(),
        unit: Some(unit.to_owned()),
    };
    let bench = &measurement.bench;
    ReadAs {
        format: "toml".to_owned(),
        columns: vec![
            column("samples[0]", "force", bench.force_unit.word()),
            column("samples[1]", "reading", bench.reading_unit.word()),
        ],
        labels: measurement.labels.clone(),
        ..ReadAs::default()
    }
}
