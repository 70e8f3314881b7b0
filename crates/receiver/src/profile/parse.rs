//! Reading a profile file, with the place of every fault.

use std::ops::Range;

use serde::Deserialize as _;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::nearest_name::nearest_name;
use super::{Profile, ProfileError, ProfileFile};

const TOP: &[&str] = &["name", "title", "notes", "curve", "grid"];
const CURVE: &[&str] = &[
    "kind",
    "interpolation",
    "points",
    "entries",
    "ends",
    "min_gap",
];
const POINTS: &[&str] = &["min", "max"];
const GRID: &[&str] = &["input_steps", "output_steps", "rounding"];

impl Profile {
    /// Reads the text of a profile file; `file` is its name for messages.
    ///
    /// # Errors
    /// The first fault in the text: no TOML, a key that is unknown, missing or does not belong to
    /// the kind of curve, a value of the wrong type or outside its range.
    pub fn parse(text: &str, file: &str) -> Result<Self, ProfileError> {
        let syntax = |error: &toml::de::Error| {
            ProfileError::at(
                file,
                text,
                error.span().unwrap_or(0..0),
                error.message().trim().to_owned(),
                "a profile has name, title, [curve] and perhaps [grid]".to_owned(),
            )
        };
        let table = DeTable::parse(text).map_err(|error| syntax(&error))?;
        unknown_keys(table.get_ref(), &[], text, file)?;
        let raw = ProfileFile::deserialize(toml::de::Deserializer::from(table.clone()))
            .map_err(|error| syntax(&error))?;
        Self::try_from(raw).map_err(|flaw| {
            ProfileError::at(
                file,
                text,
                place(table.get_ref(), flaw.key()),
                flaw.message().to_owned(),
                flaw.help().to_owned(),
            )
        })
    }
}

fn known_in(path: &[&str]) -> Option<&'static [&'static str]> {
    match path {
        [] => Some(TOP),
        ["curve"] => Some(CURVE),
        ["curve", "points"] => Some(POINTS),
        ["grid"] => Some(GRID),
        _ => None,
    }
}

fn unknown_keys(
    table: &DeTable<'_>,
    path: &[&str],
    text: &str,
    file: &str,
) -> Result<(), ProfileError> {
    let Some(known) = known_in(path) else {
        return Ok(());
    };
    for (key, value) in table {
        let word: &str = key.get_ref();
        if !known.contains(&word) {
            let near = nearest_name(word, known).unwrap_or("name");
            return Err(ProfileError::at(
                file,
                text,
                key.span(),
                format!("unknown key \u{201c}{word}\u{201d}"),
                format!("the nearest known key here is {near}"),
            ));
        }
        if let DeValue::Table(inner) = value.get_ref() {
            let mut deeper = path.to_vec();
            deeper.push(word);
            unknown_keys(inner, &deeper, text, file)?;
        }
    }
    Ok(())
}

/// Where a key's value stands, or as much of the way there as the text goes.
fn place(table: &DeTable<'_>, key: &[&str]) -> Range<usize> {
    let mut span = 0..0;
    let mut here = Some(table);
    for word in key {
        let Some((name, value)) = here.and_then(|table| find(table, word)) else {
            break;
        };
        span = match value.get_ref() {
            // A whole table is pointed at by its name.
            DeValue::Table(_) => name.span(),
            _ => value.span(),
        };
        here = value.get_ref().as_table();
    }
    span
}

type Entry<'t, 'i> = (
    &'t Spanned<toml::de::DeString<'i>>,
    &'t Spanned<DeValue<'i>>,
);

fn find<'t, 'i>(table: &'t DeTable<'i>, word: &str) -> Option<Entry<'t, 'i>> {
    table
        .iter()
        .find(|(name, _)| <_ as AsRef<str>>::as_ref(name.get_ref()) == word)
}
