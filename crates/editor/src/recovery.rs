//! Work that outlives a kill: every session keeps its state in a file of its own, with a lock that ends
//! with the program.

use std::fs::File;
use std::path::{Path, PathBuf};

use evenhand_text::save_atomically;

/// First line of a kept state: the file it was opened from or saved to.
const FROM: &str = "# kept for ";

/// The kept state of this session.
pub struct Keeper {
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
    pub of: Option<PathBuf>,
}

impl Keeper {
    /// A keeper in a folder, which is made where it does not exist; `None` where that cannot be.
    #[must_use]
    pub fn new(folder: &Path) -> Option<Self> {
        std::fs::create_dir_all(folder).ok()?;
        for number in 0..1000_u32 {
            let name = format!("session-{}-{number}", std::process::id());
            let lock_path = folder.join(format!("{name}.lock"));
            let state = folder.join(format!("{name}.map.toml"));
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
    pub fn keep(&self, text: &str, of: Option<&Path>) -> Result<(), String> {
        let from = of.map_or_else(String::new, |path| path.display().to_string());
        let text = format!("{FROM}{from}\n{text}");
        save_atomically(&self.state, text.as_bytes(), true).map_err(|error| error.to_string())
    }

    /// Leaves the state for recovery.
    pub fn leave(mut self) {
        self.is_left = true;
    }

    /// Forgets the state: it was saved, or there is nothing to save.
    pub fn forget(&self) {
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
        .filter(|path| path.to_string_lossy().ends_with(".map.toml"))
        .filter(|path| !is_alive(path))
        .filter_map(|state| {
            let text = std::fs::read_to_string(&state).ok()?;
            let of = text.lines().next()?.strip_prefix(FROM)?;
            let of = (!of.is_empty()).then(|| PathBuf::from(of));
            let when = std::fs::metadata(&state)
                .and_then(|meta| meta.modified())
                .ok()?;
            Some((when, Left { state, of }))
        })
        .collect();
    found.sort_by(|a, b| b.0.cmp(&a.0).then_with(|| a.1.state.cmp(&b.1.state)));
    found.into_iter().map(|(_, left)| left).collect()
}

/// Whether the session that keeps a state still holds its lock.
fn is_alive(state: &Path) -> bool {
    let name = state.to_string_lossy().replace(".map.toml", ".lock");
    File::open(name).is_ok_and(|lock| lock.try_lock().is_err())
}

/// Throws a state away that is not wanted.
pub(crate) fn discard(left: &Left) {
    let lock = left.state.to_string_lossy().replace(".map.toml", ".lock");
    let _ = std::fs::remove_file(&left.state);
    let _ = std::fs::remove_file(lock);
}

#[cfg(test)]
mod tests {
    use super::*;

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
        assert_eq!(left[0].of.as_deref(), Some(Path::new("/a/b.toml")));
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
