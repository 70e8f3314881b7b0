//! What is wrong with a file: where, what was found, what was expected, what to do.

use std::fmt;
use std::ops::Range;
use std::sync::Arc;

use crate::place::Place;

/// Faults of one file that are kept; a file with more is most likely no such file at all.
pub const MOST_FAULTS: usize = 1000;
/// Texts beyond this are not carried along to be shown.
const SHOWN_BYTES: usize = 1 << 20;

/// Something outside the file that a user can set to mend a fault. What it is called, and how it is set, differs
/// between a command line and a window, which word it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Setting {
    /// Number of levels of raw readings.
    Levels,
    /// Which sheet of a spreadsheet is read; the names there are.
    Sheet(Vec<String>),
    /// That no sheet is chosen.
    NoSheet,
    /// Which of several columns of one kind is read; their names.
    Column(Vec<String>),
    /// That a sample, or a unit of a comparison, is excluded.
    Exclude,
    /// The place in a file at which a new seating begins.
    NewSeating(String),
    /// That an existing file is replaced.
    Replace,
    /// That a map is rebuilt from its measurement.
    Rebuild,
    /// The force at which output leaves 0.
    LightAt,
    /// The force for full output, and the largest that can be reached.
    FullAt(String),
    /// How readings are given: percent, fractions, counts or events.
    ReadingsAs,
    /// The rig that a bench is described by.
    Rig,
    /// That no rig is given.
    NoRig,
    /// That forces are planned instead of listed.
    PlannedForces,
    /// That an export is a table for a program to read.
    ExportTable,
}

/// What to do about a fault.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Remedy {
    /// An imperative that holds whatever program reads the file; empty where only the setting helps.
    pub text: String,
    /// A setting outside the file that mends it as well.
    pub setting: Option<Setting>,
}

impl Remedy {
    /// With a setting that would do as well, or alone.
    #[must_use]
    pub fn or_set(mut self, setting: Setting) -> Self {
        self.setting = Some(setting);
        self
    }

    /// As a sentence; `worded` says how a setting is made, as an imperative such as "give the number".
    pub fn in_words(&self, worded: impl FnOnce(&Setting) -> String) -> String {
        match (&self.setting, self.text.is_empty()) {
            (None, _) => self.text.clone(),
            (Some(setting), true) => worded(setting),
            (Some(setting), false) => format!("{}, or {}", self.text, worded(setting)),
        }
    }
}

impl From<&str> for Remedy {
    fn from(text: &str) -> Self {
        Self {
            text: text.to_owned(),
            setting: None,
        }
    }
}

impl From<String> for Remedy {
    fn from(text: String) -> Self {
        Self {
            text,
            setting: None,
        }
    }
}

impl From<Setting> for Remedy {
    fn from(setting: Setting) -> Self {
        Self {
            text: String::new(),
            setting: Some(setting),
        }
    }
}

/// One thing that is wrong with a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// Where; `None` where the whole file is meant.
    pub place: Option<Place>,
    /// What was found, as a noun with what is foreign quoted.
    pub found: String,
    /// What was expected, as a noun; empty where nothing better can be said than what is wrong.
    pub expected: String,
    /// What to do about it.
    pub remedy: Remedy,
}

impl Fault {
    /// About a file as a whole.
    pub fn of_file(found: impl Into<String>, remedy: impl Into<Remedy>) -> Self {
        Self {
            place: None,
            found: found.into(),
            expected: String::new(),
            remedy: remedy.into(),
        }
    }

    /// At a place.
    pub fn at(
        place: Place,
        found: impl Into<String>,
        expected: impl Into<String>,
        remedy: impl Into<Remedy>,
    ) -> Self {
        Self {
            place: Some(place),
            found: found.into(),
            expected: expected.into(),
            remedy: remedy.into(),
        }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.expected.is_empty() {
            f.write_str(&self.found)
        } else {
            write!(f, "expected {}, found {}", self.expected, self.found)
        }
    }
}

/// Everything that is wrong with a file, in the order of their places; at least one fault.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Faults {
    // Boxed, so that a result costs little where all is well.
    inner: Box<Inner>,
}

#[derive(Clone, Debug, PartialEq, Eq)]
struct Inner {
    file: String,
    text: Option<Arc<str>>,
    first: Fault,
    rest: Vec<Fault>,
}

impl Faults {
    /// A single fault of a file.
    #[must_use]
    pub fn one(file: &str, fault: Fault) -> Self {
        let inner = Inner {
            file: file.to_owned(),
            text: None,
            first: fault,
            rest: Vec::new(),
        };
        Self {
            inner: Box::new(inner),
        }
    }

    /// A single fault of a text.
    #[must_use]
    pub fn one_in(file: &str, text: &str, fault: Fault) -> Self {
        let mut one = Self::one(file, fault);
        one.inner.text = shown(Some(text));
        one
    }

    /// Several, sorted by place; `None` without any.
    #[must_use]
    pub fn of(file: &str, text: Option<&str>, mut faults: Vec<Fault>) -> Option<Self> {
        faults.sort_by_key(|fault| fault.place.as_ref().map(|place| (place.line, place.column)));
        faults.dedup();
        let mut faults = faults.into_iter();
        let first = faults.next()?;
        let mut all = Self::one(file, first);
        all.inner.rest = faults.take(MOST_FAULTS - 1).collect();
        all.inner.text = shown(text);
        Some(all)
    }

    /// The file, as it was named.
    #[must_use]
    pub fn file(&self) -> &str {
        &self.inner.file
    }

    /// The first fault.
    #[must_use]
    pub fn first(&self) -> &Fault {
        &self.inner.first
    }

    /// All of them.
    pub fn iter(&self) -> impl Iterator<Item = &Fault> {
        std::iter::once(&self.inner.first).chain(&self.inner.rest)
    }

    /// How many there are.
    #[must_use]
    pub fn count(&self) -> usize {
        1 + self.inner.rest.len()
    }

    /// The text of the file, where it was text and not too long to show.
    #[must_use]
    pub fn source_text(&self) -> Option<&str> {
        self.inner.text.as_deref()
    }

    /// Line of the first fault, from 1.
    #[must_use]
    pub fn line(&self) -> Option<usize> {
        self.first().place.as_ref().map(|place| place.line)
    }

    /// Column of the first fault in characters, from 1.
    #[must_use]
    pub fn column(&self) -> Option<usize> {
        self.first().place.as_ref().map(|place| place.column)
    }

    /// Bytes of the text that the first fault means.
    #[must_use]
    pub fn span(&self) -> Option<Range<usize>> {
        self.first().place.as_ref()?.span.clone()
    }
}

fn shown(text: Option<&str>) -> Option<Arc<str>> {
    text.filter(|text| text.len() <= SHOWN_BYTES).map(Arc::from)
}

impl fmt::Display for Faults {
    /// The first fault on one line: `FILE:LINE:COLUMN: expected …, found …`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", crate::clean(self.file()))?;
        if let Some(place) = &self.first().place {
            write!(f, ":{}:{}", place.line, place.column)?;
        }
        write!(f, ": {}", self.first())
    }
}

impl std::error::Error for Faults {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn faults_are_sorted_and_the_first_is_displayed() {
        let text = "one\ntwo";
        let fault =
            |span: Range<usize>| Fault::at(Place::of(text, span), "`two`", "a number", "write 2");
        let faults = Faults::of("f.csv", Some(text), vec![fault(4..7), fault(0..3)]).unwrap();
        assert_eq!(faults.count(), 2);
        assert_eq!(
            faults.to_string(),
            "f.csv:1:1: expected a number, found `two`"
        );
        assert_eq!(
            faults.iter().nth(1).unwrap().place.as_ref().unwrap().line,
            2
        );
        assert_eq!(Faults::of("f.csv", None, Vec::new()), None);
    }

    #[test]
    fn a_remedy_is_worded_by_the_program() {
        let remedy = Remedy::from("add `# levels = 8192`").or_set(Setting::Levels);
        let words = |_: &Setting| "choose it".to_owned();
        assert_eq!(
            remedy.in_words(words),
            "add `# levels = 8192`, or choose it"
        );
        assert_eq!(Remedy::from(Setting::Levels).in_words(words), "choose it");
        assert_eq!(Remedy::from("save it").in_words(words), "save it");
    }
}
