//! A map as a job: from what was measured and what is wanted to the file that keeps both.

use std::path::{Path, PathBuf};

use evenhand_fitting::{Fit, Settings};
use evenhand_inversion::{
    BuiltMap, CurveStage, MapRequest, PointShape, TargetShape, build, rebuild,
};
use evenhand_measurement::{Force, HoldAngle, ReadOptions, SamplePlace};
use evenhand_receiver::{Compiled, Profile};
use evenhand_text::{Setting, clean};

use crate::failure::Failure;
use crate::input::Read;
use crate::map_file::{
    AchievedTable, FORMAT, IdealTable, MapFile, MapTable, SettingsTable, SourceTable, StrokesTable,
    StylusTable, TunedTable, VERSION,
};

/// What a map is made from.
pub struct Job {
    /// The measurement.
    pub read: Read,
    /// Its response.
    pub fit: Fit,
    /// What takes the map.
    pub profile: Profile,
    /// What is wanted.
    pub request: MapRequest,
    /// How the measurement was read.
    pub options: ReadOptions,
    /// The recording that forces were taken from.
    pub hand: Option<HandSource>,
    /// The map and what it does.
    pub built: BuiltMap,
    /// What was changed by hand.
    pub tuned: Option<Tuned>,
    /// At which forces and how wide strokes are shown.
    pub strokes: Option<StrokesTable>,
}

/// Points that were moved by hand.
#[derive(Clone, Debug, PartialEq)]
pub struct Tuned {
    /// Points that stay while the rest is solved, counted from 0.
    pub locked: Vec<usize>,
    /// The map that the receiver would best be given.
    pub optimum: Compiled,
}

/// The recording that forces were taken from.
#[derive(Clone, Debug, PartialEq)]
pub struct HandSource {
    /// Its file.
    pub file: String,
    /// Digest of its bytes.
    pub sha256: String,
    /// What to know about it; empty where a map is built again.
    pub warnings: Vec<String>,
}

/// The measurement's path as a map file names it: seen from the folder of the map file where it lies there or below,
/// else all of it.
///
/// # Errors
/// A path that is not Unicode: a map file, which is text, cannot name it.
pub fn from_folder(file: &Path, out: &Path) -> Result<String, Failure> {
    let folder = out
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    let seen = match (file.canonicalize(), folder.canonicalize()) {
        (Ok(file), Ok(folder)) => file.strip_prefix(&folder).ok().map(Path::to_path_buf),
        _ => None,
    };
    // Elsewhere the whole path finds it from wherever the map is opened.
    let seen = seen.unwrap_or_else(|| file.canonicalize().unwrap_or_else(|_| file.to_path_buf()));
    seen.into_os_string().into_string().map_err(|path| {
        let shown = clean(&Path::new(&path).display().to_string());
        Failure::bad_input(
            format!("{shown}: this name is not Unicode text, so that a map file cannot hold it and the map could not be built again"),
            "rename the file or its folder, with letters of any script but in Unicode",
        )
        .in_file(shown)
    })
}

impl Job {
    /// Builds the map.
    ///
    /// # Errors
    /// A request that cannot be worked with, and rules that no map keeps.
    pub fn new(
        read: Read,
        fit: Fit,
        profile: Profile,
        request: MapRequest,
        options: ReadOptions,
        hand: Option<HandSource>,
    ) -> Result<Self, Failure> {
        let built = build(&fit, &request, &profile, read.measurement.stylus.levels)?;
        Ok(Self {
            read,
            fit,
            profile,
            request,
            options,
            hand,
            built,
            tuned: None,
            strokes: None,
        })
    }

    /// The map's file; `file` is the measurement as the map file should name it.
    #[must_use]
    pub fn document(&self, file: &str) -> MapFile {
        let Self {
            read,
            fit,
            profile,
            request,
            options,
            hand,
            built,
            tuned,
            strokes,
        } = self;
        let stylus = &read.measurement.stylus;
        MapFile {
            format: FORMAT,
            version: VERSION.to_owned(),
            source: SourceTable {
                file: file.to_owned(),
                sha256: read.source.sha256.clone(),
                levels: options.levels,
                hand: hand.as_ref().map(|hand| hand.file.clone()),
                hand_sha256: hand.as_ref().map(|hand| hand.sha256.clone()),
                exclude: places(&options.exclude),
                new_seatings: places(&options.new_seatings),
                columns: options.columns.clone(),
                sheet: options.sheet.clone(),
            },
            stylus: StylusTable {
                model: stylus.model.clone(),
                unit: stylus.unit.clone(),
                levels: stylus.levels,
            },
            settings: SettingsTable {
                full_at_gf: request.full_at.gf(),
                light_at_gf: request.light_at.map(Force::gf),
                target: request.target.label.clone(),
                target_points: drawn(request).map(|drawn| drawn.points().to_vec()),
                target_interpolation: drawn(request).map(|drawn| drawn.joining().to_string()),
                output_floor: (request.output_floor > 0.0).then_some(request.output_floor),
                hold_angle_deg: request.hold_angle.map(HoldAngle::degrees),
                resamples: fit.settings.resamples as u64,
                confidence: fit.settings.confidence,
                seed: fit.settings.seed,
            },
            achieved: AchievedTable {
                light_at_gf: built.light_at.gf(),
                full_at_gf: built.full_at.gf(),
                max_error: built.achieved.max_error,
                rms_error: built.achieved.rms_error,
                stylus_error: Some(built.stylus_error),
                compile_max_error: built.compiled.max_error,
                compile_lower_bound: built.compiled.lower_bound,
                distinct_outputs: built.quantisation.distinct_outputs,
                largest_step: built.quantisation.largest_step,
                largest_gain: built.quantisation.largest_gain,
                full_output_force_gf: built.full_output.into(),
            },
            map: MapTable::new(
                built.compiled.interpolation,
                built.compiled.exponent,
                &built.compiled.control_points,
            ),
            tuned: tuned.as_ref().map(|tuned| TunedTable {
                pinned: tuned.locked.iter().map(|index| index + 1).collect(),
                optimum_max_error: tuned.optimum.max_error,
            }),
            strokes: strokes.clone(),
            before: request.before.as_ref().map(MapTable::from),
            after: request.after.as_ref().map(MapTable::from),
            ideal: IdealTable {
                points: built.ideal.iter().map(|p| [p.x, p.y]).collect(),
            },
            receiver: profile.clone(),
        }
    }
}

/// What a saved map says of its measurement: where it is, how it was read and fitted.
///
/// # Errors
/// A file that was edited to say what no map has.
pub fn recorded(path: &Path, saved: &MapFile) -> Result<(PathBuf, ReadOptions, Settings), Failure> {
    let broken = |message: String| broken(path, &message);
    let settings = Settings {
        resamples: usize::try_from(saved.settings.resamples)
            .map_err(|error| broken(format!("resamples: {error}")))?,
        confidence: saved.settings.confidence,
        seed: saved.settings.seed,
    };
    let options = ReadOptions {
        levels: saved.source.levels,
        exclude: parsed(&saved.source.exclude).map_err(broken)?,
        new_seatings: parsed(&saved.source.new_seatings).map_err(broken)?,
        outputs: false,
        columns: saved.source.columns.clone(),
        sheet: saved.source.sheet.clone(),
    };
    Ok((find_source(path, &saved.source.file), options, settings))
}

/// Refuses a measurement that is not the one a map was made from.
///
/// # Errors
/// Another digest.
pub fn unchanged(path: &Path, saved: &MapFile, source: &Path, read: &Read) -> Result<(), Failure> {
    if read.source.sha256 == saved.source.sha256 {
        return Ok(());
    }
    Err(Failure::cannot(
        format!(
            "{} has changed since {} was made from it: its digest is {}, the map was made from {}",
            source.display(),
            path.display(),
            read.source.sha256,
            saved.source.sha256
        ),
        "restore the measurement, or make the map again",
    ))
}

/// A map file that was edited to say what no map has.
#[must_use]
pub fn broken(path: &Path, message: &str) -> Failure {
    let name = path.display().to_string();
    Failure::bad_input(format!("{}: {message}", clean(&name)), Setting::Rebuild).in_file(name)
}

fn drawn(request: &MapRequest) -> Option<&PointShape> {
    match &request.target.shape {
        TargetShape::Drawn(drawn) => Some(drawn),
        _ => None,
    }
}

/// A curve of the chain as it was saved.
///
/// # Errors
/// The reason why its points make none.
pub fn saved_stage(table: Option<&MapTable>) -> Result<Option<CurveStage>, String> {
    table.map(MapTable::stage).transpose()
}

fn places(places: &[SamplePlace]) -> Vec<String> {
    places.iter().map(SamplePlace::to_string).collect()
}

fn parsed(places: &[String]) -> Result<Vec<SamplePlace>, String> {
    places.iter().map(|place| place.parse()).collect()
}

/// The measurement as named in a map file: seen from the map's folder first, then from here.
fn find_source(map: &Path, file: &str) -> PathBuf {
    let beside = map.parent().map(|folder| folder.join(file));
    beside
        .filter(|path| path.exists())
        .unwrap_or_else(|| PathBuf::from(file))
}

/// What a saved map was asked for.
///
/// # Errors
/// A file that was edited to say what no map has.
pub fn saved_request(path: &Path, saved: &MapFile) -> Result<MapRequest, Failure> {
    let broken = |message: String| broken(path, &message);
    Ok(MapRequest {
        full_at: Force::from_gf(saved.settings.full_at_gf),
        light_at: saved.settings.light_at_gf.map(Force::from_gf),
        target: saved
            .settings
            .target_shape()
            .map_err(|e| broken(e.to_string()))?,
        output_floor: saved.settings.output_floor.unwrap_or(0.0),
        before: saved_stage(saved.before.as_ref()).map_err(broken)?,
        after: saved_stage(saved.after.as_ref()).map_err(broken)?,
        hold_angle: match saved.settings.hold_angle_deg {
            None => None,
            Some(degrees) => Some(
                HoldAngle::from_degrees(degrees)
                    .ok_or_else(|| broken(format!("the hold angle {degrees} is out of range")))?,
            ),
        },
    })
}

/// A saved map with everything it was made from, read and built again; points that were moved by hand
/// stay where they were saved.
///
/// # Errors
/// A measurement that is missing or has changed, and a file that was edited to say what no map has.
pub fn reopened(path: &Path, saved: &MapFile) -> Result<Job, Failure> {
    let (source, options, _) = recorded(path, saved)?;
    let read = crate::input::measurement(&source, &options)?;
    unchanged(path, saved, &source, &read)?;
    reopened_with(path, saved, read)
}

/// The same with the measurement at hand.
///
/// # Errors
/// A file that was edited to say what no map has.
pub fn reopened_with(path: &Path, saved: &MapFile, read: Read) -> Result<Job, Failure> {
    let request = saved_request(path, saved)?;
    let (_, options, settings) = recorded(path, saved)?;
    let fit = crate::input::fitted(&read, &settings)?;
    // The forces were saved; the recording that they came from is not read again.
    let hand = saved.source.hand.clone().map(|file| HandSource {
        file,
        sha256: saved.source.hand_sha256.clone().unwrap_or_default(),
        warnings: Vec::new(),
    });
    let mut job = Job::new(read, fit, saved.receiver.clone(), request, options, hand)?;
    job.strokes.clone_from(&saved.strokes);
    if let Some(tuned) = &saved.tuned {
        let points = saved.map.points();
        let locked: Option<Vec<usize>> = tuned
            .pinned
            .iter()
            .map(|number| number.checked_sub(1).filter(|index| *index < points.len()))
            .collect();
        let locked = locked.ok_or_else(|| {
            broken(
                path,
                "a pinned point is not one of the points, which are counted from 1",
            )
        })?;
        let optimum = job.built.compiled.clone();
        job.built = rebuild(
            &job.fit,
            &job.request,
            &job.profile,
            &job.built,
            points,
            saved.map.exponent,
            job.read.measurement.stylus.levels,
        )
        .map_err(|error| Failure::from(error).in_file(path.display().to_string()))?;
        job.tuned = Some(Tuned { locked, optimum });
    }
    Ok(job)
}
