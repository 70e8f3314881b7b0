//! Reading of the reference tables under `tests/reference`.

use std::collections::BTreeMap;
use std::path::Path;

/// One row of a table: cells by column name.
pub type Row = BTreeMap<String, String>;

/// The text of a file under `tests/reference`.
///
/// # Panics
/// If it cannot be read: a test without its reference proves nothing.
#[must_use]
pub fn reference_text(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("reference")
        .join(name);
    match std::fs::read_to_string(&path) {
        Ok(text) => text,
        Err(error) => panic!("{}: {error}", path.display()),
    }
}

/// The rows of a table; lines starting with `#` are comments.
///
/// # Panics
/// If the file is no table, or an empty one.
#[must_use]
pub fn reference_rows(name: &str) -> Vec<Row> {
    let text = reference_text(name);
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    let rows: Result<Vec<Row>, _> = reader.deserialize().collect();
    match rows {
        Ok(rows) if !rows.is_empty() => rows,
        Ok(_) => panic!("{name} has no rows"),
        Err(error) => panic!("{name}: {error}"),
    }
}

/// A number in a column.
///
/// # Panics
/// If the column is missing or holds no number.
#[must_use]
pub fn number(row: &Row, column: &str) -> f64 {
    let Some(cell) = row.get(column) else {
        panic!("no column {column} in {row:?}")
    };
    match cell.parse() {
        Ok(value) => value,
        Err(_) => panic!("`{cell}` in column {column} is no number"),
    }
}
