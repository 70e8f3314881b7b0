//! A TOML file walked key by key: every value with its place, every fault kept until the end.

use std::cell::RefCell;
use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use crate::clean::quoted;
use crate::fault::{Fault, Faults, MOST_FAULTS, Remedy};
use crate::names::{hint, nearly};
use crate::place::{Located, Place, Walk};

/// A TOML file that is being read. Getters return `None` where a key is not set, and where its value is wrong, which
/// they keep as a fault; [`TomlFile::finish`] tells whether anything was.
#[derive(Debug)]
pub struct TomlFile<'t> {
    name: String,
    text: &'t str,
    table: Spanned<DeTable<'t>>,
    faults: RefCell<Vec<Found>>,
    /// Unknown keys that were refused, each with the heading it stands under.
    unknown: RefCell<Vec<(String, String)>>,
}

/// A fault whose line is counted once all are known.
#[derive(Debug)]
struct Found {
    span: Option<Range<usize>>,
    fault: Fault,
}

/// What a number has to be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Rule {
    /// Any finite number.
    Finite,
    /// 0 or more.
    NotNegative,
    /// More than 0.
    Positive,
    /// From the first to the second, both included.
    Between(f64, f64),
}

impl Rule {
    /// Whether a number is so.
    #[must_use]
    pub fn holds(self, value: f64) -> bool {
        match self {
            Self::Finite => value.is_finite(),
            Self::NotNegative => value.is_finite() && value >= 0.0,
            Self::Positive => value.is_finite() && value > 0.0,
            Self::Between(least, most) => (least..=most).contains(&value),
        }
    }

    /// What a number has to be, as a noun.
    #[must_use]
    pub fn in_words(self) -> String {
        match self {
            Self::Finite => "a finite number".to_owned(),
            Self::NotNegative => "a number of 0 or more".to_owned(),
            Self::Positive => "a number above 0".to_owned(),
            Self::Between(least, most) => format!("a number from {least} to {most}"),
        }
    }
}

impl<'t> TomlFile<'t> {
    /// Of a text; `outline` says what such a file has, as a sentence without a full stop.
    ///
    /// # Errors
    /// Every place at which the text is no TOML.
    pub fn parse(name: &str, text: &'t str, outline: &str) -> Result<Self, Faults> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let (table, errors) = DeTable::parse_recoverable(text);
        let faults: Vec<Fault> = errors
            .iter()
            .map(|error| {
                let span = error.span().unwrap_or(0..0);
                let remedy = decimal_comma(text, &span).map_or_else(
                    || outline.to_owned(),
                    |number| format!("write a decimal point, not a comma: {number}"),
                );
                Fault::at(Place::of(text, span), error.message().trim(), "", remedy)
            })
            .collect();
        match Faults::of(name, Some(text), faults) {
            Some(faults) => Err(faults),
            None => Ok(Self {
                name: name.to_owned(),
                text,
                table,
                faults: RefCell::default(),
                unknown: RefCell::default(),
            }),
        }
    }

    /// The keys above all tables.
    #[must_use]
    pub fn root(&self) -> Node<'_, 't> {
        Node {
            file: self,
            table: self.table.get_ref(),
            place: 0..0,
            heading: String::new(),
        }
    }

    /// The text.
    #[must_use]
    pub fn text(&self) -> &'t str {
        self.text
    }

    /// Behind the last letter: where what lacks could be written.
    #[must_use]
    pub fn end(&self) -> Range<usize> {
        let end = self.text.trim_end().len();
        end..end
    }

    /// What stands at a place.
    #[must_use]
    pub fn written(&self, span: &Range<usize>) -> &'t str {
        self.text.get(span.clone()).unwrap_or_default()
    }

    /// Keeps a fault.
    pub fn fault(
        &self,
        span: Range<usize>,
        found: impl Into<String>,
        expected: impl Into<String>,
        remedy: impl Into<Remedy>,
    ) {
        let mut fault = Fault::of_file(found, remedy);
        fault.expected = expected.into();
        self.keep(Some(span), fault);
    }

    fn keep(&self, span: Option<Range<usize>>, fault: Fault) {
        let mut faults = self.faults.borrow_mut();
        if faults.len() < MOST_FAULTS {
            faults.push(Found { span, fault });
        }
    }

    /// Keeps a fault of the file as a whole.
    pub fn fault_of_file(&self, found: impl Into<String>, remedy: impl Into<Remedy>) {
        self.keep(None, Fault::of_file(found, remedy));
    }

    /// Whether anything is wrong so far.
    #[must_use]
    pub fn has_faults(&self) -> bool {
        !self.faults.borrow().is_empty()
    }

    /// What was read; where that is nothing although no fault was kept, the file as a whole is at fault.
    ///
    /// # Errors
    /// Everything that is wrong.
    pub fn finish<T>(self, value: Option<T>) -> Result<T, Faults> {
        let faults = placed(self.text, self.faults.into_inner());
        match (Faults::of(&self.name, Some(self.text), faults), value) {
            (Some(faults), _) => Err(faults),
            (None, Some(value)) => Ok(value),
            (None, None) => Err(Faults::one(
                &self.name,
                Fault::of_file("the file lacks what it needs", ""),
            )),
        }
    }
}

/// The faults with their places, counted in one walk through the text.
fn placed(text: &str, mut found: Vec<Found>) -> Vec<Fault> {
    found.sort_by_key(|found| found.span.as_ref().map(|span| span.start));
    let mut walk = Walk::new(text);
    found
        .into_iter()
        .map(|Found { span, mut fault }| {
            fault.place = span.map(|span| {
                let (line, column) = walk.to(span.start);
                Place {
                    line,
                    column,
                    span: Some(span),
                }
            });
            fault
        })
        .collect()
}

/// A table of a file.
#[derive(Clone, Debug)]
pub struct Node<'f, 't> {
    file: &'f TomlFile<'t>,
    table: &'f DeTable<'t>,
    place: Range<usize>,
    /// Its name, such as `lever.calibration`; empty at the top.
    heading: String,
}

/// A value of a file.
#[derive(Clone, Copy, Debug)]
pub struct Value<'f, 't> {
    file: &'f TomlFile<'t>,
    value: &'f Spanned<DeValue<'t>>,
}

impl<'f, 't> Node<'f, 't> {
    /// Refuses every key but these.
    pub fn only(&self, known: &[&str]) {
        for (key, _) in self.table {
            let word: &str = key.get_ref();
            if known.contains(&word) {
                continue;
            }
            let list = known.join(", ");
            let remedy = match hint(word, known) {
                Some(near) => format!("write {near} if that is meant; here may stand {list}"),
                None => format!("remove it; here may stand {list}"),
            };
            let found = format!("the unknown key {}{}", quoted(word), self.within());
            self.file.fault(key.span(), found, "", remedy);
            let unknown = (self.heading.clone(), word.to_owned());
            self.file.unknown.borrow_mut().push(unknown);
        }
    }

    /// Refuses known keys that do not belong to this kind of table.
    pub fn only_of_kind(&self, known: &[&str], belong: &[&str], kind: &str) {
        let strangers = known.iter().filter(|key| !belong.contains(key));
        for key in strangers.filter(|key| self.has(key)) {
            self.file.fault(
                self.span_of(key),
                format!("{key} does not belong to kind {kind}"),
                "",
                "remove it or choose the kind it belongs to",
            );
        }
    }

    /// Tells all keys that lack at once, but those that a key refused by [`Node::only`] is a mistyped form of.
    pub fn needs(&self, keys: &[&str], remedy: impl Into<Remedy>) {
        let unknown = self.file.unknown.borrow();
        let is_mistyped = |key: &str| {
            unknown
                .iter()
                .any(|(heading, there)| *heading == self.heading && hint(there, &[key]).is_some())
        };
        let lacks: Vec<&str> = keys
            .iter()
            .copied()
            .filter(|key| !self.has(key) && !is_mistyped(key))
            .collect();
        drop(unknown);
        if !lacks.is_empty() {
            let found = format!("no {}{}", lacks.join(", "), self.within());
            self.file.fault(self.place.clone(), found, "", remedy);
        }
    }

    fn within(&self) -> String {
        if self.heading.is_empty() {
            String::new()
        } else {
            format!(" in [{}]", self.heading)
        }
    }

    /// The keys that are set, in order of their names.
    pub fn keys(&self) -> impl Iterator<Item = &'f str> {
        let table = self.table;
        table.iter().map(|(key, _)| key.get_ref().as_ref())
    }

    /// Whether a key is set.
    #[must_use]
    pub fn has(&self, key: &str) -> bool {
        self.value(key).is_some()
    }

    /// Keeps a fault at a place of the file.
    pub fn fault(
        &self,
        span: Range<usize>,
        found: impl Into<String>,
        expected: impl Into<String>,
        remedy: impl Into<Remedy>,
    ) {
        self.file.fault(span, found, expected, remedy);
    }

    /// Where the table begins.
    #[must_use]
    pub fn span(&self) -> Range<usize> {
        self.place.clone()
    }

    /// Where a key's value stands; of the table where it is not set.
    #[must_use]
    pub fn span_of(&self, key: &str) -> Range<usize> {
        self.value(key)
            .map_or_else(|| self.span(), |value| value.span())
    }

    /// A value of any kind.
    #[must_use]
    pub fn value(&self, key: &str) -> Option<Value<'f, 't>> {
        let (_, value) = self.table.iter().find(|(name, _)| {
            let name: &str = name.get_ref();
            name == key
        })?;
        Some(Value {
            file: self.file,
            value,
        })
    }

    /// A text.
    #[must_use]
    pub fn text(&self, key: &str) -> Option<Located<String>> {
        self.value(key)?.text(key)
    }

    /// A number that keeps a rule.
    #[must_use]
    pub fn number(&self, key: &str, rule: Rule, remedy: &str) -> Option<Located<f64>> {
        self.value(key)?.number(key, rule, remedy)
    }

    /// A whole number within limits, both included.
    #[must_use]
    pub fn whole(&self, key: &str, limits: (u64, u64), remedy: &str) -> Option<Located<u64>> {
        self.value(key)?.whole(key, limits, remedy)
    }

    /// True or false.
    #[must_use]
    pub fn flag(&self, key: &str) -> Option<Located<bool>> {
        let value = self.value(key)?;
        match value.value.get_ref() {
            DeValue::Boolean(flag) => Some(value.located(*flag)),
            _ => value.wrong(
                key,
                "true or false",
                &format!("write {key} = true or false"),
            ),
        }
    }

    /// One of a few words, each with what it means.
    #[must_use]
    pub fn choice<T: Clone>(&self, key: &str, words: &[(&str, T)]) -> Option<Located<T>> {
        let value = self.value(key)?;
        let list: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
        let expected = format!("one of {}", list.join(", "));
        let first = list.first().copied().unwrap_or_default();
        let remedy = |word: &str| format!("write {key} = \"{word}\"");
        let DeValue::String(text) = value.value.get_ref() else {
            return value.wrong(key, &expected, &remedy(first));
        };
        let near = nearly(text, &list).or_else(|| hint(text, &list));
        let remedy = remedy(near.unwrap_or(first));
        match words.iter().find(|(word, _)| *word == text) {
            Some((_, meaning)) => Some(value.located(meaning.clone())),
            None => value.wrong(key, &expected, &remedy),
        }
    }

    /// A table of it.
    #[must_use]
    pub fn table(&self, key: &str) -> Option<Self> {
        let value = self.value(key)?;
        match value.value.get_ref() {
            DeValue::Table(table) => Some(self.inner(key, table, value.span())),
            _ => value.wrong(key, "a table", &format!("write a heading [{key}]")),
        }
    }

    /// Tables of the same name, `[[key]]`; none where the key is not set.
    #[must_use]
    pub fn tables(&self, key: &str) -> Vec<Self> {
        let Some(value) = self.value(key) else {
            return Vec::new();
        };
        let remedy = format!("write a heading [[{key}]]");
        let DeValue::Array(items) = value.value.get_ref() else {
            let _: Option<()> = value.wrong(key, "tables", &remedy);
            return Vec::new();
        };
        items
            .iter()
            .filter_map(|item| match item.get_ref() {
                DeValue::Table(table) => Some(self.inner(key, table, item.span())),
                _ => {
                    let item = Value {
                        file: self.file,
                        value: item,
                    };
                    item.wrong(key, "a table", &remedy)
                }
            })
            .collect()
    }

    /// The values of a list.
    #[must_use]
    pub fn list(&self, key: &str, remedy: &str) -> Option<Vec<Value<'f, 't>>> {
        self.value(key)?.list(key, remedy)
    }

    fn inner(&self, key: &str, table: &'f DeTable<'t>, place: Range<usize>) -> Self {
        let heading = if self.heading.is_empty() {
            key.to_owned()
        } else {
            format!("{}.{key}", self.heading)
        };
        Self {
            file: self.file,
            table,
            place,
            heading,
        }
    }
}

impl<'f, 't> Value<'f, 't> {
    /// Where it stands.
    #[must_use]
    pub fn span(&self) -> Range<usize> {
        self.value.span()
    }

    /// As it is written.
    #[must_use]
    pub fn written(&self) -> &'t str {
        self.file.written(&self.span())
    }

    fn located<T>(&self, value: T) -> Located<T> {
        Located {
            value,
            span: self.span(),
        }
    }

    /// Keeps that it is wrong; `key` is what it is the value of.
    pub fn wrong<T>(&self, key: &str, expected: &str, remedy: &str) -> Option<T> {
        let found = format!("{key} = {}", quoted(self.written()));
        self.file.fault(self.span(), found, expected, remedy);
        None
    }

    /// A text; dates and times count as they are written.
    #[must_use]
    pub fn text(&self, key: &str) -> Option<Located<String>> {
        match self.value.get_ref() {
            DeValue::String(text) => Some(self.located(text.to_string())),
            DeValue::Datetime(date) => Some(self.located(date.to_string())),
            DeValue::Array(_) | DeValue::Table(_) => {
                self.wrong(key, "a text in quotes", "write one text in quotes")
            }
            _ => {
                let remedy = format!("write {key} = \"{}\"", self.written());
                self.wrong(key, "a text in quotes", &remedy)
            }
        }
    }

    /// A number that keeps a rule.
    #[must_use]
    pub fn number(&self, key: &str, rule: Rule, remedy: &str) -> Option<Located<f64>> {
        match as_number(self.value.get_ref()) {
            Some(number) if rule.holds(number) => Some(self.located(number)),
            _ => self.wrong(key, &rule.in_words(), remedy),
        }
    }

    /// A whole number of 0 or more, if it is one.
    #[must_use]
    pub fn as_whole(&self) -> Option<u64> {
        match self.value.get_ref() {
            DeValue::Integer(integer) => {
                u64::from_str_radix(integer.as_str(), integer.radix()).ok()
            }
            _ => None,
        }
    }

    /// A whole number within limits, both included.
    #[must_use]
    pub fn whole(&self, key: &str, limits: (u64, u64), remedy: &str) -> Option<Located<u64>> {
        match self
            .as_whole()
            .filter(|whole| (limits.0..=limits.1).contains(whole))
        {
            Some(whole) => Some(self.located(whole)),
            None => {
                let expected = format!("a whole number from {} to {}", limits.0, limits.1);
                self.wrong(key, &expected, remedy)
            }
        }
    }

    /// The values of a list.
    #[must_use]
    pub fn list(&self, key: &str, remedy: &str) -> Option<Vec<Self>> {
        match self.value.get_ref() {
            DeValue::Array(items) => Some(
                items
                    .iter()
                    .map(|value| Self {
                        file: self.file,
                        value,
                    })
                    .collect(),
            ),
            _ => self.wrong(key, "a list", remedy),
        }
    }

    /// A list of two finite numbers.
    #[must_use]
    pub fn pair(&self, key: &str, remedy: &str) -> Option<Located<[f64; 2]>> {
        self.pair_of(key, Rule::Finite, remedy)
    }

    /// A list of two numbers that keep a rule.
    #[must_use]
    pub fn pair_of(&self, key: &str, rule: Rule, remedy: &str) -> Option<Located<[f64; 2]>> {
        let items = self.list(key, remedy)?;
        let [first, second] = items.as_slice() else {
            return self.wrong(key, "a pair of numbers", remedy);
        };
        // Both are looked at, so that both faults are listed.
        let (first, second) = (
            first.number(key, rule, remedy),
            second.number(key, rule, remedy),
        );
        let (first, second) = (first?, second?);
        Some(self.located([first.value, second.value]))
    }

    /// Whether it is a text.
    #[must_use]
    pub fn is_text(&self) -> bool {
        matches!(self.value.get_ref(), DeValue::String(_))
    }

    /// Whether it is a number.
    #[must_use]
    pub fn is_number(&self) -> bool {
        as_number(self.value.get_ref()).is_some()
    }

    /// Whether it is a table.
    #[must_use]
    pub fn is_table(&self) -> bool {
        matches!(self.value.get_ref(), DeValue::Table(_))
    }
}

fn as_number(value: &DeValue<'_>) -> Option<f64> {
    match value {
        DeValue::Integer(integer) => {
            let whole = i64::from_str_radix(integer.as_str(), integer.radix()).ok()?;
            #[expect(
                clippy::cast_precision_loss,
                reason = "counts and forces are far below 2⁵³"
            )]
            let number = whole as f64;
            Some(number)
        }
        DeValue::Float(float) => float.as_str().parse().ok(),
        _ => None,
    }
}

/// The decimal comma of the line that holds this place, as a number with a point; `None` where there is none.
fn decimal_comma(text: &str, place: &Range<usize>) -> Option<String> {
    let start = text.get(..place.start)?.rfind('\n').map_or(0, |at| at + 1);
    let line = text.get(start..)?.lines().next()?;
    let value = line.split_once('=')?.1.trim();
    let value = value.split('#').next()?.trim_end();
    let (whole, rest) = value.split_once(',')?;
    let is_digits = |word: &str| !word.is_empty() && word.bytes().all(|b| b.is_ascii_digit());
    (is_digits(whole.trim_start_matches('-')) && is_digits(rest)).then(|| format!("{whole}.{rest}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn file(text: &str) -> TomlFile<'_> {
        TomlFile::parse("f.toml", text, "a file has a name").unwrap()
    }

    fn messages(file: TomlFile<'_>) -> Vec<String> {
        let faults = file.finish(None::<()>).unwrap_err();
        faults
            .iter()
            .map(|fault| {
                let line = fault.place.as_ref().map_or(0, |place| place.line);
                format!("{line}: {fault}; {}", fault.remedy.text)
            })
            .collect()
    }

    #[test]
    fn values_come_with_their_places() {
        let file =
            file("name = \"a\"\nn = 12\n[t]\nf = 1.5\npairs = [[1, 2.5]]\nday = 2026-03-04\n");
        let root = file.root();
        assert_eq!(root.text("name").unwrap().value, "a");
        assert_eq!(root.number("n", Rule::Positive, "").unwrap().value, 12.0);
        assert_eq!(root.whole("n", (1, 20), "").unwrap().span, 15..17);
        let table = root.table("t").unwrap();
        assert_eq!(table.number("f", Rule::Finite, "").unwrap().value, 1.5);
        let pairs = table.list("pairs", "").unwrap();
        assert_eq!(pairs[0].pair("pairs", "").unwrap().value, [1.0, 2.5]);
        assert_eq!(table.text("day").unwrap().value, "2026-03-04");
        assert!(root.text("none").is_none() && !file.has_faults());
        assert!(file.finish(Some(())).is_ok());
    }

    #[test]
    fn every_fault_is_told_at_once() {
        let file = file("nam = 1\nf = nan\nn = 2.5\nkind = \"c\"\n[t]\nx = 1\n");
        let root = file.root();
        root.only(&["name", "f", "n", "kind", "t"]);
        root.needs(&["name", "f", "last"], "write them");
        assert!(root.number("f", Rule::Finite, "write a number").is_none());
        assert!(root.whole("n", (1, 9), "write 2").is_none());
        assert!(root.choice("kind", &[("a", 1), ("b", 2)]).is_none());
        root.table("t").unwrap().only(&["y"]);
        let messages = messages(file);
        assert_eq!(messages.len(), 6, "{messages:#?}");
        assert!(
            messages
                .iter()
                .any(|t| t.contains("`nam`") && t.contains("write name")),
            "{messages:#?}"
        );
        assert!(
            messages.iter().any(|t| t.contains("no last; write")),
            "{messages:#?}"
        );
        assert!(
            messages
                .iter()
                .any(|t| t.starts_with("6: ") && t.contains("in [t]")),
            "{messages:#?}"
        );
        assert!(
            messages.iter().any(|t| t.contains("one of a, b")),
            "{messages:#?}"
        );
    }

    #[test]
    fn faults_have_their_places_in_whatever_order_they_are_found() {
        let text = "a = 1\n'é' = 'bé'\nc = 3\n";
        let file = file(text);
        for key in ["c", "a", "bé"] {
            let place = text.find(key).unwrap();
            file.fault(place..place + 1, key, "", "write it");
        }
        file.fault_of_file("all", "write it");
        let messages = messages(file);
        assert_eq!(
            messages,
            [
                "0: all; write it",
                "1: a; write it",
                "2: bé; write it",
                "3: c; write it"
            ]
        );
    }

    #[test]
    fn keys_of_another_kind_are_told_where_their_values_stand() {
        let file = file("kind = \"power\"\nends = \"free\"\nentries = 3\n");
        let known = ["kind", "ends", "entries"];
        file.root().only_of_kind(&known, &["kind"], "power");
        let messages = messages(file);
        assert_eq!(messages.len(), 2, "{messages:#?}");
        assert!(
            messages[0].starts_with("2: ends does not belong to kind power"),
            "{messages:#?}"
        );
        assert!(messages[1].starts_with("3: entries"), "{messages:#?}");
    }

    #[test]
    fn the_nearest_word_is_proposed() {
        let words = [("linear", 1), ("catmull-rom", 2), ("natural-cubic", 3)];
        for (word, near) in [
            ("catmul-rom", "catmull-rom"),
            ("natural", "natural-cubic"),
            ("Natural-Cubik", "natural-cubic"),
            ("x", "linear"),
        ] {
            let text = format!("kind = \"{word}\"\n");
            let file = file(&text);
            assert!(file.root().choice("kind", &words).is_none());
            let messages = messages(file);
            assert!(
                messages[0].contains(&format!("write kind = \"{near}\"")),
                "{messages:?}"
            );
        }
    }

    #[test]
    fn text_that_is_no_toml_is_told_line_by_line() {
        let text = "a = 1,5\nb = \nc = 3\n";
        let faults = TomlFile::parse("f.toml", text, "outline").unwrap_err();
        assert_eq!(faults.line(), Some(1));
        assert!(faults.first().remedy.text.contains("1.5"), "{faults:?}");
        assert!(
            faults.iter().any(|f| f.place.as_ref().unwrap().line == 2),
            "{faults:?}"
        );
    }
}
