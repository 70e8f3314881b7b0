//! Forces, samples, seatings and the files that hold them.
//!
//! ```
//! use evenhand_measurement::{ReadOptions, parse_measurement, suspicions};
//!
//! let table = "# model = Dunlin\nWeight (g),Pressure %\n5,0\n20,12.5\n150,100\n";
//! let (measurement, source) = parse_measurement("m.csv", table.as_bytes(), &ReadOptions::default())?;
//! assert_eq!(measurement.stylus.model.as_deref(), Some("Dunlin"));
//! assert_eq!(measurement.samples[1].force.gf(), 20.0);
//! assert_eq!(measurement.samples[1].reading, 0.125);
//! assert_eq!(source.read_as.columns[0].unit.as_deref(), Some("mass_g"));
//! // Legal, but three samples make no shape.
//! assert_eq!(suspicions(&measurement)[0].kind.as_str(), "few-readings");
//! # Ok::<(), evenhand_text::Faults>(())
//! ```
//!
//! [`read_measurement`] reads a measurement from a table or TOML with the meaning its writer had, or refuses it with
//! everything that is wrong ([`Faults`](evenhand_text::Faults)). [`suspicions`] names what is legal but looks wrong.
//!
//! Other tables with forces and readings take their words from here ([`force_column`], [`reading_column`],
//! [`SAMPLE_REMARKS`]): recordings of strokes, loads. [`HoldAngle`] turns forces on the surface into forces along the stylus.
//!
//! Inside, a force is a [`Force`] along the stylus, held in gf, and a reading a fraction of full scale, 0..1. Nothing
//! is ever sorted, averaged or dropped: samples stay as and where the file has them. What they say of the stylus is
//! for others to estimate.

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
pub use hold_angle::HoldAngle;
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
