//! Text files as people write them, read with the meaning their writers had, or refused.
//!
//! ```
//! use evenhand_text::{Fault, Faults, Place, folded, nearly, quoted};
//!
//! // Names are compared as people write them.
//! assert_eq!(folded("Force (gf)"), folded("force_gf"));
//! assert_eq!(nearly("seatng", &["seating", "direction"]), Some("seating"));
//! // A fault says where it is, what was found and what to write instead.
//! let text = "force_gf\n12,5\n";
//! let place = Place::of(text, 9..13);
//! let faults = Faults::one("m.csv", Fault::at(place, quoted("12,5"), "a number", "write 12.5"));
//! assert_eq!(faults.to_string(), "m.csv:2:1: expected a number, found `12,5`");
//! assert_eq!(faults.first().remedy.text, "write 12.5");
//! ```
//!
//! The ground floor of every format: where a value stands ([`Place`], [`Located`]), what is wrong and what to do
//! ([`Fault`], [`Faults`], with the [`Remedy`] as data, so that each program words it in its own way), tables
//! ([`Table`]: title lines, remarks, a header, rows), TOML ([`TomlFile`]), names compared as people write them
//! ([`folded`], [`nearly`]), foreign text made safe to show ([`clean`], [`quoted`]), digests ([`sha256_hex`]),
//! numbers in sentences ([`gf`], [`count`]) and saving without loss ([`save_atomically`]).
//!
//! Lines and columns count from 1, columns in characters. It never knows a format (a format is a list of keys and
//! columns with what they mean), never names an option of a program, and never drops a fault.

mod amounts;
mod clean;
mod fault;
mod figures;
mod file;
mod header;
mod line;
mod line_kind;
mod names;
mod number;
mod place;
mod read_as;
mod remark;
mod save;
mod table;
mod table_file;
mod table_head;
mod table_spec;
mod toml_file;

pub use amounts::{count, gf, percent, short};
pub use clean::{clean, clean_lines, is_clean, json_escaped, quoted, toml_string};
pub use fault::{Fault, Faults, MOST_FAULTS, Remedy, Setting};
pub use file::{Encoding, Unreadable, decode, read_bytes, read_text, read_utf8, sha256_hex, utf8};
pub use header::Quantity;
pub use line::Cell;
pub use names::{folded, hint, nearly, words};
pub use number::{DecimalMark, NoNumber, Written, written_number};
pub use place::{Located, Place};
pub use read_as::{ReadAs, ReadColumn};
pub use remark::{Refused, Remark, RemarkSpec};
pub use save::{SaveError, check_kind, refuse_input, save_atomically};
pub use table::lines::TableLine;
pub use table::{Row, Table};
pub use table_file::TableFile;
pub use table_spec::TableSpec;
pub use toml_file::{Node, Rule, TomlFile, Value};
