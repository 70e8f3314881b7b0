//! Where the figures of a rig stand in its text.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue, Error};

/// A rig's text as tables of keys, each with its place.
pub(crate) struct Places<'t> {
    text: &'t str,
    table: Spanned<DeTable<'t>>,
}

impl<'t> Places<'t> {
    /// Of a text.
    ///
    /// # Errors
    /// Text that is no TOML.
    pub(crate) fn parse(text: &'t str) -> Result<Self, Error> {
        let table = DeTable::parse(text)?;
        Ok(Self { text, table })
    }

    /// Where the value of a key such as `lever.nib_arm_mm` stands, in bytes; `None` where it is not set.
    pub(crate) fn of(&self, key: &str) -> Option<Range<usize>> {
        let mut table = self.table.get_ref();
        let mut place = None;
        for word in key.split('.') {
            // An inner value that is no table holds no further words.
            let value = table.get(word)?;
            place = Some(value.span());
            if let DeValue::Table(inner) = value.get_ref() {
                table = inner;
            }
        }
        place
    }

    /// The value of a key as it is written.
    pub(crate) fn written(&self, key: &str) -> Option<&'t str> {
        self.text.get(self.of(key)?)
    }

    pub(crate) fn has(&self, key: &str) -> bool {
        self.of(key).is_some()
    }
}

/// The decimal comma of the line that holds this place, as a number with a point; `None` where there is none.
pub(crate) fn decimal_comma(text: &str, place: &Range<usize>) -> Option<String> {
    let start = text.get(..place.start)?.rfind('\n').map_or(0, |at| at + 1);
    let line = text.get(start..)?.lines().next()?;
    let value = line.split_once('=')?.1.trim();
    let value = value.split('#').next()?.trim_end();
    let (whole, rest) = value.split_once(',')?;
    let is_digits = |word: &str| !word.is_empty() && word.bytes().all(|b| b.is_ascii_digit());
    (is_digits(whole.trim_start_matches('-')) && is_digits(rest)).then(|| format!("{whole}.{rest}"))
}
