//! Forces, samples, seatings and the files that hold them.
//!
//! [`read_measurement`] reads a measurement from a table or TOML with the meaning its writer had, or refuses it with
//! everything that is wrong ([`Faults`](evenhand_text::Faults)). [`suspicions`] names what is legal but looks wrong.
//!
//! Other tables with forces and readings take their words from here ([`FORCE_COLUMNS`], [`READING_COLUMNS`],
//! [`SAMPLE_REMARKS`]): recordings of strokes, loads. [`HoldAngle`] turns forces on the surface into forces along the stylus.
//!
//! Inside, a force is a [`Force`] and a reading a fraction of full scale, 0..1. Nothing is sorted,
//! averaged or dropped: samples stay as and where the file has them.

mod columns;
mod force;
mod hold_angle;
mod measurement;
mod read;
mod selection;
mod suspicion;
mod suspicion_checks;
mod table_read;
mod toml_read;
mod unit;
mod write;

pub use columns::{
    FORCE_COLUMNS, FORCE_UNITS, FORCE_WORDS, READING_COLUMNS, READING_UNITS, READING_WORDS,
    SAMPLE_REMARKS, SAMPLE_WORDS,
};
pub use force::{Force, ForceError};
pub use hold_angle::{HoldAngle, Sliding};
pub use measurement::{
    Bench, Direction, ForceActs, ForceBudget, Measurement, ReadAt, Sample, Seating, Stylus,
};
pub use read::{
    MOST_BYTES, MOST_LEVELS, MOST_SAMPLES, ReadOptions, Source, parse_measurement, read_measurement,
};
pub use selection::SamplePlace;
pub use suspicion::{Suspicion, SuspicionKind, suspicions};
pub use table_read::{check_remark, fraction as reading_fraction, names_force_unit};
pub use unit::{ForceUnit, ReadingUnit};
pub use write::{remark_line, write_csv, write_toml};
