//! Saving without loss: a temporary file beside the target, synced, then renamed over it.

use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

use thiserror::Error;

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
    /// The system refused.
    #[error("{path} could not be saved: {source}")]
    System {
        /// The target.
        path: String,
        /// What the system said.
        source: io::Error,
    },
}

impl SaveError {
    /// What to do about it.
    #[must_use]
    pub fn help(&self) -> &'static str {
        match self {
            Self::Exists { .. } => "choose another name, or replace it with --force",
            Self::Folder { .. } => "name a file in it",
            Self::NoFile { .. } => "name a file; what was written there can then be sent on",
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
        }
    }
}

/// Saves bytes whole or not at all. A link is followed, so that its target is replaced and the link
/// stays.
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
    let target = path.canonicalize().unwrap_or_else(|_| path.to_path_buf());
    let (temporary, mut file) = temporary_beside(&target).map_err(system)?;
    let written = file.write_all(bytes).and_then(|()| file.sync_all());
    drop(file);
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

/// A new file beside the target under a name that nobody uses.
fn temporary_beside(target: &Path) -> io::Result<(PathBuf, std::fs::File)> {
    let name = target.file_name().unwrap_or_default().to_string_lossy();
    let mut last = io::Error::from(io::ErrorKind::AlreadyExists);
    for attempt in 0..100_u32 {
        let path = target.with_file_name(format!(".{name}.{}-{attempt}.part", std::process::id()));
        match std::fs::OpenOptions::new()
            .write(true)
            .create_new(true)
            .open(&path)
        {
            Ok(file) => return Ok((path, file)),
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => last = error,
            Err(error) => return Err(error),
        }
    }
    Err(last)
}

/// Makes the new name itself survive a power cut, where the system allows it.
fn sync_folder(target: &Path) {
    if let Some(folder) = target
        .parent()
        .filter(|folder| !folder.as_os_str().is_empty())
        && let Ok(folder) = std::fs::File::open(folder)
    {
        let _ = folder.sync_all();
    }
}
