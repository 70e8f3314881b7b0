//! Units as a table.

use std::fmt::Write as _;

use evenhand_population::{Comparison, ForceEstimate};
use evenhand_preview::{Span, span_in_words};
use evenhand_text::clean_lines;

pub(crate) fn span(figure: &ForceEstimate) -> Span {
    Span {
        estimate: figure.estimate,
        low: figure.low,
        high: figure.high,
    }
}

/// A figure with its interval, "171 gf (168 to 174)"; "above 900 gf" where that is all that is known.
#[must_use]
pub fn figure_words(figure: &ForceEstimate) -> String {
    if figure.is_least {
        format!("above {:.0} gf", figure.estimate)
    } else {
        span_in_words(&span(figure))
    }
}

/// One line for each unit, commas between, forces in gf; empty cells where nothing is known. Names are quoted
/// where they hold commas or quotes.
#[must_use]
pub fn units_csv(comparison: &Comparison) -> String {
    let mut out = String::from(
        "group,unit,bench,measurements,onset_gf,onset_low_gf,onset_high_gf,saturation_gf,saturation_low_gf,saturation_high_gf,saturation_reached,span_gf,span_low_gf,span_high_gf,saturation_class,flagged,at_1_percent_gf,at_1_percent_low_gf,at_1_percent_high_gf,at_99_percent_gf,at_99_percent_low_gf,at_99_percent_high_gf\n",
    );
    for (index, unit) in comparison.units.iter().enumerate() {
        let saturation = &unit.saturation;
        let _ = writeln!(
            out,
            "{},{},{},{},{},{},{},{},{},{},{},{}",
            quoted(&comparison.groups[unit.group].name),
            quoted(&unit.name),
            quoted(unit.bench.as_deref().unwrap_or_default()),
            unit.measurements.len(),
            cells(&unit.onset),
            cells(saturation),
            !saturation.is_least,
            cells(&unit.span),
            unit.saturation_class.unwrap_or_default(),
            comparison.flags_of(index).next().is_some(),
            cells(&unit.near.at_1),
            cells(&unit.near.at_99),
        );
    }
    // Names are those of files of others.
    clean_lines(&out)
}

fn cells(figure: &ForceEstimate) -> String {
    let number = |value: f64| {
        if value.is_finite() {
            format!("{value:.4}")
        } else {
            String::new()
        }
    };
    if figure.is_least {
        return format!(",{},", number(figure.low));
    }
    format!(
        "{},{},{}",
        number(figure.estimate),
        number(figure.low),
        number(figure.high)
    )
}

fn quoted(text: &str) -> String {
    let mut line = text.replace(['\n', '\r'], " ");
    // Where a table is opened as a sheet, a name is no formula.
    if line.starts_with(['=', '+', '-', '@']) {
        line.insert(0, '\'');
    }
    if line.contains([',', '"']) {
        format!("\"{}\"", line.replace('"', "\"\""))
    } else {
        line
    }
}
