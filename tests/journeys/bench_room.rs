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
    /// The command's words, to name it where it did something else.
    args: String,
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Did {
    /// It ended with this code.
    #[track_caller]
    pub(crate) fn ended(self, code: i32) -> Self {
        assert_eq!(self.code, code, "{}\n{}\n{}", self.args, self.out, self.err);
        self
    }

    /// Standard output holds all of this.
    #[track_caller]
    pub(crate) fn assert_out<'a>(&self, parts: impl Parts<'a>) {
        assert_holds(&self.out, &self.args, parts);
    }

    /// Standard error holds all of this.
    #[track_caller]
    pub(crate) fn assert_err<'a>(&self, parts: impl Parts<'a>) {
        assert_holds(&self.err, &self.args, parts);
    }

    /// Standard error holds all of this but for the breaks that fit it to a page.
    #[track_caller]
    pub(crate) fn assert_said<'a>(&self, parts: impl Parts<'a>) {
        assert_holds(&self.said(), &self.args, parts);
    }

    /// What is said on standard error, without the breaks that fit it to a page.
    pub(crate) fn said(&self) -> String {
        let words: Vec<&str> = self.err.split_whitespace().collect();
        words.join(" ").replace(" │", "")
    }
}

/// A text holds all of this; `name` names it where it does not.
#[track_caller]
pub(crate) fn assert_holds<'a>(text: &str, name: &str, parts: impl Parts<'a>) {
    for part in parts.parts() {
        assert!(text.contains(part), "{name}: no `{part}` in\n{text}");
    }
}

/// The number, from 1, of the first line that begins so.
#[track_caller]
pub(crate) fn line_of(text: &str, start: &str) -> usize {
    let line = text.lines().position(|line| line.starts_with(start));
    1 + line.unwrap_or_else(|| panic!("no line begins with {start} in\n{text}"))
}

/// One part of a text or several.
pub(crate) trait Parts<'a> {
    fn parts(self) -> Vec<&'a str>;
}

impl<'a> Parts<'a> for &'a str {
    fn parts(self) -> Vec<&'a str> {
        vec![self]
    }
}

impl<'a> Parts<'a> for &'a String {
    fn parts(self) -> Vec<&'a str> {
        vec![self]
    }
}

impl<'a, const N: usize> Parts<'a> for [&'a str; N] {
    fn parts(self) -> Vec<&'a str> {
        self.to_vec()
    }
}

impl<'a> Parts<'a> for Vec<&'a str> {
    fn parts(self) -> Vec<&'a str> {
        self
    }
}

/// The words of a command line: a text with spaces between them, where quotes keep words together, or a list.
pub(crate) trait Words: Copy + std::fmt::Debug {
    fn words(self) -> Vec<String>;
}

impl Words for &str {
    fn words(self) -> Vec<String> {
        let mut words = Vec::new();
        for (place, part) in self.split('"').enumerate() {
            if place % 2 == 1 {
                words.push(part.to_owned());
            } else {
                words.extend(part.split_whitespace().map(str::to_owned));
            }
        }
        words
    }
}

impl Words for &String {
    fn words(self) -> Vec<String> {
        self.as_str().words()
    }
}

impl<S: AsRef<str> + std::fmt::Debug> Words for &[S] {
    fn words(self) -> Vec<String> {
        self.iter().map(|word| word.as_ref().to_owned()).collect()
    }
}

impl<S: AsRef<str> + std::fmt::Debug, const N: usize> Words for &[S; N] {
    fn words(self) -> Vec<String> {
        self.as_slice().words()
    }
}

impl<S: AsRef<str> + std::fmt::Debug> Words for &Vec<S> {
    fn words(self) -> Vec<String> {
        self.as_slice().words()
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

    pub(crate) fn bytes(&self, name: &str) -> Vec<u8> {
        std::fs::read(self.path(name)).unwrap()
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
        self.run(args).ended(code)
    }

    /// Runs what must be refused as bad input, with all of this said.
    #[track_caller]
    pub(crate) fn refuses<'a>(&self, args: impl Words, parts: impl Parts<'a>) -> Did {
        let did = self.ends(args, 2);
        did.assert_err(parts);
        did
    }

    /// The same as [`Room::run`] with words that need not be Unicode.
    pub(crate) fn run_os<S: AsRef<OsStr> + std::fmt::Debug>(&self, args: &[S]) -> Did {
        let mut command = Command::new(env!("CARGO_BIN_EXE_evenhand"));
        command
            .current_dir(self.folder.path())
            .env_remove("NO_COLOR")
            .args(args);
        did(&args, &command.output().unwrap())
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

pub(crate) fn did(args: &impl std::fmt::Debug, output: &Output) -> Did {
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    let did = Did {
        args: format!("{args:?}"),
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

/// The values of a JSON list.
pub(crate) fn items(value: &serde_json::Value) -> &[serde_json::Value] {
    value
        .as_array()
        .unwrap_or_else(|| panic!("{value} is no list"))
}

/// A JSON text.
pub(crate) fn string(value: &serde_json::Value) -> &str {
    value
        .as_str()
        .unwrap_or_else(|| panic!("{value} is no text"))
}

/// The ends of an interval, and its estimate between them.
pub(crate) fn interval(value: &serde_json::Value) -> [f64; 3] {
    ["low", "estimate", "high"].map(|key| number(&value[key]))
}

/// A number of every row of a list.
pub(crate) fn numbers(rows: &serde_json::Value, key: &str) -> Vec<f64> {
    items(rows).iter().map(|row| number(&row[key])).collect()
}

/// Two numbers of every row of a list, such as inputs and outputs.
pub(crate) fn pairs(rows: &serde_json::Value, x: &str, y: &str) -> Vec<(f64, f64)> {
    let pair = |row: &serde_json::Value| (number(&row[x]), number(&row[y]));
    items(rows).iter().map(pair).collect()
}

/// The points of a curve's table, below its header.
pub(crate) fn points_of_csv(table: &str) -> Vec<(f64, f64)> {
    let row = |row: &str| {
        let (x, y) = row.split_once(',').unwrap();
        (x.parse().unwrap(), y.parse().unwrap())
    };
    table.lines().skip(1).map(row).collect()
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
