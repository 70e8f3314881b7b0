//! `evenhand map`.

use evenhand_inversion::{CurveStage, MapRequest, NamedShape};
use std::fmt::Write as _;
use std::path::Path;

use evenhand_fitting::Fit;
use evenhand_measurement::{Force, HoldAngle, ReadOptions};
use evenhand_receiver::{MapInterpolation, PowerParameters};
use evenhand_strokes::Levels;
use evenhand_text::{ReadAs, save_atomically};
use evenhand_workflow::{
    CANNOT, Differences, Failure, HandSource, Job, MapFile, OpenInterval, Read, Rebuilt, VERSION,
    Wording, check_target, exit_code, failure_json, failure_text, faults_of, from_folder,
    mixed_places, read_recording, rebuilt, reopened, resolve_stage, resolve_target,
};
use serde_json::{Value, json};

use crate::args::MapArgs;
use crate::hand;
use crate::input;
use crate::json::{Warning, pretty};
use crate::output::Output;
use crate::text::{self, gf};

/// What is wanted but for the forces, which may come from a hand.
struct MapOptions {
    full_at: Option<Force>,
    light_at: Option<Force>,
    target: NamedShape,
    output_floor: f64,
    before: Option<CurveStage>,
    after: Option<CurveStage>,
    hold_angle: Option<HoldAngle>,
}

pub(crate) fn run(args: &MapArgs, output: &Output) -> Result<u8, Failure> {
    if let Some(map) = &args.reproduce {
        return reproduce(map, output);
    }
    // clap requires one unless a map is reproduced.
    let Some(file) = &args.file else {
        return Err(missing_argument());
    };
    if let Some(out) = &args.out {
        check_target(out, args.force, &inputs(args, file))?;
    }
    let settings = input::settings(&args.intervals);
    let options = MapOptions {
        full_at: args.full_at,
        light_at: args.light_at,
        target: resolve_target(&args.target, &settings)?,
        output_floor: args.output_floor.value(),
        before: args.before.as_deref().map(resolve_stage).transpose()?,
        after: args.after.as_deref().map(resolve_stage).transpose()?,
        hold_angle: args.hold_angle,
    };
    let profile = input::receiver(&args.receiver)?;
    let read = input::measurement(file, &args.read)?;
    let fit = input::fitted(&read, &settings)?;
    let (request, hand) = options.with_hand(args, &read, &fit)?;
    let job = Job::new(
        read,
        fit,
        profile,
        request,
        input::options(&args.read),
        hand,
    )?;
    let saved = match &args.out {
        Some(out) => match from_folder(file, out) {
            Ok(name) => {
                let text = job.document(&name).to_toml()?;
                save_atomically(out, text.as_bytes(), args.force)?;
                Saved::As(out)
            }
            Err(failure) => Saved::Not(failure),
        },
        None => Saved::Unasked,
    };
    print(&job, &saved, output)
}

/// What became of the file that the map was to be saved to.
enum Saved<'a> {
    /// There was to be none.
    Unasked,
    /// It is there.
    As(&'a Path),
    /// It could not hold the map, which is told all the same.
    Not(Failure),
}

/// Everything that is read for the map, some of it names that are no files.
fn inputs<'a>(args: &'a MapArgs, file: &'a Path) -> Vec<&'a Path> {
    let like = args.target.strip_prefix("like:");
    let named = [
        Some(args.receiver.as_str()),
        Some(like.unwrap_or(&args.target)),
        args.before.as_deref(),
        args.after.as_deref(),
    ];
    let mut all = vec![file];
    all.extend(args.hand.as_deref());
    all.extend(named.into_iter().flatten().map(Path::new));
    all
}

fn missing_argument() -> Failure {
    Failure::bad_input(
        "a measurement and --full-at are needed",
        "write for example: evenhand map FILE --full-at 180gf",
    )
}

impl MapOptions {
    /// The whole request: forces that were not given are those of the hand that drew a recording.
    fn with_hand(
        self,
        args: &MapArgs,
        read: &Read,
        fit: &Fit,
    ) -> Result<(MapRequest, Option<HandSource>), Failure> {
        let mut full_at = self.full_at;
        let mut light_at = self.light_at;
        let mut hand = None;
        let is_needed = full_at.is_none() || light_at.is_none();
        if let Some(path) = args.hand.as_ref().filter(|_| is_needed) {
            let levels = Levels {
                set: args.read.levels,
                of_stylus: read.measurement.stylus.levels,
            };
            let recorded = read_recording(path, levels)?;
            let found = hand::summarised(&recorded, fit, args.hand_rule)?;
            let part = self.hold_angle.map_or(1.0, HoldAngle::axial_part);
            let as_meant = |force: Force| Force::from_gf(force.gf() / part);
            full_at = full_at.or(Some(as_meant(found.suggestion.full_at)));
            light_at = light_at.or(Some(as_meant(found.suggestion.light_at)));
            hand = Some(HandSource {
                warnings: hand::warnings(&found, &recorded, &read.measurement)
                    .into_iter()
                    .chain(recorded.read_as.as_ref().and_then(not_read))
                    .map(|warning| format!("{}: {warning}", recorded.name))
                    .collect(),
                file: recorded.name,
                sha256: recorded.sha256,
            });
        }
        let request = MapRequest {
            full_at: full_at.ok_or_else(missing_argument)?,
            light_at,
            target: self.target,
            output_floor: self.output_floor,
            before: self.before,
            after: self.after,
            hold_angle: self.hold_angle,
        };
        Ok((request, hand))
    }
}

/// The columns of a table that are not read, named once.
fn not_read(read_as: &ReadAs) -> Option<String> {
    let ignored = &read_as.ignored;
    (!ignored.is_empty()).then(|| format!("not read: {}", ignored.join(", ")))
}

/// That the measurement to be like was read at another place.
fn like_elsewhere(job: &Job) -> Option<Warning> {
    let file = job.request.target.label.strip_prefix("like:")?;
    let like = evenhand_workflow::measurement(Path::new(file), &ReadOptions::default()).ok()?;
    let message = mixed_places(
        ("the measurement", job.read.measurement.bench.read_at),
        ("the one to be like", like.measurement.bench.read_at),
    )?;
    Some(Warning {
        line: None,
        message,
        advice: "take both at the same place".to_owned(),
    })
}

fn warnings_of(job: &Job) -> Vec<Warning> {
    let mut warnings = text::warnings(&job.read, Some(&job.fit));
    for (stage, place) in [
        (&job.request.before, "before"),
        (&job.request.after, "after"),
    ] {
        let read_as = stage.as_ref().and_then(|stage| stage.read_as.as_ref());
        warnings.extend(read_as.and_then(not_read).map(|ignored| Warning {
            line: None,
            message: format!("of the curve {place} the map: {ignored}"),
            advice: "name the columns that count input and output".to_owned(),
        }));
    }
    warnings.extend(like_elsewhere(job));
    warnings.extend(job.built.notes.iter().map(|(message, advice)| Warning {
        line: None,
        message: message.clone(),
        advice: Wording::CommandLine.remedy(advice),
    }));
    let of_hand = job.hand.iter().flat_map(|hand| &hand.warnings);
    warnings.extend(of_hand.map(|message| Warning {
        line: None,
        message: message.clone(),
        advice: "`evenhand hand` tells more".to_owned(),
    }));
    warnings
}

/// The map; why the request cannot be met in full, where it cannot, and why it was not saved, where it was to be.
fn json_of(job: &Job, not_saved: Option<&Failure>) -> Value {
    let built = &job.built;
    let compiled = &built.compiled;
    let mut object = json!({
        "receiver": job.profile.name(),
        "interpolation": compiled.interpolation.to_string(),
        "control_points": compiled.control_points,
    });
    let power = PowerParameters::new(&compiled.control_points, compiled.exponent);
    extend(&mut object, json!(power));
    extend(
        &mut object,
        json!({
            "ideal": built.ideal.iter().map(|p| json!({ "input": p.x, "output": p.y })).collect::<Vec<_>>(),
            "target": {
                "light_at_gf": built.light_at.gf(),
                "full_at_gf": built.full_at.gf(),
                "shape": job.request.target.label,
                "output_floor": job.request.output_floor,
                "chained": job.request.before.is_some() || job.request.after.is_some(),
                "hold_angle_deg": job.request.hold_angle.map(HoldAngle::degrees),
            },
            "achieved": {
                "full_output_force_gf": OpenInterval::from(built.full_output),
                "max_error": built.achieved.max_error,
                "rms_error": built.achieved.rms_error,
                "stylus_error": built.stylus_error,
                "compile_max_error": compiled.max_error,
                "compile_lower_bound": compiled.lower_bound,
                "distinct_outputs": built.quantisation.distinct_outputs,
                "largest_step": built.quantisation.largest_step,
                "largest_gain": built.quantisation.largest_gain,
            },
            "warnings": warnings_of(job),
        }),
    );
    if let Some(unmet) = &built.unmet {
        object["reason"] = json!(unmet.message);
    }
    if let Some(failure) = not_saved {
        object["faults"] = json!(faults_of(failure));
    }
    object
}

/// Adds the members of one object to another.
fn extend(object: &mut Value, more: Value) {
    if let (Value::Object(object), Value::Object(more)) = (object, more) {
        object.extend(more);
    }
}

fn print(job: &Job, saved: &Saved<'_>, output: &Output) -> Result<u8, Failure> {
    if output.json {
        let not_saved = match saved {
            Saved::Not(failure) => Some(failure),
            _ => None,
        };
        output.data(&pretty(&json_of(job, not_saved)))?;
    } else {
        output.people(&summary(job, saved))?;
        for warning in warnings_of(job) {
            output.warn(&text::warning_line(&job.read.source.name, &warning));
        }
    }
    let mut code = 0;
    if let Some(unmet) = &job.built.unmet {
        let failure = Failure::cannot(&unmet.message, unmet.remedy.clone());
        output.error_text(&failure_text(&failure, output.error_color()));
        code = CANNOT;
    }
    if let Saved::Not(failure) = saved {
        output.error_text(&failure_text(failure, output.error_color()));
        code = exit_code(failure);
    }
    Ok(code)
}

/// Which columns a curve was read from.
fn read_in_words(read_as: &ReadAs) -> String {
    let columns = ReadAs {
        ignored: Vec::new(),
        ..read_as.clone()
    };
    format!(": {}", columns.in_words())
}

fn summary(job: &Job, saved: &Saved<'_>) -> String {
    let built = &job.built;
    let mut text = String::new();
    let _ = writeln!(
        text,
        "{} for {} ({})",
        text::name(&job.read.measurement, &job.read.source.name),
        job.profile.name(),
        job.profile.title(),
    );
    let _ = writeln!(
        text,
        "  wanted            {} from {} at {} to full at {}",
        job.request.target.label,
        if job.request.output_floor > 0.0 {
            format!("{} %", text::percent(job.request.output_floor))
        } else {
            "0".to_owned()
        },
        gf(built.light_at.gf()),
        gf(built.full_at.gf())
    );
    for (stage, place) in [
        (&job.request.before, "before"),
        (&job.request.after, "after"),
    ] {
        if let Some(stage) = stage {
            let read_as = stage.read_as.as_ref().map(read_in_words);
            let _ = writeln!(
                text,
                "  chain             {} applied {place} the map{}",
                stage.interpolation,
                read_as.unwrap_or_default()
            );
        }
    }
    text.push('\n');
    text.push_str(&points(job));
    text.push('\n');
    if let Some(found) = built.full_output {
        let _ = writeln!(
            text,
            "  full output at    {:>10}   {} % interval {} to {}",
            gf(found.estimate.gf()),
            text::percent(job.fit.settings.confidence),
            gf(found.low.gf()),
            gf(found.high.gf())
        );
    } else {
        let _ = writeln!(
            text,
            "  full output at       unknown   above the forces measured"
        );
    }
    let _ = writeln!(
        text,
        "  stylus error      {:>8.2} %   worst error to expect with this stylus; {:.2} % at most ({} % confidence)",
        100.0 * built.stylus_error.median,
        100.0 * built.stylus_error.high,
        text::percent(job.fit.settings.confidence),
    );
    let _ = writeln!(
        text,
        "  worst error       {:>8.2} %   against the fitted response{}",
        100.0 * built.achieved.max_error,
        bound_told(job),
    );
    let _ = writeln!(
        text,
        "  usual error       {:>8.2} %   root mean square from light-at to full-at",
        100.0 * built.achieved.rms_error
    );
    let _ = writeln!(
        text,
        "  outputs           {:>10}   distinct; largest step {:.3} %, largest gain {:.2}",
        built.quantisation.distinct_outputs,
        100.0 * built.quantisation.largest_step,
        built.quantisation.largest_gain,
    );
    if let Saved::As(out) = saved {
        let _ = writeln!(text, "  saved as          {}", out.display());
    }
    let _ = writeln!(
        text,
        "\nA map changes what is drawn, not what the hand presses; rest when pressing tires the hand."
    );
    text
}

/// What is proven of maps that could be better, in the place where the error is told.
fn bound_told(job: &Job) -> String {
    let compiled = &job.built.compiled;
    if job.request.after.is_some() {
        // The bound is that of the map's own output, the error that of the whole chain.
        String::new()
    } else if compiled.lower_bound < 0.1 * compiled.max_error && compiled.max_error > 1e-6 {
        "; how much better another map could be is not proven".to_owned()
    } else {
        format!(
            "; no map this receiver takes does better than {:.2} %",
            100.0 * compiled.lower_bound
        )
    }
}

/// Entries of a table that are shown; nobody types hundreds.
const ENTRIES_SHOWN: usize = 9;

/// The control points as they are typed: percent, or whole steps on a grid.
fn points(job: &Job) -> String {
    let points = &job.built.compiled.control_points;
    let mut text = String::new();
    if job.built.compiled.interpolation == MapInterpolation::Table && points.len() > ENTRIES_SHOWN {
        let last = points.len() - 1;
        let _ = writeln!(text, "  entry     input %    output %");
        for shown in 0..ENTRIES_SHOWN {
            let index = (shown * last) / (ENTRIES_SHOWN - 1);
            let _ = writeln!(
                text,
                "  {:>5}  {:>10.3}  {:>10.3}",
                index + 1,
                100.0 * points[index].input,
                100.0 * points[index].output,
            );
        }
        let _ = writeln!(
            text,
            "  {ENTRIES_SHOWN} of {} entries; --json and `evenhand export` give them all",
            points.len()
        );
        return text;
    }
    match job.profile.grid() {
        Some(grid) => {
            let _ = writeln!(
                text,
                "  point      input of {:<6}  output of {}",
                grid.input_steps, grid.output_steps
            );
            for (index, point) in points.iter().enumerate() {
                let _ = writeln!(
                    text,
                    "  {:>5}  {:>12}  {:>16}",
                    index + 1,
                    (point.input * f64::from(grid.input_steps)).round(),
                    (point.output * f64::from(grid.output_steps)).round(),
                );
            }
        }
        None => {
            let _ = writeln!(text, "  point     input %    output %");
            for (index, point) in points.iter().enumerate() {
                let _ = writeln!(
                    text,
                    "  {:>5}  {:>10.3}  {:>10.3}",
                    index + 1,
                    100.0 * point.input,
                    100.0 * point.output,
                );
            }
        }
    }
    if let Some(exponent) = job.built.compiled.exponent {
        let _ = writeln!(text, "  exponent  {exponent:>10.4}");
    }
    text
}

/// Builds a saved map again and compares every byte.
fn reproduce(path: &Path, output: &Output) -> Result<u8, Failure> {
    let (saved, text) = MapFile::read(path)?;
    let name = path.display().to_string();
    let job = reopened(path, &saved)?;
    let same = match rebuilt(&saved, &text, &job)? {
        Rebuilt::Same => "every byte the same".to_owned(),
        Rebuilt::OtherVersion => format!(
            "every byte the same but the version: written by evenhand {}, built again by {VERSION}",
            saved.version
        ),
        Rebuilt::Differs(found) => return differs(&name, &saved, &found, output),
    };
    if output.json {
        output.data(&pretty(&json_of(&job, None)))?;
    } else {
        let by_hand = if job.tuned.is_some() {
            "; points were moved by hand and are kept"
        } else {
            ""
        };
        output.people(&format!(
            "{name}: built again from {}, {same}{by_hand}\n",
            job.read.source.name
        ))?;
    }
    Ok(0)
}

/// Figures that changed are the answer, whoever changed them.
fn differs(
    name: &str,
    saved: &MapFile,
    found: &Differences,
    output: &Output,
) -> Result<u8, Failure> {
    let is_other = saved.version != VERSION;
    let failure = Failure::cannot(
        format!(
            "{name}, written by evenhand {}, differs from what evenhand {VERSION} builds from the same measurement and settings: {}",
            saved.version,
            found.summary()
        ),
        if is_other {
            "keep the map as it is, which exports as before, or make it again to have it as this version builds it"
        } else {
            "the file was edited by hand: undo that, or make the map again from its measurement"
        },
    )
    .in_file(name);
    if output.json {
        let mut object: Value = serde_json::from_str(&failure_json(&failure)).unwrap_or_default();
        let differences = json!({
            "written_by": saved.version,
            "rebuilt_by": VERSION,
            "changes": found.changes.iter().map(|change| json!({
                "figure": change.figure,
                "saved": change.saved,
                "rebuilt": change.rebuilt,
            })).collect::<Vec<_>>(),
            "tables": found.tables,
            "line": found.line,
        });
        extend(&mut object, differences);
        output.data(&pretty(&object))?;
    } else {
        let mut text = String::new();
        for change in &found.changes {
            let _ = writeln!(text, "  {change}");
        }
        output.people(&text)?;
    }
    output.error_text(&failure_text(&failure, output.error_color()));
    Ok(exit_code(&failure))
}
