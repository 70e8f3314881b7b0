//! A room to work in: a fresh folder and the program under test.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::Output;

use assert_cmd::Command;

/// A fresh folder; commands run inside it.
pub(crate) struct Room {
    folder: tempfile::TempDir,
}

/// What a command did.
pub(crate) struct Did {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Did {
    /// Standard output holds this.
    #[track_caller]
    pub(crate) fn assert_out(&self, words: &str) {
        assert!(self.out.contains(words), "{words}\n{}", self.out);
    }

    /// Standard error holds this.
    #[track_caller]
    pub(crate) fn assert_err(&self, words: &str) {
        assert!(self.err.contains(words), "{words}\n{}", self.err);
    }
}

/// The words of a command line: a text with spaces between them, or a list where words hold spaces.
pub(crate) trait Words: Copy + std::fmt::Debug {
    fn words(self) -> Vec<String>;
}

impl Words for &str {
    fn words(self) -> Vec<String> {
        self.split_whitespace().map(str::to_owned).collect()
    }
}

impl Words for &String {
    fn words(self) -> Vec<String> {
        self.as_str().words()
    }
}

impl Words for &[&str] {
    fn words(self) -> Vec<String> {
        self.iter().map(ToString::to_string).collect()
    }
}

impl<const N: usize> Words for &[&str; N] {
    fn words(self) -> Vec<String> {
        self.as_slice().words()
    }
}

impl Words for &Vec<&str> {
    fn words(self) -> Vec<String> {
        self.as_slice().words()
    }
}

impl Words for &Vec<String> {
    fn words(self) -> Vec<String> {
        self.clone()
    }
}

impl Room {
    pub(crate) fn new() -> Self {
        Self {
            folder: tempfile::tempdir().unwrap(),
        }
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub(crate) fn write(&self, name: &str, bytes: impl AsRef<[u8]>) -> PathBuf {
        let path = self.path(name);
        std::fs::write(&path, bytes).unwrap();
        path
    }

    pub(crate) fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.path(name)).unwrap()
    }

    /// Copies a file of the demo here.
    pub(crate) fn demo(&self, name: &str) {
        std::fs::copy(project().join("demo").join(name), self.path(name)).unwrap();
    }

    pub(crate) fn names(&self) -> Vec<String> {
        let mut names: Vec<String> = std::fs::read_dir(self.folder.path())
            .unwrap()
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    pub(crate) fn run(&self, args: impl Words) -> Did {
        self.run_os(&args.words())
    }

    /// Runs what must end with this code.
    #[track_caller]
    pub(crate) fn ends(&self, args: impl Words, code: i32) -> Did {
        let did = self.run(args);
        assert_eq!(did.code, code, "{args:?}\n{}\n{}", did.out, did.err);
        did
    }

    /// The same as [`Room::run`] with words that need not be Unicode.
    pub(crate) fn run_os<S: AsRef<OsStr>>(&self, args: &[S]) -> Did {
        let mut command = Command::new(env!("CARGO_BIN_EXE_evenhand"));
        command
            .current_dir(self.folder.path())
            .env_remove("NO_COLOR")
            .args(args);
        did(&command.output().unwrap())
    }

    /// Runs and reads the one JSON object that must be all of standard output.
    #[track_caller]
    pub(crate) fn json(&self, args: impl Words, code: i32) -> serde_json::Value {
        let did = self.ends(args, code);
        let value: serde_json::Value = serde_json::from_str(&did.out)
            .unwrap_or_else(|error| panic!("{args:?}: {error}\n{}", did.out));
        assert!(value.is_object(), "{args:?} must print an object");
        value
    }
}

pub(crate) fn did(output: &Output) -> Did {
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    let did = Did {
        code: output.status.code().unwrap_or(-1),
        out: text(&output.stdout),
        err: text(&output.stderr),
    };
    assert!(!did.err.contains("panicked"), "a panic:\n{}", did.err);
    did
}

/// The project's top folder.
pub(crate) fn project() -> &'static Path {
    Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../.."))
}

/// A JSON number.
pub(crate) fn number(value: &serde_json::Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("{value} is no number"))
}

/// Two numbers of every row of a list, such as inputs and outputs.
pub(crate) fn pairs(list: &serde_json::Value, x: &str, y: &str) -> Vec<(f64, f64)> {
    let rows = list.as_array().unwrap().iter();
    rows.map(|row| (number(&row[x]), number(&row[y]))).collect()
}

/// Straight lines through rows; outside of them the outer values.
pub(crate) fn straight(rows: &[(f64, f64)], x: f64) -> f64 {
    for pair in rows.windows(2) {
        if x <= pair[1].0 {
            let part = ((x - pair[0].0) / (pair[1].0 - pair[0].0)).max(0.0);
            return pair[0].1 + part * (pair[1].1 - pair[0].1);
        }
    }
    rows[rows.len() - 1].1
}
