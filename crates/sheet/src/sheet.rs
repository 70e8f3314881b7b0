//! Sheets, rows and cells.

/// One sheet of a spreadsheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sheet {
    /// The format of the file.
    pub format: SheetFormat,
    /// The name of this sheet.
    pub name: String,
    /// The names of all sheets of cells, including hidden ones, in order.
    pub names: Vec<String>,
    /// The rows that are not blank, from the top.
    pub rows: Vec<SheetRow>,
}

/// The format of a spreadsheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SheetFormat {
    /// Office Open XML.
    Xlsx,
    /// `OpenDocument`.
    Ods,
}

impl SheetFormat {
    /// Returns the usual end of a file's name: `xlsx` or `ods`.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Xlsx => "xlsx",
            Self::Ods => "ods",
        }
    }
}

/// One row that has at least one cell with content.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetRow {
    /// Its number, from 1, as the spreadsheet shows it.
    pub number: usize,
    /// Its cells from column A on; blank ones after the last are cut.
    pub cells: Vec<SheetCell>,
}

/// One cell.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SheetCell {
    /// What it holds; empty where it is blank.
    ///
    /// A number is the shortest decimal text that reads back as the same number, in plain digits or, where
    /// those would be many, with an exponent (`1e-9`). A cell that the spreadsheet shows as a percentage
    /// holds the percentage, `5%` for 0.05, as exact as the number. Truth values are `TRUE` and `FALSE`.
    pub text: String,
    /// Why the cell is not a plain value, if so.
    pub flaw: Option<Flaw>,
}

impl SheetCell {
    pub(crate) fn plain(text: String) -> Self {
        Self { text, flaw: None }
    }

    pub(crate) fn flawed(text: String, flaw: Flaw) -> Self {
        let flaw = Some(flaw);
        Self { text, flaw }
    }
}

/// Why a cell is not a plain value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flaw {
    /// A failed formula; the text is the error, such as `#DIV/0!`.
    Error,
    /// A formula whose value was never stored; the text is the formula.
    FormulaWithoutValue,
    /// Part of a merged region, either the visible cell or a covered one. Covered cells are returned up to the
    /// last column with content.
    Merged,
    /// A date, a time or a duration; the text is ISO 8601, or a number where the format asks for a date
    /// that does not exist.
    Date,
}
