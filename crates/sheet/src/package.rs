//! The zip that a spreadsheet is.

use std::{
    collections::HashMap,
    io::{Cursor, Read},
};

use zip::{ZipArchive, result::ZipError};

use crate::{
    EXPANDED_LIMIT,
    error::{Extent, SheetError},
    place::shortened,
};

/// A zip whose parts are expanded within a limit.
pub(crate) struct Package<'a> {
    archive: ZipArchive<Cursor<&'a [u8]>>,
    /// Parts by name in lower case, as names of parts differ by more than case.
    indices: HashMap<String, usize>,
    /// How many bytes may still be expanded.
    left: u64,
}

impl<'a> Package<'a> {
    /// Reads the list of parts.
    pub(crate) fn open(bytes: &'a [u8]) -> Result<Self, SheetError> {
        let archive = ZipArchive::new(Cursor::new(bytes)).map_err(|error| refused(&error))?;
        if archive.has_duplicate_names() {
            return Err(SheetError::damaged("two of its parts have the same name"));
        }
        let mut indices = HashMap::new();
        for (index, name) in archive.file_names_raw().enumerate() {
            indices.entry(folded(name)).or_insert(index);
        }
        Ok(Self {
            archive,
            indices,
            left: EXPANDED_LIMIT,
        })
    }

    /// Whether there is such a part.
    pub(crate) fn has(&self, name: &str) -> bool {
        self.indices.contains_key(&folded(name.as_bytes()))
    }

    /// Whether the name of any part, in lower case, is such.
    pub(crate) fn any(&self, is_such: impl Fn(&str) -> bool) -> bool {
        self.indices.keys().any(|name| is_such(name))
    }

    /// The text of a part, if it is there.
    pub(crate) fn part(&mut self, name: &str) -> Result<Option<String>, SheetError> {
        let index = self.archive.index_for_name_raw(name.as_bytes());
        let index = index.or_else(|| self.indices.get(&folded(name.as_bytes())).copied());
        let Some(index) = index else {
            return Ok(None);
        };
        let file = self.archive.by_index(index).map_err(|e| refused(&e))?;
        if file.size() > self.left {
            return Err(Extent::ExpandedBytes(EXPANDED_LIMIT).into());
        }
        let bytes = expanded(file, &mut self.left, name)?;
        decoded(bytes, name).map(Some)
    }

    /// The text of a part that must be there.
    pub(crate) fn required(&mut self, name: &str) -> Result<String, SheetError> {
        self.part(name)?
            .ok_or_else(|| SheetError::damaged(format!("part {} is missing", shortened(name))))
    }
}

/// All bytes of a part, as long as there are no more than are left.
fn expanded(part: impl Read, left: &mut u64, name: &str) -> Result<Vec<u8>, SheetError> {
    let mut bytes = Vec::new();
    let read = part
        .take(*left + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| {
            SheetError::damaged(format!(
                "part {} cannot be expanded: {error}",
                shortened(name)
            ))
        })?;
    *left = u64::try_from(read)
        .ok()
        .and_then(|read| left.checked_sub(read))
        .ok_or(Extent::ExpandedBytes(EXPANDED_LIMIT))?;
    Ok(bytes)
}

/// The name and the data, as stored and as far as its header tells, of the first part.
pub(crate) fn first_entry(bytes: &[u8]) -> Option<(&[u8], &[u8])> {
    const HEADER: usize = 30;
    let number = |at: usize| {
        Some(usize::from(u16::from_le_bytes([
            *bytes.get(at)?,
            *bytes.get(at + 1)?,
        ])))
    };
    let name = bytes.get(HEADER..HEADER + number(26)?)?;
    let data = bytes
        .get(HEADER + name.len() + number(28)?..)
        .unwrap_or_default();
    Some((name, data))
}

/// Some writers use the separators of their system.
fn folded(name: &[u8]) -> String {
    let name = String::from_utf8_lossy(name).replace('\\', "/");
    name.trim_start_matches('/').to_ascii_lowercase()
}

fn decoded(bytes: Vec<u8>, name: &str) -> Result<String, SheetError> {
    let no_text = || SheetError::damaged(format!("part {} is not UTF-8 text", shortened(name)));
    let wide = |bytes: &[u8], unit: fn([u8; 2]) -> u16| {
        let units = bytes.chunks(2).map(|pair| match pair {
            [a, b] => unit([*a, *b]),
            _ => 0xDC00,
        });
        char::decode_utf16(units)
            .collect::<Result<String, _>>()
            .map_err(|_| no_text())
    };
    match bytes.as_slice() {
        [0xFF, 0xFE, rest @ ..] => wide(rest, u16::from_le_bytes),
        [0xFE, 0xFF, rest @ ..] => wide(rest, u16::from_be_bytes),
        _ => String::from_utf8(bytes).map_err(|_| no_text()),
    }
}

fn refused(error: &ZipError) -> SheetError {
    match error {
        ZipError::UnsupportedArchive(ZipError::PASSWORD_REQUIRED) => SheetError::Encrypted,
        ZipError::UnsupportedArchive(_) | ZipError::CompressionMethodNotSupported(_) => {
            SheetError::Unsupported {
                found: "a spreadsheet with an unusual compression",
                remedy: "open it in a spreadsheet program and save it again",
            }
        }
        error => SheetError::damaged(format!("it is not a whole zip file ({error})")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bytes_are_counted_while_they_are_read() {
        let mut left = 100;
        let read = |count, left: &mut u64| expanded(std::io::repeat(1).take(count), left, "part");
        assert_eq!(read(60, &mut left).map(|bytes| bytes.len()), Ok(60));
        assert_eq!(left, 40);
        let too_large = Err(Extent::ExpandedBytes(EXPANDED_LIMIT).into());
        assert_eq!(read(41, &mut left), too_large);
        assert_eq!(
            expanded(std::io::repeat(1), &mut left, "endless"),
            too_large
        );
        assert_eq!(read(40, &mut left).map(|bytes| bytes.len()), Ok(40));
        assert_eq!(read(1, &mut left), too_large);
    }
}
