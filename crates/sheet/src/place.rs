//! Where a cell stands.

use crate::{COLUMN_LIMIT, ROW_LIMIT, error::SheetError};

/// A row and a column, both from 0 and below their limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Place {
    pub(crate) row: u32,
    pub(crate) column: u32,
}

impl std::fmt::Display for Place {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(
            f,
            "{}{}",
            column_letters(self.column as usize),
            self.row + 1
        )
    }
}

/// Returns the letters that head a column: `A` for 0, `Z` for 25, `AA` for 26.
#[must_use]
pub fn column_letters(index: usize) -> String {
    let mut letters = Vec::new();
    let mut rest = index;
    loop {
        letters.push(char::from(
            b'A' + u8::try_from(rest % 26).unwrap_or_default(),
        ));
        // Bijective: AA follows Z, so one is taken off before the next digit.
        match (rest / 26).checked_sub(1) {
            Some(next) => rest = next,
            None => break,
        }
    }
    letters.iter().rev().collect()
}

/// Reads a reference such as `B7`.
pub(crate) fn parse_place(text: &str) -> Result<Place, SheetError> {
    let digits = text
        .find(|c: char| !c.is_ascii_alphabetic())
        .unwrap_or(text.len());
    let (letters, number) = text.split_at(digits);
    let mut column = 0_usize;
    for letter in letters.bytes() {
        let digit = usize::from(letter.to_ascii_uppercase() - b'A') + 1;
        column = column.saturating_mul(26).saturating_add(digit);
    }
    let column = column
        .checked_sub(1)
        .filter(|column| *column < COLUMN_LIMIT)
        .and_then(|column| u32::try_from(column).ok());
    match (column, parse_row(number)) {
        (Some(column), Some(row)) => Ok(Place { row, column }),
        _ => Err(SheetError::damaged(format!(
            "\"{}\" is not a cell reference",
            shortened(text)
        ))),
    }
}

/// Reads the number of a row, from 1, and returns it from 0.
pub(crate) fn parse_row(text: &str) -> Option<u32> {
    if !text.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    text.parse::<u32>()
        .ok()
        .filter(|row| *row as usize <= ROW_LIMIT)
        .and_then(|row| row.checked_sub(1))
}

/// A text from the file, cut to what fits a message.
pub(crate) fn shortened(text: &str) -> String {
    const LONGEST: usize = 40;
    if text.chars().nth(LONGEST).is_none() {
        return text.to_owned();
    }
    text.chars().take(LONGEST).chain(['…']).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn column_letters_count_without_a_zero() {
        let cases = [
            (0, "A"),
            (25, "Z"),
            (26, "AA"),
            (51, "AZ"),
            (52, "BA"),
            (701, "ZZ"),
            (702, "AAA"),
            (16_383, "XFD"),
        ];
        for (index, letters) in cases {
            assert_eq!(column_letters(index), letters);
        }
        assert!(!column_letters(usize::MAX).is_empty());
    }

    #[test]
    fn parse_place_inverts_the_letters() {
        for column in (0..16_384).step_by(7).chain([16_383]) {
            let place = Place {
                row: column * 64,
                column,
            };
            assert_eq!(parse_place(&place.to_string()), Ok(place));
        }
        assert_eq!(parse_place("xfd1048576").map(|p| p.row), Ok(1_048_575));
    }

    #[test]
    fn parse_place_refuses_what_no_sheet_has() {
        for text in [
            "",
            "A",
            "7",
            "A0",
            "A-1",
            "-A1",
            "A1048577",
            "XFE1",
            "A4294967297",
            "A+1",
            "$A$1",
            "A1B",
            "A 1",
            "Ä1",
            "AAAAAAAAAAAAAAAAAAAAAAAA1",
            "A99999999999999999999999",
        ] {
            assert!(parse_place(text).is_err(), "{text}");
        }
    }
}
