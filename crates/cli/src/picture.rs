//! The chart of a fit, as a file.

use std::path::Path;

use evenhand_fitting::{Fit, ForceInterval, Saturation, SaturationClass};
use evenhand_measurement::Sample;
use evenhand_preview::{CurvePoint, ResponseChart, SampleMark, Span, Theme, response_svg};

use crate::args::{ChartTheme, FitArgs};
use crate::input::Read;
pub(crate) use evenhand_workflow::{
    Failure, PictureForm as Form, picture_by_ending as by_ending, picture_form as form,
    save_picture as write,
};

use crate::text;

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
            .enumerate()
            .map(|(index, sample)| SampleMark {
                flagged: flagged.contains(&sample.line),
                seating: match &fit.seating_change {
                    Some(change) if change.concerns(measurement, index) => {
                        measurement.seatings.len()
                    }
                    _ => sample.seating,
                },
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
            .chain(
                fit.seating_change
                    .iter()
                    .map(|change| format!("change from line {}", change.place.line)),
            )
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
        classes: SaturationClass::ALL
            .iter()
            .map(|class| {
                (
                    class.as_str().to_owned(),
                    class.from().gf(),
                    class.to().gf(),
                )
            })
            .collect(),
        confidence: fit.settings.confidence,
        footer: format!(
            "{}, SHA-256 {}…; evenhand {}, seed {}. Saturation classes are a bench's opinion, not a maker's specification.",
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
