//! What a map is made from, as long as a file is open: a measurement and its response.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::SystemTime;

use evenhand_fitting::{CurveRow, Fit, Settings};
use evenhand_inversion::{BuiltMap, MapRequest, NamedShape, TargetShape};
use evenhand_measurement::{Force, ReadOptions, parse_measurement};
use evenhand_receiver::{DEFAULT_PROFILE, profile};
use evenhand_text::clean;
use evenhand_workflow::{
    Differences, Failure, HandSource, Job, MapFile, Read, Rebuilt, Tuned, VERSION, fitted,
    measurement, name, rebuilt, reopened,
};

use crate::document::Document;

/// The demo's measurement.
pub(crate) const DEMO: &str = include_str!("../../../demo/dunlin-01.csv");

/// Part of the saturation force at which a new map is full.
const FULL_PART: f64 = 0.85;
/// Full-at of a new map where the saturation was not reached: this part of the last force.
const LAST_PART: f64 = 0.8;

/// A measurement with its response.
#[derive(Clone)]
pub struct Bench {
    /// What was measured.
    pub read: Arc<Read>,
    /// The response.
    pub fit: Arc<Fit>,
    /// The curve with its band.
    pub curve: Arc<Vec<CurveRow>>,
    /// How the measurement was read.
    pub options: ReadOptions,
    /// The recording that forces were taken from.
    pub hand: Option<HandSource>,
    /// Whether this is the demo that is shown where no file is open.
    pub is_demo: bool,
    /// When the measurement's file was written, as it was read.
    written: Option<SystemTime>,
}

impl Bench {
    /// The stylus by name, or the file.
    #[must_use]
    pub fn name(&self) -> String {
        name(&self.read.measurement, &self.read.source.name)
    }

    /// Whether the measurement's file was written since it was read. A file that is gone has not changed.
    #[must_use]
    pub fn has_changed_on_disk(&self) -> bool {
        let now = written(&self.read.path);
        !self.is_demo && now.is_some() && now != self.written
    }

    /// Takes the file as it is now for read.
    pub(crate) fn mark_as_read(&mut self) {
        self.written = written(&self.read.path);
    }

    /// Number of levels of the readings, where it is known.
    #[must_use]
    pub fn levels(&self) -> Option<u32> {
        self.read.measurement.stylus.levels
    }

    /// The job that a document of this bench stands for, ready to be saved.
    #[must_use]
    pub fn job(&self, document: &Document, built: BuiltMap) -> Job {
        let locked: Vec<usize> = (0..document.points.len())
            .filter(|index| document.is_locked(*index))
            .collect();
        let is_tuned = document.is_tuned() || !locked.is_empty();
        Job {
            read: self.read_anew(),
            fit: (*self.fit).clone(),
            profile: document.profile.clone(),
            request: document.request.clone(),
            options: self.options.clone(),
            hand: self.hand.clone(),
            built,
            tuned: is_tuned.then_some(Tuned {
                locked,
                optimum: (*document.optimum).clone(),
            }),
            strokes: document.strokes(),
        }
    }

    /// What was measured, as if it were read again.
    pub(crate) fn read_anew(&self) -> Read {
        Read {
            path: self.read.path.clone(),
            measurement: self.read.measurement.clone(),
            source: self.read.source.clone(),
        }
    }

    fn of(read: Read, fit: Fit, options: ReadOptions, hand: Option<HandSource>) -> Self {
        Self {
            written: written(&read.path),
            curve: Arc::new(fit.curve()),
            read: Arc::new(read),
            fit: Arc::new(fit),
            options,
            hand,
            is_demo: false,
        }
    }
}

/// What opening a file gives.
pub struct Opened {
    /// What the map is made from.
    pub bench: Bench,
    /// The map.
    pub document: Document,
    /// The map's own file, where one was opened.
    pub path: Option<PathBuf>,
    /// What to know of a saved map that was built again and is not what was saved.
    pub note: Option<String>,
}

/// Opens a measurement with a new map for it, or a saved map with its measurement.
///
/// # Errors
/// A file that is neither, and a map whose measurement is missing or has changed.
pub fn open(path: &Path) -> Result<Opened, Failure> {
    if is_map(path) {
        let (saved, text) = MapFile::read(path)?;
        let job = reopened(path, &saved)?;
        let note = match rebuilt(&saved, &text, &job)? {
            Rebuilt::Same | Rebuilt::OtherVersion => None,
            Rebuilt::Differs(found) => Some(note(&saved, &found)),
        };
        let opened = of_job(job, Some(path.to_path_buf()));
        return Ok(Opened { note, ..opened });
    }
    let options = ReadOptions::default();
    let read = measurement(path, &options)?;
    new_map(read, options)
}

/// Changes of figures that a notice has room for.
const CHANGES_TOLD: usize = 3;

/// What is different in a map that was built again.
fn note(saved: &MapFile, found: &Differences) -> String {
    let who = if saved.version == VERSION {
        "this map was edited by hand, or its file is written in another way".to_owned()
    } else {
        format!("this map was written by evenhand {}", clean(&saved.version))
    };
    let mut text = format!(
        "{who}; what is shown is built again by evenhand {VERSION} and differs in {}",
        found.summary()
    );
    for change in found.changes.iter().take(CHANGES_TOLD) {
        text.push_str(&format!("; {change}"));
    }
    if found.changes.len() > CHANGES_TOLD {
        text.push_str("; `evenhand map --reproduce` lists all");
    }
    text
}

/// The demo: the studio's lightest stylus.
///
/// # Errors
/// None but for faults of the program.
pub fn demo() -> Result<Opened, Failure> {
    let options = ReadOptions::default();
    let (measurement, source) = parse_measurement("demo/dunlin-01.csv", DEMO.as_bytes(), &options)
        .map_err(Failure::unusable)?;
    let read = Read {
        path: PathBuf::from(&source.name),
        measurement,
        source,
    };
    let mut opened = new_map(read, options)?;
    opened.bench.is_demo = true;
    Ok(opened)
}

/// A map file larger than this is none.
const MOST_MAP_BYTES: u64 = 16 << 20;

/// Whether a file looks like a saved map: it says so in a table that no measurement has.
fn is_map(path: &Path) -> bool {
    let is_small =
        std::fs::metadata(path).is_ok_and(|meta| meta.is_file() && meta.len() <= MOST_MAP_BYTES);
    is_small
        && std::fs::read_to_string(path)
            .is_ok_and(|text| text.lines().any(|line| line.trim() == "[map]"))
}

/// When a file was last written.
fn written(path: &Path) -> Option<SystemTime> {
    std::fs::metadata(path).ok()?.modified().ok()
}

/// The measurement read again from its file, with a map for the same request and receiver.
///
/// # Errors
/// A file that is gone or no measurement any more, and a request that cannot be had with it.
pub(crate) fn read_again(bench: &Bench, document: &Document) -> Result<Opened, Failure> {
    let read = measurement(&bench.read.path, &bench.options)?;
    let fit = fitted(&read, &bench.fit.settings)?;
    let job = Job::new(
        read,
        fit,
        document.profile.clone(),
        document.request.clone(),
        bench.options.clone(),
        bench.hand.clone(),
    )?;
    Ok(of_job(job, None))
}

fn new_map(read: Read, options: ReadOptions) -> Result<Opened, Failure> {
    let fit = fitted(&read, &Settings::default())?;
    let full = fit.response.saturation().map_or_else(
        || LAST_PART * fit.response.last_force().gf(),
        |saturation| FULL_PART * saturation.gf(),
    );
    let request = MapRequest {
        full_at: Force::from_gf(full.round().max(1.0)),
        light_at: None,
        target: NamedShape {
            label: "linear".to_owned(),
            shape: TargetShape::Linear,
        },
        output_floor: 0.0,
        before: None,
        after: None,
        hold_angle: None,
    };
    let receiver = profile(DEFAULT_PROFILE).ok_or_else(|| {
        Failure::cannot(
            "the default receiver is missing",
            "this is a fault of evenhand; please report it",
        )
    })?;
    let job = Job::new(read, fit, receiver.clone(), request, options, None)?;
    Ok(of_job(job, None))
}

pub(crate) fn of_job(job: Job, path: Option<PathBuf>) -> Opened {
    let document = Document::of_job(&job);
    Opened {
        bench: Bench::of(job.read, job.fit, job.options, job.hand),
        document,
        path,
        note: None,
    }
}
