//! Reading recorded strokes.

use std::path::Path;

use evenhand_strokes::{Levels, Strokes, read_inkml, read_stroke_table};
use evenhand_text::{Faults, ReadAs, decode, read_bytes, sha256_hex};

use crate::failure::Failure;

/// A larger recording is refused unread.
const MOST_BYTES: u64 = 256 << 20;

/// Recorded strokes, with where they came from.
pub struct Recorded {
    /// The strokes.
    pub strokes: Strokes,
    /// The file as it was named.
    pub name: String,
    /// Digest of its bytes.
    pub sha256: String,
    /// How a table was understood; none for a document, whose channels have names of their own.
    pub read_as: Option<ReadAs>,
}

/// Reads a recording, an `InkML` document or a table.
///
/// # Errors
/// A file that cannot be read or is no recording.
pub fn read(path: &Path, levels: Levels) -> Result<Recorded, Failure> {
    let name = path.display().to_string();
    let bytes = read_bytes(path, "a recording", MOST_BYTES)?;
    let (strokes, read_as) = if is_markup(&bytes) {
        (ink(&name, &bytes, levels)?, None)
    } else {
        let (strokes, read_as) = read_stroke_table(&name, &bytes, levels)?;
        (strokes, Some(read_as))
    };
    Ok(Recorded {
        strokes,
        read_as,
        sha256: sha256_hex(&bytes),
        name,
    })
}

fn ink(name: &str, bytes: &[u8], levels: Levels) -> Result<Strokes, Faults> {
    let (text, _) = decode(name, bytes)?;
    let levels = levels.set.or(levels.of_stylus);
    read_inkml(&text)
        .and_then(|recording| recording.strokes(levels))
        .map_err(|fault| Faults::one_in(name, &text, *fault))
}

/// Whether a text begins as a document does, in UTF-8 or UTF-16 and behind a byte-order mark perhaps.
fn is_markup(bytes: &[u8]) -> bool {
    let marks: [&[u8]; 3] = [b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff"];
    let begin = marks
        .into_iter()
        .find_map(|mark| bytes.strip_prefix(mark))
        .unwrap_or(bytes);
    // The other half of a character of UTF-16 is 0 here.
    let mut characters = begin
        .iter()
        .filter(|byte| **byte != 0 && !byte.is_ascii_whitespace());
    characters.next() == Some(&b'<')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn documents_are_told_from_tables_in_every_encoding() {
        let utf16 = |text: &str, bytes: fn(u16) -> [u8; 2]| -> Vec<u8> {
            text.encode_utf16().flat_map(bytes).collect()
        };
        for (text, expected) in [(" \n<ink/>", true), ("x,<y>\n", false), ("", false)] {
            let marked = format!("\u{feff}{text}");
            for bytes in [
                text.as_bytes().to_vec(),
                marked.as_bytes().to_vec(),
                utf16(text, u16::to_le_bytes),
                utf16(&marked, u16::to_le_bytes),
                utf16(&marked, u16::to_be_bytes),
            ] {
                assert_eq!(is_markup(&bytes), expected, "{text:?} {bytes:?}");
            }
        }
    }
}
