//! The header of a table: which column holds what, in which unit.

use crate::clean::quoted;
use crate::names::{folded, nearly, words};
use crate::number::written_number;

/// A kind of column, with the names that people give it.
#[derive(Clone, Copy, Debug)]
pub struct Quantity<K: 'static> {
    /// What it is to the program.
    pub kind: K,
    /// What it is in a word, such as "force".
    pub meaning: &'static str,
    /// Names that say what it is and its unit, with the unit: `("force_gf", "gf")`. The first is the one to write.
    pub columns: &'static [(&'static str, &'static str)],
    /// Words for it that leave its unit open, folded: `weight` in `Weight (g)`.
    pub words: &'static [&'static str],
    /// Words for its units, folded, each with the unit they mean.
    pub units: &'static [(&'static str, &'static str)],
    /// Whether a word without a unit says enough; else the cells must have one.
    pub is_unitless: bool,
    /// Whether a line that names it is a header.
    pub is_essential: bool,
}

impl<K> Quantity<K> {
    /// A kind of column without units by which no header is known; `meaning` is what it is in a word.
    #[must_use]
    pub const fn plain(
        kind: K,
        meaning: &'static str,
        columns: &'static [(&'static str, &'static str)],
    ) -> Self {
        Self {
            kind,
            meaning,
            columns,
            words: &[],
            units: &[],
            is_unitless: true,
            is_essential: false,
        }
    }

    /// The unit that a word means.
    #[must_use]
    pub fn unit(&self, word: &str) -> Option<&'static str> {
        let word = folded(word);
        let found = self.units.iter().find(|(name, _)| *name == word);
        found.map(|(_, unit)| *unit)
    }

    /// The names to write, joined for a sentence.
    #[must_use]
    pub fn names(&self) -> String {
        let names: Vec<&str> = self.columns.iter().map(|(name, _)| *name).collect();
        names.join(", ")
    }
}

/// What a header's cell turned out to name.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Named<K> {
    /// A known column; its unit, or none where the word leaves it open.
    Known(K, Option<&'static str>),
    /// A known word with a unit that it cannot have.
    WrongUnit(K, String),
    /// Nearly a known name: what should be written.
    Nearly(&'static str),
    /// Nothing.
    Blank,
    /// A number, which a header does not have.
    Number,
    /// Something else.
    Unknown,
}

/// What a name in a header means.
pub(crate) fn named<K: Copy + PartialEq>(name: &str, quantities: &[Quantity<K>]) -> Named<K> {
    let whole = folded(name);
    if whole.is_empty() {
        return if name.trim().is_empty() {
            Named::Blank
        } else {
            Named::Unknown
        };
    }
    for quantity in quantities {
        let exact = quantity
            .columns
            .iter()
            .find(|(column, _)| folded(column) == whole);
        if let Some((_, unit)) = exact {
            return Named::Known(quantity.kind, Some(*unit).filter(|unit| !unit.is_empty()));
        }
    }
    if written_number(name, true).is_ok_and(|number| number.suffix.is_empty()) {
        return Named::Number;
    }
    let words = words(name);
    if let Some(found) = word_and_unit(&words, quantities) {
        return found;
    }
    for quantity in quantities {
        let columns: Vec<&'static str> = quantity.columns.iter().map(|(name, _)| *name).collect();
        if let Some(near) = nearly(&whole, &columns) {
            return Named::Nearly(near);
        }
        // A mistyped word with a unit behind it, or alone.
        for end in 1..=words.len() {
            let (stem, rest) = (words[..end].concat(), words[end..].concat());
            let is_unit = rest.is_empty() || quantity.unit(&rest).is_some();
            if is_unit && nearly(&stem, quantity.words).is_some() {
                let unit = quantity.unit(&rest);
                let column = quantity.columns.iter().find(|(_, of)| Some(*of) == unit);
                return Named::Nearly(column.unwrap_or(&quantity.columns[0]).0);
            }
        }
    }
    Named::Unknown
}

/// A known word before or behind a unit, or alone.
fn word_and_unit<K: Copy>(words: &[String], quantities: &[Quantity<K>]) -> Option<Named<K>> {
    let mut wrong = None;
    for quantity in quantities {
        let is_word = |part: &[String]| quantity.words.contains(&part.concat().as_str());
        if is_word(words) {
            return Some(Named::Known(quantity.kind, None));
        }
        for split in 1..words.len() {
            let (first, last) = words.split_at(split);
            for (word, unit) in [(first, last), (last, first)] {
                if !is_word(word) {
                    continue;
                }
                let unit = unit.concat();
                if let Some(unit) = quantity.unit(&unit) {
                    return Some(Named::Known(quantity.kind, Some(unit)));
                }
                // Only what stands behind the word is meant as its unit.
                if word.as_ptr() == first.as_ptr() && last.len() == 1 {
                    wrong = Some(Named::WrongUnit(quantity.kind, unit));
                }
            }
        }
    }
    wrong
}

/// What is wrong with a word that has no unit, or another's.
pub(crate) fn unit_fault<K>(
    name: &str,
    quantity: &Quantity<K>,
    unit: Option<&str>,
) -> (String, String) {
    let found = match unit {
        None => format!("the column {}, which has no unit", quoted(name)),
        Some(unit) => format!(
            "the column {} with {} as the unit of a {}",
            quoted(name),
            quoted(unit),
            quantity.meaning
        ),
    };
    (
        found,
        format!("name it with its unit: {}", quantity.names()),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    const QUANTITIES: [Quantity<u8>; 2] = [
        Quantity {
            kind: 1,
            meaning: "force",
            columns: &[("force_gf", "gf"), ("force_n", "n"), ("mass_g", "g")],
            words: &["force", "weight"],
            units: &[("gf", "gf"), ("n", "n"), ("g", "g")],
            is_unitless: false,
            is_essential: true,
        },
        Quantity {
            kind: 2,
            meaning: "reading",
            columns: &[("reported_percent", "percent"), ("raw", "raw")],
            words: &["reading", "pressure"],
            units: &[("percent", "percent"), ("raw", "raw")],
            is_unitless: false,
            is_essential: true,
        },
    ];

    #[test]
    fn names_as_people_write_them() {
        for (name, kind, unit) in [
            ("force_gf", 1, Some("gf")),
            ("Force [gf]", 1, Some("gf")),
            ("FORCE (N)", 1, Some("n")),
            ("Weight (g)", 1, Some("g")),
            ("Weight g", 1, Some("g")),
            ("Pressure %", 2, Some("percent")),
            ("Reading(%)", 2, Some("percent")),
            ("% reading", 2, Some("percent")),
            ("raw reading", 2, Some("raw")),
            ("Raw", 2, Some("raw")),
            ("Force", 1, None),
        ] {
            assert_eq!(named(name, &QUANTITIES), Named::Known(kind, unit), "{name}");
        }
    }

    #[test]
    fn what_is_nearly_known_is_not_passed_over() {
        for (name, near) in [
            ("forse_gf", "force_gf"),
            ("Wieght (g)", "mass_g"),
            ("reportd_percent", "reported_percent"),
            ("presure", "reported_percent"),
        ] {
            assert_eq!(named(name, &QUANTITIES), Named::Nearly(near), "{name}");
        }
        assert_eq!(
            named("Pressure (gf)", &QUANTITIES),
            Named::WrongUnit(2, "gf".to_owned())
        );
        for name in ["notes", "operator", "Date", "temperature (C)"] {
            assert_eq!(named(name, &QUANTITIES), Named::Unknown, "{name}");
        }
        assert_eq!(named("12.5", &QUANTITIES), Named::Number);
        assert_eq!(named("", &QUANTITIES), Named::Blank);
    }
}
