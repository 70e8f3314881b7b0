//! Many measurements at once: found in folders, read and fitted on all cores; a bad one is named and skipped.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use evenhand_fitting::Settings;
use evenhand_measurement::ReadOptions;
use evenhand_population::FittedMeasurement;
use rayon::prelude::*;

use crate::failure::Failure;
use crate::input::{fitted, measurement};
use crate::sentences::name;

/// Folders deeper than this are not entered.
const DEEPEST: usize = 16;
/// Names that end so hold no measurement.
const SKIPPED_ENDINGS: [&str; 2] = [".map.toml", ".checks.csv"];
/// Names at least this similar are offered for one that was not found.
const SIMILAR: f64 = 0.6;

/// Files to read.
#[derive(Clone, Debug, Default)]
pub struct FileList {
    /// The files, in the order given; those of a folder by name.
    pub files: Vec<PathBuf>,
    /// Files of folders that are maps or checks by their names.
    pub skipped: Vec<PathBuf>,
}

/// A measurement that could not be used.
#[derive(Debug)]
pub struct Skipped {
    /// Its file.
    pub file: String,
    /// Why.
    pub failure: Failure,
}

/// A measurement that was left out without a fault.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ExcludedFile {
    /// Its file.
    pub file: String,
    /// Its stylus by name, or the file.
    pub name: String,
    /// For the same bytes as another file: that file.
    pub same_as: Option<String>,
}

/// Measurements read and fitted.
#[derive(Debug, Default)]
pub struct Collection {
    /// Those to compare.
    pub measured: Vec<FittedMeasurement>,
    /// Those that could not be used, in order.
    pub skipped: Vec<Skipped>,
    /// Those left out by request.
    pub excluded: Vec<ExcludedFile>,
    /// Those with the bytes of one before them; they count once.
    pub duplicates: Vec<ExcludedFile>,
}

/// The measurements that paths name: files as they are, folders with all `.csv` and `.toml` in them and below.
/// Hidden names, maps (`.map.toml`) and checks (`.checks.csv`) of folders are passed over.
///
/// # Errors
/// A folder that cannot be listed.
pub fn find_measurements(paths: &[PathBuf]) -> Result<FileList, Failure> {
    let mut found = FileList::default();
    for path in paths {
        if path.is_dir() {
            walk(path, 0, &mut found)?;
        } else {
            found.files.push(path.clone());
        }
    }
    Ok(found)
}

fn walk(folder: &Path, depth: usize, found: &mut FileList) -> Result<(), Failure> {
    let unreadable = |error: std::io::Error| {
        Failure::bad_input(
            format!(
                "{}: the folder could not be listed: {error}",
                folder.display()
            ),
            "check its name and permissions, or name the files themselves",
        )
    };
    let mut entries = fs::read_dir(folder)
        .map_err(unreadable)?
        .collect::<Result<Vec<_>, _>>()
        .map_err(unreadable)?;
    entries.sort_by_key(fs::DirEntry::file_name);
    for entry in entries {
        let path = entry.path();
        let file_name = entry.file_name().to_string_lossy().to_lowercase();
        if file_name.starts_with('.') {
            continue;
        }
        // A folder behind a link may hold its own parent.
        if entry.file_type().is_ok_and(|kind| kind.is_dir()) {
            if depth < DEEPEST {
                walk(&path, depth + 1, found)?;
            }
        } else if SKIPPED_ENDINGS
            .iter()
            .any(|ending| file_name.ends_with(ending))
        {
            found.skipped.push(path);
        } else if path.extension().is_some_and(|ending| {
            ending.eq_ignore_ascii_case("csv") || ending.eq_ignore_ascii_case("toml")
        }) {
            found.files.push(path);
        }
    }
    Ok(())
}

/// What became of a file.
enum LoadResult {
    Measured(Box<FittedMeasurement>),
    Excluded(ExcludedFile),
    Skipped(Skipped),
}

/// Reads and fits files. `exclude` names units ("Dunlin 05"), one bench's measurements of a unit ("Dunlin 05 (attic)"), models or files to
/// leave out; `done` is called
/// after each file, from any thread. The result does not depend on the number of threads.
///
/// # Errors
/// A name in `exclude` that nothing has.
pub fn collect(
    files: &[PathBuf],
    options: &ReadOptions,
    settings: &Settings,
    exclude: &[String],
    done: &(dyn Fn() + Sync),
) -> Result<Collection, Failure> {
    let each: Vec<LoadResult> = files
        .par_iter()
        .map(|path| {
            let result = load(path, options, settings, exclude);
            done();
            result
        })
        .collect();
    let mut collection = Collection::default();
    let mut seen: BTreeMap<String, String> = BTreeMap::new();
    for result in each {
        match result {
            LoadResult::Skipped(skipped) => collection.skipped.push(skipped),
            LoadResult::Excluded(excluded) => collection.excluded.push(excluded),
            LoadResult::Measured(measured) => {
                if let Some(first) = seen.get(&measured.sha256) {
                    collection.duplicates.push(ExcludedFile {
                        name: name_of(&measured),
                        same_as: Some(first.clone()),
                        file: measured.file,
                    });
                } else {
                    seen.insert(measured.sha256.clone(), measured.file.clone());
                    collection.measured.push(*measured);
                }
            }
        }
    }
    check_excluded(&collection, exclude)?;
    Ok(collection)
}

fn name_of(measured: &FittedMeasurement) -> String {
    match (&measured.model, &measured.unit) {
        (Some(model), Some(unit)) => format!("{model} {unit}"),
        _ => measured.file.clone(),
    }
}

fn load(path: &Path, options: &ReadOptions, settings: &Settings, exclude: &[String]) -> LoadResult {
    let skipped = |failure: Failure| {
        LoadResult::Skipped(Skipped {
            file: path.display().to_string(),
            failure,
        })
    };
    let read = match measurement(path, options) {
        Ok(read) => read,
        Err(failure) => return skipped(failure),
    };
    let stylus = name(&read.measurement, &read.source.name);
    let model = read.measurement.stylus.model.as_deref();
    let bench = read.measurement.bench.name.as_deref();
    // As it is shown where a unit was measured on several benches.
    let on_bench = bench.map(|bench| format!("{stylus} ({bench})"));
    let is_named = |word: &String| {
        *word == stylus || *word == read.source.name || Some(word.as_str()) == model
    };
    let is_named_with_bench = on_bench.as_ref().is_some_and(|name| exclude.contains(name));
    if is_named_with_bench || exclude.iter().any(is_named) {
        return LoadResult::Excluded(ExcludedFile {
            file: read.source.name,
            name: on_bench.filter(|_| is_named_with_bench).unwrap_or(stylus),
            same_as: None,
        });
    }
    match fitted(&read, settings) {
        Ok(fit) => {
            let source = &read.source;
            let mut measured =
                FittedMeasurement::of(&read.measurement, &fit, &source.name, &source.sha256);
            measured.folder = path
                .parent()
                .and_then(Path::file_name)
                .map(|name| name.to_string_lossy().into_owned());
            LoadResult::Measured(Box::new(measured))
        }
        Err(failure) => skipped(failure),
    }
}

/// A name that nothing has was not meant: everything would stay in without a word.
fn check_excluded(collection: &Collection, exclude: &[String]) -> Result<(), Failure> {
    for word in exclude {
        let matches = |file: &ExcludedFile| {
            file.file == *word
                || file.name == *word
                || file
                    .name
                    .strip_prefix(word.as_str())
                    .is_some_and(|rest| rest.starts_with(' '))
        };
        if collection.excluded.iter().any(matches) {
            continue;
        }
        let nearest = collection
            .measured
            .iter()
            .map(name_of)
            .max_by(|a, b| strsim::jaro_winkler(a, word).total_cmp(&strsim::jaro_winkler(b, word)))
            .filter(|name| strsim::jaro_winkler(name, word) >= SIMILAR);
        return Err(Failure::bad_input(
            format!("nothing here is called `{word}`"),
            nearest.map_or_else(
                || "give a unit (\"MODEL UNIT\"), a model, or a file as it was found".to_owned(),
                |name| {
                    format!(
                        "did you mean `{name}`? give a unit, a model, or a file as it was found"
                    )
                },
            ),
        ));
    }
    Ok(())
}
