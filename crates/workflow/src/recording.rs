//! Reading recorded strokes.

use std::path::Path;

use evenhand_strokes::{RecordingError, Strokes, read_inkml, read_stroke_table};
use evenhand_text::sha256_hex;

use crate::failure::Failure;
use crate::input::read_text;

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
}

/// Reads a recording; `levels` stands in where it does not say how many there are.
pub fn read(path: &Path, levels: Option<u32>) -> Result<Recorded, Failure> {
    let name = path.display().to_string();
    let help = "give InkML, or a table with columns such as x,y,t_s,reported_percent";
    let text = read_text(path, MOST_BYTES, help)?;
    let is_markup = text
        .trim_start_matches('\u{feff}')
        .trim_start()
        .starts_with('<');
    let read = if is_markup {
        read_inkml(&text).and_then(|recording| recording.strokes(levels))
    } else {
        read_stroke_table(&text, levels)
    };
    Ok(Recorded {
        strokes: read.map_err(|error| failure(&name, &text, &error))?,
        sha256: sha256_hex(text.as_bytes()),
        name,
    })
}

fn failure(name: &str, text: &str, error: &RecordingError) -> Failure {
    // A fault of the whole recording has no place.
    if error.span.is_empty() && error.span.start == 0 {
        return Failure::bad_input(format!("{name}: {}", error.message), error.help.clone())
            .in_file(name);
    }
    let start = error.span.start.min(text.len());
    let before = text.get(..start).unwrap_or_default();
    let line = before.matches('\n').count() + 1;
    let column = before
        .rsplit('\n')
        .next()
        .map_or(1, |part| part.chars().count() + 1);
    let message = format!("{name}:{line}:{column}: found {}", error.message);
    let mut failure = Failure::bad_input(message, error.help.clone()).in_file(name);
    failure.line = Some(line);
    failure.column = Some(column);
    failure.at(
        Some(text),
        Some(start..error.span.end.min(text.len()).max(start)),
    )
}
