//! A file's bytes, and its text.

use std::io::Read as _;
use std::path::Path;

use sha2::{Digest, Sha256};
use thiserror::Error;

use crate::fault::{Fault, Faults};
use crate::place::Place;

/// SHA-256 of bytes, lower-case hexadecimal.
#[must_use]
pub fn sha256_hex(bytes: &[u8]) -> String {
    Sha256::digest(bytes)
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

/// The bytes of an ordinary file of at most `most_bytes`; `what` names what it should hold, such as "a measurement".
///
/// # Errors
/// A file that cannot be read, is a folder, a device or a pipe, or is larger.
pub fn read_bytes(path: &Path, what: &str, most_bytes: u64) -> Result<Vec<u8>, Faults> {
    let name = path.display().to_string();
    let fail = |found: String, remedy: &str| Faults::one(&name, Fault::of_file(found, remedy));
    let unreadable = |error: std::io::Error| {
        let remedy = match error.kind() {
            std::io::ErrorKind::NotFound => "check the name and the folder",
            std::io::ErrorKind::PermissionDenied => "allow reading it, or copy it elsewhere",
            _ => "copy it to a local disk and try again",
        };
        fail(format!("the file could not be read: {error}"), remedy)
    };
    let meta = std::fs::metadata(path).map_err(unreadable)?;
    if meta.is_dir() {
        return Err(fail("this is a folder".to_owned(), "name a file in it"));
    }
    // A device or a pipe could go on for ever.
    if !meta.is_file() {
        return Err(fail(
            "this is not an ordinary file".to_owned(),
            "save its content to a file and name that",
        ));
    }
    let too_large = |bytes: u64| {
        fail(
            format!(
                "the file holds {} MiB, but {what} may hold at most {} MiB",
                bytes.div_ceil(1 << 20),
                most_bytes >> 20
            ),
            "check that this is the right file, or split it",
        )
    };
    if meta.len() > most_bytes {
        return Err(too_large(meta.len()));
    }
    let mut bytes = Vec::new();
    // A file may grow while it is read.
    std::fs::File::open(path)
        .and_then(|file| file.take(most_bytes + 1).read_to_end(&mut bytes))
        .map_err(unreadable)?;
    if bytes.len() as u64 > most_bytes {
        return Err(too_large(bytes.len() as u64));
    }
    Ok(bytes)
}

/// The text of an ordinary file that has to be UTF-8, or UTF-16 that says so; as [`read_bytes`] otherwise.
///
/// # Errors
/// What [`read_bytes`] refuses, and bytes that are no such text, with the place of the first.
pub fn read_utf8(path: &Path, what: &str, most_bytes: u64) -> Result<String, Faults> {
    let bytes = read_bytes(path, what, most_bytes)?;
    utf8(&path.display().to_string(), &bytes)
}

/// The text of bytes that have to be UTF-8, or UTF-16 that says so; a byte-order mark is not part of it.
///
/// # Errors
/// Bytes that are no such text, with the place of the first.
pub fn utf8(file: &str, bytes: &[u8]) -> Result<String, Faults> {
    let (text, encoding) = decode(file, bytes)?;
    if encoding != Encoding::Windows1252 {
        return Ok(text);
    }
    let error = std::str::from_utf8(bytes).err();
    let at = error.map_or(0, |error| error.valid_up_to());
    let byte = bytes.get(at).copied().unwrap_or_default();
    let before = String::from_utf8_lossy(bytes.get(..at).unwrap_or_default());
    let place = Place {
        span: None,
        ..Place::of(&before, before.len()..before.len())
    };
    let found = format!("the byte {byte:#04x}, which is no text in UTF-8");
    Err(Faults::one(
        file,
        Fault::at(place, found, "", "save it as plain text in UTF-8"),
    ))
}

/// How a text was stored.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Encoding {
    /// UTF-8, with or without a byte-order mark.
    Utf8,
    /// UTF-16 of either order.
    Utf16,
    /// One byte a character, as Windows-1252 has it: a guess, so that only what is ASCII can be relied on.
    Windows1252,
}

/// The text of bytes: UTF-8 or UTF-16, with or without a byte-order mark, else Windows-1252.
///
/// # Errors
/// Bytes that are no text: zero bytes where no UTF-16 is, and halves of UTF-16 pairs.
pub fn decode(file: &str, bytes: &[u8]) -> Result<(String, Encoding), Faults> {
    const SAVE_AS: &str = "save it as plain text in UTF-8";
    let fail = |found: String, remedy: &str| Err(Faults::one(file, Fault::of_file(found, remedy)));
    if let Some((rest, is_little)) = utf16(bytes) {
        let (pairs, odd) = rest.as_chunks::<2>();
        let units = pairs.iter().map(|pair| {
            if is_little {
                u16::from_le_bytes(*pair)
            } else {
                u16::from_be_bytes(*pair)
            }
        });
        let text: Result<String, _> = char::decode_utf16(units).collect();
        return match text {
            Ok(text) if odd.is_empty() && !text.contains('\0') => Ok((text, Encoding::Utf16)),
            _ => fail(
                "the file looks like UTF-16 text but is damaged".to_owned(),
                SAVE_AS,
            ),
        };
    }
    if let Some(at) = bytes.iter().position(|byte| *byte == 0) {
        let line = 1 + bytes[..at].iter().filter(|byte| **byte == b'\n').count();
        return fail(
            format!("the file is binary, not text (a zero byte in line {line})"),
            "name a text file, or a spreadsheet as .xlsx or .ods",
        );
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    match std::str::from_utf8(bytes) {
        Ok(text) => Ok((text.to_owned(), Encoding::Utf8)),
        Err(_) => Ok((
            bytes.iter().map(|byte| windows_1252(*byte)).collect(),
            Encoding::Windows1252,
        )),
    }
}

/// What follows the byte-order mark of UTF-16, or all of it where every other byte of its beginning is 0, as in
/// plain text without a mark; and whether the lower byte comes first.
fn utf16(bytes: &[u8]) -> Option<(&[u8], bool)> {
    if let Some(rest) = bytes.strip_prefix(&[0xff, 0xfe]) {
        return Some((rest, true));
    }
    if let Some(rest) = bytes.strip_prefix(&[0xfe, 0xff]) {
        return Some((rest, false));
    }
    let (pairs, _) = bytes[..bytes.len().min(64)].as_chunks::<2>();
    let all = |test: fn(&[u8; 2]) -> bool| pairs.len() >= 2 && pairs.iter().all(test);
    if all(|pair| pair[0] != 0 && pair[1] == 0) {
        return Some((bytes, true));
    }
    all(|pair| pair[0] == 0 && pair[1] != 0).then_some((bytes, false))
}

/// The character of a byte in Windows-1252, as the WHATWG Encoding standard maps it.
fn windows_1252(byte: u8) -> char {
    const UPPER: [char; 32] = [
        '€', '\u{81}', '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', '\u{8d}', 'Ž',
        '\u{8f}', '\u{90}', '\u{2018}', '\u{2019}', '\u{201c}', '\u{201d}', '•', '–', '—',
        '\u{2dc}', '™', 'š', '›', 'œ', '\u{9d}', 'ž', 'Ÿ',
    ];
    match byte {
        0x80..=0x9f => UPPER[usize::from(byte - 0x80)],
        _ => char::from(byte),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text(bytes: &[u8]) -> (String, Encoding) {
        decode("f.csv", bytes).unwrap()
    }

    #[test]
    fn encodings_are_told_apart() {
        let plain = "force_gf,reported\n10,0.5 é\n";
        assert_eq!(text(plain.as_bytes()), (plain.to_owned(), Encoding::Utf8));
        let marked = [b"\xef\xbb\xbf", plain.as_bytes()].concat();
        assert_eq!(text(&marked), (plain.to_owned(), Encoding::Utf8));
        let little: Vec<u8> = plain.encode_utf16().flat_map(u16::to_le_bytes).collect();
        let big: Vec<u8> = plain.encode_utf16().flat_map(u16::to_be_bytes).collect();
        for bytes in [
            [b"\xff\xfe", little.as_slice()].concat(),
            little,
            [b"\xfe\xff", big.as_slice()].concat(),
            big,
        ] {
            assert_eq!(text(&bytes), (plain.to_owned(), Encoding::Utf16));
        }
        let (found, encoding) = text(b"# notes = Gr\xf6\xdfe \x80\n");
        assert_eq!(
            (found.as_str(), encoding),
            ("# notes = Größe €\n", Encoding::Windows1252)
        );
    }

    #[test]
    fn text_that_has_to_be_utf8_is_refused_at_the_byte() {
        assert_eq!(utf8("f.toml", "é = 1".as_bytes()).unwrap(), "é = 1");
        assert_eq!(utf8("f.toml", b"\xef\xbb\xbfa = 1").unwrap(), "a = 1");
        assert_eq!(utf8("f.toml", b"\xff\xfea\0").unwrap(), "a");
        let faults = utf8("f.toml", b"a = 1\nb = \"\xe9\"\n").unwrap_err();
        assert_eq!((faults.line(), faults.column()), (Some(2), Some(6)));
        assert!(faults.first().found.contains("0xe9"), "{faults}");
    }

    #[test]
    fn bytes_that_are_no_text_are_refused() {
        for bytes in [
            &b"PK\x03\x04\x00\x00"[..],
            b"a\nb\0",
            b"\xff\xfe\x00\xd8a\0",
            b"\xff\xfea",
        ] {
            assert!(decode("f.csv", bytes).is_err(), "{bytes:?}");
        }
    }
}

/// A file that could not be read as a small text.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
#[error("{path}: the file could not be read: {reason}")]
pub struct Unreadable {
    /// The file.
    pub path: String,
    /// What the system said, or what is wrong.
    pub reason: String,
}

/// A small UTF-8 text of at most `most_bytes`, as it stands.
///
/// # Errors
/// A file that the system refuses, that is no file, is larger, or is not UTF-8.
pub fn read_text(path: &Path, most_bytes: u64) -> Result<String, Unreadable> {
    let unreadable = |reason: &dyn std::fmt::Display| Unreadable {
        path: path.display().to_string(),
        reason: reason.to_string(),
    };
    let meta = std::fs::metadata(path).map_err(|error| unreadable(&error))?;
    if !meta.is_file() {
        return Err(unreadable(&"it is not a file"));
    }
    if meta.len() > most_bytes {
        let size = meta.len();
        return Err(unreadable(&format!(
            "it holds {size} bytes, {most_bytes} at most are read"
        )));
    }
    let bytes = std::fs::read(path).map_err(|error| unreadable(&error))?;
    String::from_utf8(bytes).map_err(|_| unreadable(&"it is not UTF-8 text"))
}
