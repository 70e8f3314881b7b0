//! What a kind of table holds.

use crate::header::Quantity;
use crate::remark::{Refused, RemarkSpec};

/// What a kind of table holds.
#[derive(Clone, Copy, Debug)]
pub struct TableSpec<K: 'static> {
    /// The kinds of columns.
    pub quantities: &'static [Quantity<K>],
    /// The remarks.
    pub remarks: RemarkSpec,
    /// Columns of another kind of table, folded, with what to do instead.
    pub refused_columns: &'static [Refused],
    /// A header as it could be.
    pub example: &'static str,
}
