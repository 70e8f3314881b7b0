//! Saving without loss: a temporary file beside the target, synced, then renamed over it.

use std::ffi::OsString;
use std::fs::File;
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use thiserror::Error;

use crate::fault::{Remedy, Setting};

/// A file that was not saved; what stood at the target still stands there.
#[derive(Debug, Error)]
pub enum SaveError {
    /// The target exists and was not to be replaced.
    #[error("{path} exists and was not touched")]
    Exists {
        /// The target.
        path: String,
    },
    /// The target is a folder.
    #[error("{path} is a folder")]
    Folder {
        /// The target.
        path: String,
    },
    /// The target is a device, a pipe or a socket.
    #[error("{path} is a device or a pipe, not a file, and was not touched")]
    NoFile {
        /// The target.
        path: String,
    },
    /// The target is read for what it should hold.
    #[error("{path} is {} for this, and was not touched", read_as(path, input))]
    Input {
        /// The target.
        path: String,
        /// What is read, by the name that it was given.
        input: String,
    },
    /// The target is a link that leads through too many others, or round in a circle.
    #[error("{path} is a link that leads nowhere")]
    Links {
        /// The target.
        path: String,
    },
    /// The system refused.
    #[error("{path} could not be saved: {source}")]
    System {
        /// The target.
        path: String,
        /// What the system said.
        source: io::Error,
    },
}

fn read_as(path: &str, input: &str) -> String {
    if path == input {
        "itself read".to_owned()
    } else {
        format!("the same file as {input}, which is read")
    }
}

impl SaveError {
    /// What to do about it.
    #[must_use]
    pub fn remedy(&self) -> Remedy {
        let text = match self {
            Self::Exists { .. } => {
                return Remedy::from("choose another name").or_set(Setting::Replace);
            }
            Self::Input { .. } => "choose another name",
            Self::Folder { .. } => "name a file in it",
            Self::NoFile { .. } => "name a file; what was written there can then be sent on",
            Self::Links { .. } => "name the file itself",
            Self::System { source, .. } => match source.kind() {
                io::ErrorKind::NotFound => "make its folder first, or choose another",
                io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => {
                    "choose a folder that may be written to"
                }
                io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
                    "free some space, or choose another disk"
                }
                _ => "choose another folder",
            },
        };
        text.into()
    }
}

/// Refuses a target that is one of `inputs`, under whatever name or link; inputs that are no files, such as names,
/// are skipped.
///
/// # Errors
/// [`SaveError::Input`]: which of them it is.
pub fn refuse_input(out: &Path, inputs: &[&Path]) -> Result<(), SaveError> {
    // To be compared files are opened, which a pipe would wait for and a serial line take for a new beginning.
    let is_file = |path: &Path| std::fs::metadata(path).is_ok_and(|meta| meta.is_file());
    if !is_file(out) {
        return Ok(());
    }
    let is_out =
        |input: &&&Path| is_file(input) && same_file::is_same_file(out, input).unwrap_or(false);
    match inputs.iter().find(is_out) {
        Some(input) => Err(SaveError::Input {
            path: out.display().to_string(),
            input: input.display().to_string(),
        }),
        None => Ok(()),
    }
}

/// Saves bytes whole or not at all. A link is followed, so that the file it leads to is replaced or made and the
/// link stays.
///
/// A kill on the way leaves the target as it was, and a temporary file `.NAME.….part` beside it, which the next save
/// of the same name removes.
///
/// # Errors
/// See [`SaveError`]; no temporary file is left behind.
pub fn save_atomically(path: &Path, bytes: &[u8], replace: bool) -> Result<(), SaveError> {
    let shown = || path.display().to_string();
    let system = |source| SaveError::System {
        path: shown(),
        source,
    };
    check_kind(path)?;
    let target = end_of_links(path).ok_or_else(|| SaveError::Links { path: shown() })?;
    remove_abandoned(&target);
    let (temporary, mut file) = temporary_beside(&target).map_err(system)?;
    let written = file.write_all(bytes).and_then(|()| file.sync_all());
    let moved = written.map_err(system).and_then(|()| {
        if replace {
            // An existing file keeps its permissions.
            if let Ok(meta) = std::fs::metadata(&target) {
                std::fs::set_permissions(&temporary, meta.permissions()).map_err(system)?;
            }
            return std::fs::rename(&temporary, &target).map_err(system);
        }
        // A hard link, unlike a rename, never replaces what appeared in the meantime.
        match std::fs::hard_link(&temporary, &target) {
            Ok(()) => Ok(()),
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {
                Err(SaveError::Exists { path: shown() })
            }
            // Some file systems have no hard links.
            Err(_) if !target.exists() => std::fs::rename(&temporary, &target).map_err(system),
            Err(_) => Err(SaveError::Exists { path: shown() }),
        }
    });
    // After a rename there is nothing left to remove.
    let _ = std::fs::remove_file(&temporary);
    // Its lock says that the temporary file is in use; until here it is.
    drop(file);
    moved?;
    sync_folder(&target);
    Ok(())
}

/// Refuses what is there and no file: renamed over, a device or a pipe would be gone.
///
/// # Errors
/// [`SaveError::Folder`] and [`SaveError::NoFile`].
pub fn check_kind(path: &Path) -> Result<(), SaveError> {
    let shown = || path.display().to_string();
    match std::fs::metadata(path) {
        Ok(meta) if meta.is_dir() => Err(SaveError::Folder { path: shown() }),
        Ok(meta) if !meta.is_file() => Err(SaveError::NoFile { path: shown() }),
        _ => Ok(()),
    }
}

/// Links that are followed before they count as a circle.
const MOST_LINKS: usize = 40;

/// Where a path leads when its links are followed, also where the last one leads to nothing yet.
fn end_of_links(path: &Path) -> Option<PathBuf> {
    let mut path = path.to_path_buf();
    for _ in 0..MOST_LINKS {
        match std::fs::read_link(&path) {
            Ok(to) if to.is_absolute() => path = to,
            Ok(to) => path = path.parent().map_or(to.clone(), |folder| folder.join(&to)),
            Err(_) => return Some(path),
        }
    }
    None
}

/// The beginning that the temporary files of a target share.
fn beginning(target: &Path) -> OsString {
    let mut name = OsString::from(".");
    name.push(target.file_name().unwrap_or_default());
    name.push(".");
    name
}

/// A new file beside the target under a name that nobody uses, locked as long as it is open.
fn temporary_beside(target: &Path) -> io::Result<(PathBuf, File)> {
    let mut last = io::Error::from(io::ErrorKind::AlreadyExists);
    for attempt in 0..100_u32 {
        let mut name = beginning(target);
        name.push(format!("{}-{attempt}.part", std::process::id()));
        let path = target.with_file_name(name);
        match File::options().write(true).create_new(true).open(&path) {
            Ok(file) => {
                // Where files cannot be locked, none is taken for abandoned either. Another save may have removed
                // the file before it was locked.
                let _ = file.try_lock();
                if path.exists() {
                    return Ok((path, file));
                }
            }
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => last = error,
            Err(error) => return Err(error),
        }
    }
    Err(last)
}

/// Removes the temporary files of earlier saves of this target that a kill left behind: those that no running
/// program holds. What cannot be removed stays.
fn remove_abandoned(target: &Path) {
    let folder = match target.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let beginning = beginning(target);
    let Ok(entries) = std::fs::read_dir(folder) else {
        return;
    };
    for entry in entries.flatten() {
        let name = entry.file_name();
        let bytes = name.as_encoded_bytes();
        let rest = bytes.strip_prefix(beginning.as_encoded_bytes());
        let number = rest.and_then(|rest| rest.strip_suffix(b".part"));
        let is_ours = number.is_some_and(is_process_and_attempt);
        // A link or a folder of that name is not ours.
        if !is_ours || !entry.file_type().is_ok_and(|kind| kind.is_file()) {
            continue;
        }
        let path = entry.path();
        if let Ok(file) = File::options().write(true).open(&path)
            && file.try_lock().is_ok()
        {
            let _ = std::fs::remove_file(&path);
        }
    }
}

/// Whether a name ends as temporary files do: two whole numbers with a hyphen between.
fn is_process_and_attempt(name: &[u8]) -> bool {
    let is_number = |part: &[u8]| !part.is_empty() && part.iter().all(u8::is_ascii_digit);
    let mut parts = name.split(|byte| *byte == b'-');
    let both = [parts.next(), parts.next()];
    both.iter().all(|part| part.is_some_and(is_number)) && parts.next().is_none()
}

/// Makes the new name itself survive a power cut, where the system allows it.
fn sync_folder(target: &Path) {
    if let Some(folder) = target
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        && let Ok(folder) = File::open(folder)
    {
        let _ = folder.sync_all();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn names(folder: &Path) -> Vec<String> {
        let entries = std::fs::read_dir(folder).unwrap();
        let mut names: Vec<String> = entries
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    #[test]
    fn what_a_kill_left_is_removed_by_the_next_save_of_the_name() {
        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        for name in [".a.csv.12-0.part", ".a.csv.4711-3.part"] {
            std::fs::write(at(name), "half").unwrap();
        }
        // Of another target, of another making, and one that a running program holds.
        for name in [".b.csv.12-0.part", ".a.csv.mine.part", ".a.csv.12-0-0.part"] {
            std::fs::write(at(name), "kept").unwrap();
        }
        std::fs::write(at(".a.csv.99-0.part"), "held").unwrap();
        let held = File::options()
            .write(true)
            .open(at(".a.csv.99-0.part"))
            .unwrap();
        held.try_lock().unwrap();
        save_atomically(&at("a.csv"), b"whole", false).unwrap();
        assert_eq!(
            names(folder.path()),
            [
                ".a.csv.12-0-0.part",
                ".a.csv.99-0.part",
                ".a.csv.mine.part",
                ".b.csv.12-0.part",
                "a.csv"
            ]
        );
        drop(held);
        save_atomically(&at("a.csv"), b"again", true).unwrap();
        assert!(!at(".a.csv.99-0.part").exists());
        assert_eq!(std::fs::read(at("a.csv")).unwrap(), b"again");
    }

    #[test]
    #[cfg(unix)]
    fn links_are_followed_also_to_nothing() {
        use std::os::unix::fs::symlink;

        let folder = tempfile::tempdir().unwrap();
        let at = |name: &str| folder.path().join(name);
        std::fs::create_dir(at("far")).unwrap();
        symlink("far/new.csv", at("near.csv")).unwrap();
        symlink(at("near.csv"), at("nearer.csv")).unwrap();
        save_atomically(&at("nearer.csv"), b"one", false).unwrap();
        assert_eq!(std::fs::read(at("far/new.csv")).unwrap(), b"one");
        let is_link = |name: &str| std::fs::symlink_metadata(at(name)).unwrap().is_symlink();
        assert!(is_link("near.csv") && is_link("nearer.csv"));
        let again = save_atomically(&at("near.csv"), b"two", false);
        assert!(matches!(again, Err(SaveError::Exists { .. })), "{again:?}");
        save_atomically(&at("near.csv"), b"two", true).unwrap();
        assert_eq!(std::fs::read(at("far/new.csv")).unwrap(), b"two");
        assert!(is_link("near.csv"));
        symlink("b", at("a")).unwrap();
        symlink("a", at("b")).unwrap();
        let circle = save_atomically(&at("a"), b"", true);
        assert!(matches!(circle, Err(SaveError::Links { .. })), "{circle:?}");
    }
}
