//! Limits of what is read.

/// The most bytes that a file may have: 32 MiB.
pub const FILE_LIMIT: u64 = 32 << 20;

/// The most bytes that the parts read may have when expanded, each and together: 256 MiB. They are counted
/// during expansion; the sizes that the file states are not trusted.
pub const EXPANDED_LIMIT: u64 = 256 << 20;

/// The most cells with content in the sheet that is read.
pub const CELL_LIMIT: usize = 200_000;

/// The most cells in the rows that are returned, including the blank ones before the last: a sheet with one
/// cell at the far end of each row takes as much memory as a full one.
pub const PADDED_CELL_LIMIT: usize = 4_000_000;

/// The most bytes of text in all cells together: 64 MiB. Many cells can share one long text, so a small file
/// can hold more.
pub const TEXT_LIMIT: usize = 64 << 20;

/// The number of columns, the last of them being `XFD`.
pub const COLUMN_LIMIT: usize = 16_384;

/// The number of rows.
pub const ROW_LIMIT: usize = 1_048_576;

/// How deeply elements may be nested in a part; spreadsheets need a dozen.
pub(crate) const DEPTH_LIMIT: usize = 256;
