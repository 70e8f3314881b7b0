//! The chart of a fit, as a file.

use std::path::Path;

use evenhand_fitting::{Fit, ForceInterval, Saturation, SpanBand};
use evenhand_measurement::{Sample, save_atomically};
use evenhand_preview::{
    CurvePoint, ResponseChart, SampleMark, Span, Theme, response_svg, svg_to_png,
};

use crate::args::{ChartTheme, FitArgs};
use crate::failure::Failure;
use crate::input::{self, Read};
use crate::map::refuse_existing;
use crate::text;

/// Pixels per unit of a PNG: twice, for screens that are fine and for print.
const SCALE: f32 = 2.0;

/// The form of a chart, by the ending of its file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Form {
    Svg,
    Png,
}

/// Refuses, before any work, a target that cannot be meant.
pub(crate) fn form(out: &Path, force: bool) -> Result<Form, Failure> {
    let form = by_ending(out).ok_or_else(|| {
        Failure::bad_input(
            format!("{}: the ending says neither SVG nor PNG", out.display()),
            "name the chart OUT.svg or OUT.png",
        )
    })?;
    refuse_existing(out, force)?;
    Ok(form)
}

/// The form that a file's ending says.
pub(crate) fn by_ending(out: &Path) -> Option<Form> {
    let ending = out.extension()?.to_str()?.to_ascii_lowercase();
    match ending.as_str() {
        "svg" => Some(Form::Svg),
        "png" => Some(Form::Png),
        _ => None,
    }
}

/// Draws the chart and saves it.
pub(crate) fn save(
    args: &FitArgs,
    out: &Path,
    form: Form,
    read: &Read,
    fit: &Fit,
) -> Result<(), Failure> {
    let svg = response_svg(&chart(read, fit), theme(args.theme));
    write(svg, out, form, args.force)
}

pub(crate) fn theme(named: ChartTheme) -> Theme {
    match named {
        ChartTheme::Light => Theme::Light,
        ChartTheme::Dark => Theme::Dark,
    }
}

/// Saves a picture in its form.
pub(crate) fn write(svg: String, out: &Path, form: Form, force: bool) -> Result<(), Failure> {
    let bytes = match form {
        Form::Svg => svg.into_bytes(),
        Form::Png => svg_to_png(&svg, SCALE).map_err(|error| {
            Failure::cannot(
                format!("{}: {error}", out.display()),
                "this is a fault of evenhand; please report it with the measurement",
            )
        })?,
    };
    save_atomically(out, &bytes, force).map_err(|error| input::save_failure(&error))
}

fn chart(read: &Read, fit: &Fit) -> ResponseChart {
    let measurement = &read.measurement;
    let flagged: Vec<usize> = fit
        .warnings
        .iter()
        .filter_map(|warning| warning.line)
        .collect();
    let (saturation, saturation_above) = match &fit.saturation {
        Saturation::Reached(found) => (Some(span(found)), None),
        Saturation::NotReached { above } => (None, Some(above.gf())),
    };
    let mut subtitle = format!(
        "{}, {}",
        text::count(measurement.samples.len(), "sample"),
        text::count(measurement.used_seatings().len(), "seating"),
    );
    if let Some(date) = &measurement.bench.date {
        subtitle = format!("{subtitle}, measured {date}");
    }
    ResponseChart {
        title: format!("Response of {}", text::name(measurement, &read.source.name)),
        subtitle,
        samples: measurement
            .samples
            .iter()
            .map(|sample| SampleMark {
                flagged: flagged.contains(&sample.line),
                ..mark(sample)
            })
            .chain(measurement.excluded.iter().map(|sample| SampleMark {
                excluded: true,
                ..mark(sample)
            }))
            .collect(),
        seating_names: measurement
            .seatings
            .iter()
            .map(|s| format!("seating {}", s.index))
            .collect(),
        curve: fit
            .curve()
            .iter()
            .map(|row| CurvePoint {
                force_gf: row.force.gf(),
                reported: row.reported,
                low: row.low,
                high: row.high,
            })
            .collect(),
        onset: span(&fit.onset),
        saturation,
        saturation_above,
        bands: SpanBand::ALL
            .iter()
            .map(|band| (band.as_str().to_owned(), band.from().gf(), band.to().gf()))
            .collect(),
        confidence: fit.settings.confidence,
        footer: format!(
            "{}, SHA-256 {}…; evenhand {}, seed {}. Bands are a bench's opinion, not a maker's specification.",
            read.source.name,
            read.source.sha256.get(..12).unwrap_or_default(),
            env!("CARGO_PKG_VERSION"),
            fit.settings.seed,
        ),
    }
}

fn mark(sample: &Sample) -> SampleMark {
    SampleMark {
        force_gf: sample.force.gf(),
        reported: sample.reading,
        seating: sample.seating,
        flagged: false,
        excluded: false,
    }
}

fn span(found: &ForceInterval) -> Span {
    Span {
        estimate: found.estimate.gf(),
        low: found.low.gf(),
        high: found.high.gf(),
    }
}
