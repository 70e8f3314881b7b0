//! Text files as people write them.

mod clean;
mod fault;
mod figures;
mod file;
mod header;
mod line;
mod names;
mod number;
mod place;
mod remark;
mod save;
mod table;

pub use clean::{clean, is_clean, quoted};
pub use fault::{Fault, Faults, MOST_FAULTS, Remedy, Setting};
pub use file::{Encoding, decode, read_bytes, sha256_hex};
pub use header::Quantity;
pub use line::{Cell, Flaw, GridCell, GridRow};
pub use names::{folded, nearest, nearly, words};
pub use number::{DecimalMark, NoNumber, Written, written_number};
pub use place::{Located, Place, line_and_column};
pub use remark::{Remark, RemarkSpec};
pub use save::{SaveError, check_kind, save_atomically};
pub use table::{ReadAs, ReadColumn, Row, Table, TableFile, TableSpec};
