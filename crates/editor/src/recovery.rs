//! Work that outlives a kill: every session keeps its state in a file of its own, with a lock that ends
//! with the program.

use std::fs::File;
use std::path::{Path, PathBuf};

use evenhand_text::{save_atomically, toml_string};

/// First line of a kept state: the file it was opened from or saved to.
const FROM: &str = "# kept for ";
/// What a path that is not Unicode begins with there.
const BYTES: &str = "bytes ";
/// How the name of a state ends, and that of the lock beside it.
const STATE: &str = ".map.toml";
const LOCK: &str = ".lock";

/// The kept state of this session.
pub(crate) struct Keeper {
    state: PathBuf,
    lock_path: PathBuf,
    /// Held as long as the session lives.
    _lock: File,
    is_left: bool,
}

/// State that a session left behind when it was killed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Left {
    /// Where it is kept.
    pub state: PathBuf,
    /// The file it was opened from or saved to, if any.
    pub file: Option<PathBuf>,
}

impl Keeper {
    /// A keeper in a folder, which is made where it does not exist; `None` where that cannot be.
    pub(crate) fn new(folder: &Path) -> Option<Self> {
        std::fs::create_dir_all(folder).ok()?;
        for number in 0..1000_u32 {
            let name = format!("session-{}-{number}", std::process::id());
            let lock_path = folder.join(format!("{name}{LOCK}"));
            let state = folder.join(format!("{name}{STATE}"));
            // What another session left there stays.
            if state.exists() {
                continue;
            }
            let Ok(lock) = File::create_new(&lock_path) else {
                continue;
            };
            if lock.try_lock().is_err() {
                continue;
            }
            return Some(Self {
                state,
                lock_path,
                _lock: lock,
                is_left: false,
            });
        }
        None
    }

    /// Keeps a state, a map file's text.
    ///
    /// # Errors
    /// The reason why it cannot be written.
    pub(crate) fn keep(&self, text: &str, file: Option<&Path>) -> Result<(), String> {
        let from = file.map_or_else(String::new, written);
        let text = format!("{FROM}{from}\n{text}");
        save_atomically(&self.state, text.as_bytes(), true).map_err(|error| error.to_string())
    }

    /// Leaves the state for recovery.
    pub(crate) fn leave(mut self) {
        self.is_left = true;
    }

    /// Forgets the state: it was saved, or there is nothing to save.
    pub(crate) fn forget(&self) {
        let _ = std::fs::remove_file(&self.state);
    }
}

impl Drop for Keeper {
    fn drop(&mut self) {
        // A session that ends in order leaves nothing; a killed one does not get here.
        // Nor does one that ends with a fault.
        if std::thread::panicking() {
            return;
        }
        if !self.is_left {
            self.forget();
        }
        let _ = std::fs::remove_file(&self.lock_path);
    }
}

/// States in a folder whose sessions are gone, the newest first.
#[must_use]
pub fn left_behind(folder: &Path) -> Vec<Left> {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return Vec::new();
    };
    let mut found: Vec<(std::time::SystemTime, Left)> = entries
        .filter_map(Result::ok)
        .map(|entry| entry.path())
        .filter(|path| lock_of(path).is_some_and(|lock| !is_alive(&lock)))
        .filter_map(|state| {
            let text = std::fs::read_to_string(&state).ok()?;
            let file = read(text.lines().next()?.strip_prefix(FROM)?);
            let when = std::fs::metadata(&state).ok()?.modified().ok()?;
            Some((when, Left { state, file }))
        })
        .collect();
    found.sort_by(|a, b| b.0.cmp(&a.0).then_with(|| a.1.state.cmp(&b.1.state)));
    found.into_iter().map(|(_, left)| left).collect()
}

/// The lock beside a state; `None` of a file that is no state.
fn lock_of(state: &Path) -> Option<PathBuf> {
    let name = state.file_name()?.to_str()?.strip_suffix(STATE)?;
    Some(state.with_file_name(format!("{name}{LOCK}")))
}

/// Whether the session that keeps a state still holds its lock.
fn is_alive(lock: &Path) -> bool {
    File::open(lock).is_ok_and(|lock| lock.try_lock().is_err())
}

/// A path as the first line of a state holds it: quoted, so that nothing in it ends the line, or by its bytes where it
/// is not Unicode.
fn written(path: &Path) -> String {
    match path.to_str() {
        Some(path) => toml_string(path),
        None => bytes_of(path).map_or_else(String::new, |bytes| {
            let hex: String = bytes.iter().map(|byte| format!("{byte:02x}")).collect();
            format!("{BYTES}{hex}")
        }),
    }
}

/// The path that a first line holds, if any.
fn read(line: &str) -> Option<PathBuf> {
    if let Some(hex) = line.strip_prefix(BYTES) {
        let pairs = hex.as_bytes().chunks(2);
        let bytes: Option<Vec<u8>> = pairs
            .map(|pair| u8::from_str_radix(std::str::from_utf8(pair).ok()?, 16).ok())
            .collect();
        return path_of(bytes?);
    }
    if line.starts_with('"') {
        let table: toml::Table = format!("path = {line}").parse().ok()?;
        return table.get("path")?.as_str().map(PathBuf::from);
    }
    // As earlier versions wrote it.
    (!line.is_empty()).then(|| PathBuf::from(line))
}

#[cfg(unix)]
fn bytes_of(path: &Path) -> Option<Vec<u8>> {
    use std::os::unix::ffi::OsStrExt as _;
    Some(path.as_os_str().as_bytes().to_vec())
}

#[cfg(unix)]
#[expect(clippy::unnecessary_wraps, reason = "elsewhere bytes are no path")]
fn path_of(bytes: Vec<u8>) -> Option<PathBuf> {
    use std::os::unix::ffi::OsStringExt as _;
    Some(PathBuf::from(std::ffi::OsString::from_vec(bytes)))
}

/// Elsewhere paths that are not Unicode have no bytes; work on them is recovered without its path.
#[cfg(not(unix))]
fn bytes_of(_: &Path) -> Option<Vec<u8>> {
    None
}

#[cfg(not(unix))]
fn path_of(_: Vec<u8>) -> Option<PathBuf> {
    None
}

/// Throws a state away that is not wanted.
pub(crate) fn discard(left: &Left) {
    let _ = std::fs::remove_file(&left.state);
    if let Some(lock) = lock_of(&left.state) {
        let _ = std::fs::remove_file(lock);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_are_kept_as_they_are() {
        for path in ["/a/b.toml", "a \"b\"\\c\n.toml", "größe \u{202e}.toml"] {
            let line = written(Path::new(path));
            assert!(!line.contains('\n'), "{line}");
            assert_eq!(read(&line).as_deref(), Some(Path::new(path)));
        }
        assert_eq!(read("/a/b.toml").as_deref(), Some(Path::new("/a/b.toml")));
        assert_eq!(read(""), None);
        assert_eq!(read("bytes zz"), None);
    }

    #[cfg(unix)]
    #[test]
    fn paths_that_are_not_unicode_are_kept_too() {
        let path = path_of(b"/a/gr\xf6\xdfe.map.toml".to_vec()).unwrap();
        assert_eq!(written(&path), "bytes 2f612f6772f6df652e6d61702e746f6d6c");
        assert_eq!(read(&written(&path)), Some(path));
    }

    #[test]
    fn what_a_killed_session_kept_is_found() {
        let folder = tempfile::tempdir().unwrap();
        let keeper = Keeper::new(folder.path()).unwrap();
        keeper
            .keep("format = 1\n", Some(Path::new("/a/b.toml")))
            .unwrap();
        assert!(left_behind(folder.path()).is_empty(), "it is alive");
        let state = keeper.state.clone();
        // A kill: the lock goes, nothing else does.
        let lock_path = keeper.lock_path.clone();
        std::mem::forget(keeper);
        std::fs::remove_file(&lock_path).unwrap();
        let left = left_behind(folder.path());
        assert_eq!(left.len(), 1);
        assert_eq!(left[0].file.as_deref(), Some(Path::new("/a/b.toml")));
        assert!(
            std::fs::read_to_string(&state)
                .unwrap()
                .ends_with("format = 1\n")
        );
        discard(&left[0]);
        assert!(left_behind(folder.path()).is_empty());
        // A session that ends in order leaves nothing.
        let keeper = Keeper::new(folder.path()).unwrap();
        keeper.keep("x", None).unwrap();
        drop(keeper);
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0);
    }
}
