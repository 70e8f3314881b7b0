//! The forms in which the demo's measurements are written.

use std::fmt::Write as _;

/// One reading of the bench.
pub(crate) struct Row {
    pub(crate) force_gf: f64,
    pub(crate) reading: f64,
    pub(crate) seating: u32,
}

/// What is written about a measurement.
pub(crate) struct Heading {
    pub(crate) model: &'static str,
    pub(crate) unit: &'static str,
    pub(crate) date: &'static str,
    pub(crate) story: &'static str,
    pub(crate) bench: Option<&'static str>,
}

fn comments(heading: &Heading) -> String {
    let Heading {
        model,
        unit,
        date,
        story,
        bench,
    } = heading;
    let bench = bench.map_or_else(String::new, |bench| format!("# bench = {bench}\n"));
    format!("# {story}\n# model = {model}\n# unit = {unit}\n{bench}# date = {date}\n")
}

/// Commas, force in gf, percent.
pub(crate) fn percent_csv(heading: &Heading, rows: &[Row]) -> String {
    let mut text = comments(heading);
    text.push_str("force_gf,reported_percent\n");
    for row in rows {
        let _ = writeln!(text, "{},{:.2}", row.force_gf, 100.0 * row.reading);
    }
    text
}

/// Commas, force in gf, outputs in percent.
pub(crate) fn output_csv(heading: &Heading, rows: &[Row]) -> String {
    let mut text = comments(heading);
    text.push_str("force_gf,output_percent\n");
    for row in rows {
        let _ = writeln!(text, "{},{:.1}", row.force_gf, 100.0 * row.reading);
    }
    text
}

/// Semicolons and decimal commas, masses, percent.
pub(crate) fn decimal_comma_csv(heading: &Heading, rows: &[Row]) -> String {
    let mut text = comments(heading);
    text.push_str("mass_g;reported_percent\n");
    for row in rows {
        let line = format!("{};{:.1}", row.force_gf, 100.0 * row.reading).replace('.', ",");
        let _ = writeln!(text, "{line}");
    }
    text
}

/// Commas, force in N, raw counts.
pub(crate) fn raw_csv(heading: &Heading, levels: u32, rows: &[Row]) -> String {
    let mut text = comments(heading);
    let _ = writeln!(text, "# levels = {levels}\nforce_n,reported_raw,seating");
    for row in rows {
        let newtons = row.force_gf * 9.806_65e-3;
        let count = (row.reading * f64::from(levels - 1)).round();
        let _ = writeln!(text, "{newtons:.4},{count},{}", row.seating);
    }
    text
}

/// TOML with seatings.
pub(crate) fn toml(heading: &Heading, rows: &[Row]) -> String {
    let Heading {
        model,
        unit,
        date,
        story,
        ..
    } = heading;
    let mut text = format!(
        "# {story}\n[stylus]\nmodel = \"{model}\"\nunit = \"{unit}\"\n\n[bench]\ndate = \"{date}\"\nforce = \"gf\"\nreading = \"percent\"\nlever = \"beam 300 mm, nib at 100 mm\"\n"
    );
    let last = rows.iter().map(|row| row.seating).max().unwrap_or(1);
    for seating in 1..=last {
        text.push_str("\n[[seating]]\ndirection = \"loading\"\nsamples = [\n");
        for row in rows.iter().filter(|row| row.seating == seating) {
            let _ = writeln!(text, "  [{}, {:.2}],", row.force_gf, 100.0 * row.reading);
        }
        text.push_str("]\n");
    }
    text
}
