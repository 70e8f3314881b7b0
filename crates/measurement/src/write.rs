//! Writing measurements.

use std::fmt::Write as _;

use crate::measurement::{Bench, ForceActs, ForceBudget, Measurement, Sample};

/// A measurement as a table: force in gf, reading as a fraction, seating, direction. Read back it is
/// the same but for units and line numbers; text is kept on one line.
#[must_use]
pub fn write_csv(measurement: &Measurement) -> String {
    let mut out = String::new();
    let mut remark = |key: &str, value: &Option<String>| {
        if let Some(value) = value {
            let _ = writeln!(out, "{}", remark_line(key, value));
        }
    };
    let Measurement { stylus, bench, .. } = measurement;
    remark("model", &stylus.model);
    remark("unit", &stylus.unit);
    remark("bench", &bench.name);
    remark("date", &bench.date);
    remark("lever", &bench.lever);
    remark("notes", &bench.notes);
    remark("levels", &stylus.levels.map(|levels| levels.to_string()));
    remark(
        "read_at",
        &bench.read_at.map(|place| place.word().to_owned()),
    );
    // Samples hold the force along the stylus, whatever the file said that they came from.
    remark("force_acts", &acts(measurement).map(str::to_owned));
    remark("tilt_deg", &bench.tilt_deg.map(|tilt| tilt.to_string()));
    for (key, figure) in budget(measurement) {
        remark(key, &Some(figure.to_string()));
    }
    remark(
        Bench::SEATING_GAIN_U.0,
        &bench.seating_gain_u.map(|spread| spread.to_string()),
    );
    for (key, value) in &measurement.labels {
        remark(key, &Some(value.clone()));
    }
    out.push_str("force_gf,reported,seating,direction\n");
    let first_excluded = 1 + out.lines().count() + measurement.samples.len();
    for sample in measurement.samples.iter().chain(&measurement.excluded) {
        let seating = measurement.seatings.get(sample.seating);
        let direction = sample.direction.or(seating.and_then(|s| s.direction));
        let _ = writeln!(
            out,
            "{},{},{},{}",
            sample.force.gf(),
            sample.reading,
            seating.map_or(1, |s| s.index),
            direction.map_or("", crate::Direction::as_str),
        );
    }
    if !measurement.excluded.is_empty() {
        let lines = first_excluded..first_excluded + measurement.excluded.len();
        let _ = writeln!(out, "# exclude = {}", joined(lines));
    }
    out
}

/// A remark as tables have it, on one line.
#[must_use]
pub fn remark_line(key: &str, value: &str) -> String {
    format!("# {key} = {}", remark_value(value))
}

/// A text as the value of a remark: on one line, and in quotes where it would be taken for padding or quotes itself.
fn remark_value(value: &str) -> String {
    let line: String = value.split(['\n', '\r']).collect::<Vec<_>>().join(" ");
    let is_plain =
        !line.trim_start().starts_with('"') && !line.trim_end().ends_with([',', ';', '"']);
    if is_plain {
        line
    } else {
        format!("\"{line}\"")
    }
}

/// Which force is written, where there is a tilt or the file said it.
fn acts(measurement: &Measurement) -> Option<&'static str> {
    let bench = &measurement.bench;
    let is_told = bench.tilt_deg.is_some() || bench.force_acts.is_some();
    is_told.then(|| ForceActs::AlongStylus.word())
}

/// The figures of the bench's budget by their names; none without one.
fn budget(measurement: &Measurement) -> impl Iterator<Item = (&'static str, f64)> {
    let figures = measurement.bench.budget.iter();
    figures.flat_map(|budget| ForceBudget::KEYS.into_iter().zip(budget.figures()))
}

/// A text as TOML.
fn text(value: &str) -> String {
    toml::Value::String(value.to_owned()).to_string()
}

/// Adds a key with its value, where it has one.
fn entry(out: &mut String, key: &str, value: Option<String>) {
    if let Some(value) = value {
        let _ = writeln!(out, "{key} = {value}");
    }
}

/// A sample as TOML; {:?} keeps a point in whole numbers and all digits of the others.
fn pair(sample: &Sample) -> String {
    format!("  [{:?}, {:?}],\n", sample.force.gf(), sample.reading)
}

fn joined(lines: impl Iterator<Item = usize>) -> String {
    lines
        .map(|line| line.to_string())
        .collect::<Vec<_>>()
        .join(", ")
}

/// A measurement as TOML: force in gf, reading as a fraction. Seatings are numbered anew from 1.
///
/// A direction is kept where all samples of a seating share it.
#[must_use]
pub fn write_toml(measurement: &Measurement) -> String {
    let Measurement { stylus, bench, .. } = measurement;
    let mut out = String::from("[stylus]\n");
    let mut excluded = Vec::new();
    entry(&mut out, "model", stylus.model.as_deref().map(text));
    entry(&mut out, "unit", stylus.unit.as_deref().map(text));
    entry(
        &mut out,
        "levels",
        stylus.levels.map(|levels| levels.to_string()),
    );
    out.push_str("\n[bench]\n");
    entry(&mut out, "name", bench.name.as_deref().map(text));
    entry(&mut out, "date", bench.date.as_deref().map(text));
    out.push_str("force = \"gf\"\nreading = \"fraction\"\n");
    entry(
        &mut out,
        "read_at",
        bench.read_at.map(|place| text(place.word())),
    );
    entry(&mut out, "force_acts", acts(measurement).map(text));
    entry(
        &mut out,
        "tilt_deg",
        bench.tilt_deg.map(|tilt| format!("{tilt:?}")),
    );
    entry(&mut out, "lever", bench.lever.as_deref().map(text));
    entry(&mut out, "notes", bench.notes.as_deref().map(text));
    for (key, figure) in budget(measurement) {
        entry(&mut out, key, Some(format!("{figure:?}")));
    }
    entry(
        &mut out,
        Bench::SEATING_GAIN_U.0,
        bench.seating_gain_u.map(|spread| format!("{spread:?}")),
    );
    if !measurement.labels.is_empty() {
        out.push_str("\n[labels]\n");
    }
    for (key, value) in &measurement.labels {
        entry(&mut out, &text(key), Some(text(value)));
    }
    for (position, seating) in measurement.seatings.iter().enumerate() {
        let samples = || measurement.samples.iter().filter(|s| s.seating == position);
        let first = samples().next().and_then(|s| s.direction);
        let shared = first.filter(|_| samples().all(|s| s.direction == first));
        out.push_str("\n[[seating]]\n");
        let direction = seating.direction.or(shared);
        entry(
            &mut out,
            "direction",
            direction.map(|way| text(way.as_str())),
        );
        out.push_str("samples = [\n");
        for sample in samples() {
            out.push_str(&pair(sample));
        }
        for sample in &measurement.excluded {
            if sample.seating == position {
                out.push_str(&pair(sample));
                excluded.push(out.lines().count());
            }
        }
        out.push_str("]\n");
    }
    if excluded.is_empty() {
        return out;
    }
    // The key goes before all tables and moves them down by a line.
    format!(
        "exclude = [{}]\n{out}",
        joined(excluded.into_iter().map(|line| line + 1))
    )
}
