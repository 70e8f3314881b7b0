//! Spreadsheets as rows of plain cells.
//!
//! ```
//! use evenhand_sheet::{looks_like_sheet, read_sheet};
//!
//! let file = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/reference/sheets/measurement.xlsx");
//! let bytes = std::fs::read(file)?;
//! assert!(looks_like_sheet(&bytes) && !looks_like_sheet(b"force_gf,reported_percent"));
//! let sheet = read_sheet(&bytes, Some("Bench"))?;
//! let row = sheet.rows.iter().find(|row| row.number == 9).expect("a ninth row");
//! let cells: Vec<&str> = row.cells.iter().map(|cell| cell.text.as_str()).collect();
//! assert_eq!(cells[..2], ["150", "71.3%"]);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! [`read_sheet`] turns the bytes of an `.xlsx` or `.ods` file into a [`Sheet`]: rows of texts, as a text
//! table has them. Numbers keep every bit, percentages say so, and what a table cannot take (an error, a
//! formula without a stored value, a merged cell, a date) carries a [`Flaw`]. [`looks_like_sheet`]
//! distinguishes such bytes from text.
//!
//! What is read is bounded, whatever the file claims: see [`FILE_LIMIT`], [`EXPANDED_LIMIT`],
//! [`CELL_LIMIT`], [`PADDED_CELL_LIMIT`], [`TEXT_LIMIT`], [`COLUMN_LIMIT`] and [`ROW_LIMIT`].
//!
//! Never read: formulas (only their stored values), formats set by conditional formatting, charts, comments
//! and drawings. Hidden rows and columns are read like all others.

mod choose;
mod condition;
mod detect;
mod error;
mod grid;
mod limits;
mod merges;
mod number;
mod ods;
mod package;
mod place;
mod read;
mod sheet;
mod xlsx;
mod xml;

pub use detect::looks_like_sheet;
pub use error::{Extent, SheetError};
pub use limits::{
    CELL_LIMIT, COLUMN_LIMIT, EXPANDED_LIMIT, FILE_LIMIT, PADDED_CELL_LIMIT, ROW_LIMIT, TEXT_LIMIT,
};
pub use place::column_letters;
pub use read::read_sheet;
pub use sheet::{Flaw, Sheet, SheetCell, SheetFormat, SheetRow};
