//! Spreadsheets that cannot be read.

use std::fmt;

use thiserror::Error;

use crate::place::{Place, shortened};

/// Why a spreadsheet cannot be read.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
pub enum SheetError {
    /// The wanted sheet is not there, or several names differ from it in case only.
    #[error("no sheet is named \"{wanted}\"; the sheets are {}", quoted(names))]
    NoSuchSheet {
        /// The name that was asked for.
        wanted: String,
        /// All names, in order.
        names: Vec<String>,
    },
    /// A password protects the file.
    #[error("the spreadsheet is protected by a password; save it without one")]
    Encrypted,
    /// More than is read.
    #[error(
        "the spreadsheet has more than {extent}; keep only the sheet and the cells that are needed"
    )]
    TooLarge {
        /// What there is too much of, with its limit.
        extent: Extent,
    },
    /// The file is not whole or contradicts itself.
    #[error(
        "the spreadsheet is damaged: {reason}; open it in a spreadsheet program and save it again"
    )]
    Damaged {
        /// What is wrong, and in which part or cell.
        reason: String,
    },
    /// The spreadsheet has no sheet with cells.
    #[error("the spreadsheet has no sheets; save one with the table in it")]
    NoSheets,
    /// The bytes are something else.
    #[error("{found} cannot be read; {remedy}")]
    Unsupported {
        /// What was found.
        found: &'static str,
        /// What to do about it.
        remedy: &'static str,
    },
}

impl SheetError {
    pub(crate) fn damaged(reason: impl Into<String>) -> Self {
        Self::Damaged {
            reason: reason.into(),
        }
    }

    /// A cell whose value is not `what` its type asks for.
    pub(crate) fn cell_is_not(place: Place, text: &str, what: &str) -> Self {
        let text = shortened(text);
        Self::damaged(format!(
            "cell {place} holds \"{text}\", which is not {what}"
        ))
    }
}

/// A measure of a spreadsheet with its limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Extent {
    /// Bytes of the file.
    FileBytes(u64),
    /// Bytes of the parts read, expanded.
    ExpandedBytes(u64),
    /// Cells with content.
    Cells(usize),
    /// Cells with those between them.
    PaddedCells(usize),
    /// Bytes of text in all cells.
    TextBytes(usize),
    /// Columns.
    Columns(usize),
    /// Rows.
    Rows(usize),
}

impl fmt::Display for Extent {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::FileBytes(limit) => write!(f, "{limit} bytes"),
            Self::ExpandedBytes(limit) => write!(f, "{limit} bytes when expanded"),
            Self::Cells(limit) => write!(f, "{limit} cells with content"),
            Self::PaddedCells(limit) => write!(f, "{limit} cells, counted from column A"),
            Self::TextBytes(limit) => write!(f, "{limit} bytes of text in its cells"),
            Self::Columns(limit) => write!(f, "{limit} columns"),
            Self::Rows(limit) => write!(f, "{limit} rows"),
        }
    }
}

impl From<Extent> for SheetError {
    fn from(extent: Extent) -> Self {
        Self::TooLarge { extent }
    }
}

fn quoted(names: &[String]) -> String {
    let quoted: Vec<String> = names.iter().map(|name| format!("\"{name}\"")).collect();
    quoted.join(", ")
}
