//! `evenhand preview`.

use evenhand_inversion::MapRequest;
use std::fmt::Write as _;

use evenhand_curve::{Curve, Polyline};
use evenhand_fitting::Fit;
use evenhand_measurement::Force;
use evenhand_preview::{
    HandForce, MOST_HANDS, Pen, RecordedPoint, Scatter, Side, StrokeSheet, WidthLaw, WidthScale,
    stroke_sheet_svg,
};
use evenhand_receiver::{ASSUMED_LEVELS, MapCurve};
use evenhand_strokes::{Levels, PressUnit};
use evenhand_text::refuse_input;
use evenhand_workflow::{
    Failure, MapFile, Recorded, StrokesTable, edit_warning, read_recording, recorded,
    saved_request, unchanged,
};
use serde_json::{Value, json};

use crate::args::{PreviewArgs, WidthLawArg};
use crate::fraction::Fraction;
use crate::input;
use crate::json::pretty;
use crate::output::Output;
use crate::picture;
use crate::text::{self, gf};

/// Outputs at which the gain of noise is told.
const GAINS_AT: [f64; 5] = [0.10, 0.25, 0.50, 0.75, 0.90];

/// Everything that a sheet is drawn from.
struct Scene {
    saved: MapFile,
    fit: Fit,
    name: String,
    map: MapCurve,
    request: MapRequest,
    hands: Vec<HandForce>,
    scale: WidthScale,
    scatter: Scatter,
    levels: u32,
    recorded: Option<Recorded>,
    /// Why the map's own figures do not hold, where it was edited by hand.
    edited: Option<String>,
}

pub(crate) fn run(args: &PreviewArgs, output: &Output) -> Result<u8, Failure> {
    let mut inputs = vec![args.map.as_path()];
    inputs.extend(args.strokes.as_deref());
    let form = picture::form(&args.out, args.force, &inputs)?;
    let scene = scene(args)?;
    let (without, with) = (scene.without(), scene.with());
    let pen = scene.pen(&*without, &*with);
    let svg = stroke_sheet_svg(&scene.sheet(pen), picture::theme(args.theme));
    picture::write(svg, &args.out, form, args.force)?;
    if let Some(edited) = &scene.edited {
        output.warn(&format!("{}: {edited}", args.map.display()));
    }
    if output.json {
        let out = args.out.display().to_string();
        return output.data(&pretty(&scene.json(&pen, &out))).map(|()| 0);
    }
    output.people(&scene.text(&pen, args))?;
    if let Some(recorded) = &scene.recorded {
        for note in &recorded.strokes.notes {
            output.warn(&format!("{}: {note}", recorded.name));
        }
    }
    Ok(0)
}

fn scene(args: &PreviewArgs) -> Result<Scene, Failure> {
    if args.hand.len() > MOST_HANDS {
        return Err(Failure::bad_input(
            format!("{} named forces", args.hand.len()),
            format!("a sheet holds {MOST_HANDS}"),
        ));
    }
    let (saved, _) = MapFile::read(&args.map)?;
    let request = saved_request(&args.map, &saved)?;
    let (source, options, settings) = recorded(&args.map, &saved)?;
    refuse_input(&args.out, &[&source])?;
    let read = evenhand_workflow::measurement(&source, &options)?;
    unchanged(&args.map, &saved, &source, &read)?;
    let strokes = args
        .strokes
        .as_deref()
        .map(|path| {
            let levels = Levels {
                set: args.levels,
                of_stylus: read.measurement.stylus.levels,
            };
            read_recording(path, levels)
        })
        .transpose()?;
    if let Some(recorded) = &strokes
        && !recorded.strokes.has_places
    {
        return Err(Failure::bad_input(
            format!(
                "{}: there are no places on the surface to draw",
                recorded.name
            ),
            "record x and y as well, or leave --strokes out",
        ));
    }
    let fit = input::fitted(&read, &settings)?;
    let broken = |reason: String| {
        Failure::bad_input(
            format!("{}: {reason}", args.map.display()),
            "make the map again from its measurement with `evenhand map`",
        )
    };
    let map = saved.map.stage().map_err(broken)?;
    let kept = saved.strokes.as_ref().and_then(StrokesTable::scale);
    let mut scale = kept.unwrap_or_default();
    if let Some(width) = args.width {
        scale = width.with_law(scale.law());
    }
    match args.width_law {
        None => {}
        Some(WidthLawArg::Linear) => scale = scale.with_law(WidthLaw::Linear),
        Some(WidthLawArg::Area) => scale = scale.with_law(WidthLaw::Area),
    }
    Ok(Scene {
        hands: hands(args, &saved),
        scale,
        scatter: Scatter {
            reading: args.noise.map_or(fit.residual_rms, Fraction::value),
            tremor: args.tremor.value(),
        },
        levels: read.measurement.stylus.levels.unwrap_or(ASSUMED_LEVELS),
        name: text::name(&read.measurement, &read.source.name),
        map: map.curve,
        recorded: strokes,
        edited: edit_warning(&args.map, &saved)
            .map(|(message, advice)| format!("{message}; {advice}")),
        request,
        saved,
        fit,
    })
}

fn hands(args: &PreviewArgs, saved: &MapFile) -> Vec<HandForce> {
    if let (true, Some(strokes)) = (args.hand.is_empty(), &saved.strokes) {
        return strokes.hand_forces();
    }
    if args.hand.is_empty() {
        let full = saved.achieved.full_at_gf;
        return [
            ("light", full / 3.0),
            ("usual", 2.0 * full / 3.0),
            ("firm", full),
        ]
        .into_iter()
        .map(|(name, force_gf)| HandForce {
            name: name.to_owned(),
            force_gf,
        })
        .collect();
    }
    let mut hands: Vec<HandForce> = args
        .hand
        .iter()
        .map(|hand| HandForce {
            name: hand.name.clone(),
            force_gf: hand.force.gf(),
        })
        .collect();
    hands.sort_by(|a, b| a.force_gf.total_cmp(&b.force_gf));
    hands
}

impl Scene {
    /// What else is applied, without the map.
    fn without(&self) -> Box<dyn Curve> {
        self.request.through_chain(Box::new(Polyline::identity()))
    }

    fn with(&self) -> Box<dyn Curve> {
        self.request.through_chain(Box::new(self.map.clone()))
    }

    fn pen<'a>(&'a self, without: &'a dyn Curve, with: &'a dyn Curve) -> Pen<'a> {
        Pen {
            response: self.fit.response.curve(),
            without,
            with,
            levels: self.levels,
            axial_part: self.request.axial_part(),
        }
    }

    fn sheet<'a>(&self, pen: Pen<'a>) -> StrokeSheet<'a> {
        let saved = &self.saved;
        let held = saved.settings.hold_angle_deg.map_or_else(
            || "forces along the stylus".to_owned(),
            |degrees| format!("forces at a right angle to the surface, stylus held at {degrees}°"),
        );
        StrokeSheet {
            title: format!("Strokes of {} without and with its map", self.name),
            subtitle: format!(
                "{}: {} from {} to full at {}; {held}",
                saved.receiver.name(),
                saved.settings.target,
                gf(saved.achieved.light_at_gf),
                gf(saved.achieved.full_at_gf),
            ),
            hands: self.hands.clone(),
            pen,
            scale: self.scale,
            scatter: self.scatter,
            recorded: self
                .recorded
                .as_ref()
                .map_or_else(Vec::new, |recorded| recorded_points(recorded, &self.fit)),
            footer: format!(
                "{}, SHA-256 {}…; evenhand {}. A map changes what is drawn, not what the hand presses: with pain or numbness rest, and ask a clinician.",
                saved.source.file,
                saved.source.sha256.get(..12).unwrap_or_default(),
                env!("CARGO_PKG_VERSION"),
            ),
        }
    }

    fn json(&self, pen: &Pen<'_>, out: &str) -> Value {
        let ink = |force: f64, side: Side| {
            let output = pen.output(force, side);
            // Between these widths lie 19 of 20 touches.
            let (low, high) = pen.output_band(force, &self.scatter, side);
            json!({
                "output": output,
                "width": self.scale.width(output),
                "width_low": self.scale.width(low),
                "width_high": self.scale.width(high),
            })
        };
        let recorded = self.recorded.as_ref();
        let notes = recorded.map_or(&[][..], |recorded| &recorded.strokes.notes);
        json!({
            "out": out,
            "width_law": self.scale.law().as_str(),
            "hands": self.hands.iter().map(|hand| json!({
                "name": hand.name,
                "force_gf": hand.force_gf,
                "reading": pen.reading(hand.force_gf),
                "without": ink(hand.force_gf, Side::Without),
                "with": ink(hand.force_gf, Side::With),
            })).collect::<Vec<_>>(),
            "noise": {
                "reading": self.scatter.reading,
                "tremor": self.scatter.tremor,
                "gains": GAINS_AT.map(|output| json!({
                    "output": output,
                    "without": pen.gain(output, &self.scatter, Side::Without),
                    "with": pen.gain(output, &self.scatter, Side::With),
                })),
            },
            "recorded_strokes": recorded.map_or(0, |recorded| recorded.strokes.strokes.len()),
            // Null for InkML, which says itself what it holds.
            "recording_read_as": recorded.and_then(|recorded| recorded.read_as.as_ref()),
            "warnings": self.edited.iter().chain(notes).collect::<Vec<_>>(),
        })
    }

    fn text(&self, pen: &Pen<'_>, args: &PreviewArgs) -> String {
        let mut out = String::new();
        let _ = writeln!(out, "{} through {}", self.name, args.map.display());
        let _ = writeln!(
            out,
            "\n  hand               force    without: output, width    with: output, width"
        );
        for hand in &self.hands {
            let cell = |side: Side| {
                let output = pen.output(hand.force_gf, side);
                format!(
                    "{:>6.1} %  {:>6.1}",
                    100.0 * output,
                    self.scale.width(output)
                )
            };
            let _ = writeln!(
                out,
                "  {:<12} {:>11}        {}       {}",
                hand.name,
                gf(hand.force_gf),
                cell(Side::Without),
                cell(Side::With)
            );
        }
        let gains: Vec<String> = GAINS_AT
            .into_iter()
            .filter_map(|output| {
                let gain = pen.gain(output, &self.scatter, Side::With)?;
                Some(format!("{gain:.2} at {:.0} %", 100.0 * output))
            })
            .collect();
        let _ = writeln!(
            out,
            "\n  noise             readings scatter by {:.2} %; enlarged by {} of output",
            100.0 * self.scatter.reading,
            gains.join(", ")
        );
        let recorded = self.recorded.as_ref();
        if let Some(read_as) = recorded.and_then(|recorded| recorded.read_as.as_ref()) {
            let _ = writeln!(out, "  strokes           {}", read_as.in_words());
        }
        let _ = writeln!(out, "  saved as          {}", args.out.display());
        out
    }
}

/// Recorded strokes as readings; forces through the response.
fn recorded_points(recorded: &Recorded, fit: &Fit) -> Vec<Vec<RecordedPoint>> {
    let reading = |press: f64| match recorded.strokes.press_unit {
        PressUnit::Reading => press,
        PressUnit::ForceGf => fit.response.reading(Force::from_gf(press)),
    };
    recorded
        .strokes
        .strokes
        .iter()
        .map(|stroke| {
            stroke
                .points
                .iter()
                .map(|point| RecordedPoint {
                    x: point.x,
                    y: point.y,
                    reading: reading(point.press),
                })
                .collect()
        })
        .collect()
}
