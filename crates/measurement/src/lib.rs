//! Forces, samples, seatings and the files that hold them.
//!
//! [`read_measurement`] reads a measurement from a table or TOML with the meaning its writer had, or refuses it with
//! everything that is wrong ([`Faults`](evenhand_text::Faults)). [`suspicions`] names what is legal but looks wrong.
//!
//! Other tables with forces and readings take their words from here ([`force_column`], [`reading_column`],
//! [`SAMPLE_REMARKS`]): recordings of strokes, loads. [`HoldAngle`] turns forces on the surface into forces along the stylus.
//!
//! Inside, a force is a [`Force`] and a reading a fraction of full scale, 0..1. Nothing is sorted,
//! averaged or dropped: samples stay as and where the file has them.

mod columns;
mod force;
mod hold_angle;
mod measurement;
mod options;
mod read;
mod remarks;
mod sample_table;
mod selection;
mod suspicion;
mod suspicion_checks;
mod table_read;
mod toml_read;
mod unit;
mod write;

pub use columns::{
    EXCLUDE_WORDS, REFUSED_FORCE_UNITS, REFUSED_READING_UNITS, SAMPLE_REMARKS, direction_column,
    force_column, reading_column, seating_column,
};
pub use force::{Force, ForceError};
pub use hold_angle::{HoldAngle, Sliding};
pub use measurement::{
    Bench, Direction, ForceActs, ForceBudget, Measurement, ReadAt, Sample, Seating, Stylus,
};
pub use options::{MOST_BYTES, MOST_LEVELS, MOST_SAMPLES, ReadOptions};
pub use read::{Source, parse_measurement, read_measurement};
pub use remarks::check_remark;
pub use sample_table::{
    UNIT_IN_HEADER, direction, missing_levels, refuse_two_seatings, refuse_unit_labels,
};
pub use selection::SamplePlace;
pub use suspicion::{Suspicion, SuspicionKind};
pub use suspicion_checks::suspicions;
pub use unit::{ForceUnit, ReadingUnit, reading_fraction};
pub use write::{remark_line, write_csv, write_toml};
