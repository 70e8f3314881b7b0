//! A path as it is typed into a field, or chosen for it.

use std::path::{Path, PathBuf};

/// A field that names a file. What is shown of a path that is not Unicode is not the path, so what was chosen is kept
/// beside it until something else is typed.
#[derive(Clone, Debug, Default)]
pub(crate) struct NamedPath {
    /// What is shown and typed.
    pub(crate) text: String,
    chosen: Option<PathBuf>,
}

impl NamedPath {
    /// Names a file.
    pub(crate) fn choose(&mut self, path: &Path) {
        self.text = path.display().to_string();
        self.chosen = Some(path.to_path_buf());
    }

    /// What is named; `None` where nothing is.
    pub(crate) fn path(&self) -> Option<PathBuf> {
        let is_shown = |path: &&PathBuf| path.display().to_string() == self.text;
        if let Some(chosen) = self.chosen.as_ref().filter(is_shown) {
            return Some(chosen.clone());
        }
        let text = self.text.trim();
        (!text.is_empty()).then(|| PathBuf::from(text))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_chosen_counts_until_something_else_is_typed() {
        let mut field = NamedPath::default();
        assert_eq!(field.path(), None);
        field.text = " a.csv ".to_owned();
        assert_eq!(field.path().as_deref(), Some(Path::new("a.csv")));
        let chosen = odd_path();
        field.choose(&chosen);
        assert_eq!(field.path(), Some(chosen));
        field.text.push('x');
        assert_eq!(field.path(), Some(PathBuf::from(field.text.clone())));
    }

    /// A path that is not Unicode, where there are such.
    #[cfg(unix)]
    fn odd_path() -> PathBuf {
        use std::os::unix::ffi::OsStrExt as _;
        std::ffi::OsStr::from_bytes(b"/a/gr\xf6\xdfe.csv").into()
    }

    #[cfg(not(unix))]
    fn odd_path() -> PathBuf {
        PathBuf::from("a/größe.csv")
    }
}
