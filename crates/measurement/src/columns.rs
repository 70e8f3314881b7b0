//! The columns and remarks of a table of samples.

use evenhand_text::{Quantity, RemarkSpec, TableSpec};

use crate::unit::{ForceUnit, ReadingUnit};

/// What a column of a measurement holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Column {
    Force,
    Reading,
    Seating,
    Direction,
}

const FORCE: Quantity<Column> = Quantity {
    kind: Column::Force,
    meaning: "force",
    columns: FORCE_COLUMNS,
    words: FORCE_WORDS,
    units: FORCE_UNITS,
    is_unitless: false,
    is_essential: true,
};

/// Columns that say force and unit, with the [`ForceUnit::word`] of the unit.
pub const FORCE_COLUMNS: &[(&str, &str)] = &[
    (ForceUnit::Gf.column(), ForceUnit::Gf.word()),
    (ForceUnit::Newton.column(), ForceUnit::Newton.word()),
    (
        ForceUnit::Millinewton.column(),
        ForceUnit::Millinewton.word(),
    ),
    (ForceUnit::MassGram.column(), ForceUnit::MassGram.word()),
];

/// Words for a force that leave its unit open, folded.
pub const FORCE_WORDS: &[&str] = &["force", "weight", "mass", "appliedforce", "nibforce"];

/// Words for units of force, folded. A force in grams is what a mass of so many grams weighs.
pub const FORCE_UNITS: &[(&str, &str)] = &[
    ("gf", "gf"),
    ("gramforce", "gf"),
    ("gramsforce", "gf"),
    ("n", "n"),
    ("newton", "n"),
    ("newtons", "n"),
    ("mn", "mn"),
    ("millinewton", "mn"),
    ("millinewtons", "mn"),
    ("g", "mass_g"),
    ("gram", "mass_g"),
    ("grams", "mass_g"),
];

const READING: Quantity<Column> = Quantity {
    kind: Column::Reading,
    meaning: "reading",
    columns: READING_COLUMNS,
    words: READING_WORDS,
    units: READING_UNITS,
    is_unitless: false,
    is_essential: true,
};

/// Columns that say reading and unit, with the [`ReadingUnit::word`] of the unit.
pub const READING_COLUMNS: &[(&str, &str)] = &[
    (ReadingUnit::Percent.column(), ReadingUnit::Percent.word()),
    (ReadingUnit::Fraction.column(), ReadingUnit::Fraction.word()),
    (ReadingUnit::Raw.column(), ReadingUnit::Raw.word()),
    ("raw", ReadingUnit::Raw.word()),
    ("percent", ReadingUnit::Percent.word()),
];

/// Words for a reading that leave its unit open, folded.
pub const READING_WORDS: &[&str] = &[
    "reading",
    "readings",
    "pressure",
    "reported",
    "reportedreading",
];

/// Words for units of readings, folded, each with the [`ReadingUnit::word`] it means.
pub const READING_UNITS: &[(&str, &str)] = &[
    ("percent", "percent"),
    ("pct", "percent"),
    ("fraction", "fraction"),
    ("01", "fraction"),
    ("0to1", "fraction"),
    ("raw", "raw"),
    ("rawcounts", "raw"),
    ("count", "raw"),
    ("counts", "raw"),
];

/// Readings that may be called outputs, as they are where a map was applied.
const OUTPUT: Quantity<Column> = Quantity {
    columns: &[
        (
            ReadingUnit::Percent.output_column(),
            ReadingUnit::Percent.word(),
        ),
        (
            ReadingUnit::Fraction.output_column(),
            ReadingUnit::Fraction.word(),
        ),
        (ReadingUnit::Raw.output_column(), ReadingUnit::Raw.word()),
        (ReadingUnit::Percent.column(), ReadingUnit::Percent.word()),
        (ReadingUnit::Fraction.column(), ReadingUnit::Fraction.word()),
        (ReadingUnit::Raw.column(), ReadingUnit::Raw.word()),
        ("raw", ReadingUnit::Raw.word()),
        ("percent", ReadingUnit::Percent.word()),
    ],
    meaning: "output",
    words: &[
        "output", "outputs", "reading", "readings", "pressure", "reported",
    ],
    ..READING
};

const SEATING: Quantity<Column> = Quantity {
    kind: Column::Seating,
    meaning: "seating",
    columns: &[("seating", "")],
    words: &[],
    units: &[],
    is_unitless: true,
    is_essential: false,
};

const DIRECTION: Quantity<Column> = Quantity {
    kind: Column::Direction,
    meaning: "direction",
    columns: &[("direction", "")],
    ..SEATING
};

const EXCLUDE: &str = "name the lines of the samples: # exclude = 12, 17";
const UNIT: &str = "name the unit of forces in the header, such as force_n or Force (N)";
const READING_UNIT: &str =
    "name the unit of readings in the header, such as reported_percent or Reading (%)";
const TILT: &str = "write # tilt_deg = 30 and # force_acts = along-stylus, or on-surface where a scale under the tablet shows the force";
const GAIN: &str =
    "write forces with their gain applied; # force_gain_u = 0.02 is the uncertainty of a gain";
const LEVELS: &str = "write # levels = 8192, with the number of levels";
const SEATINGS: &str = "write # seating = 2 above its first row, or a column seating";

/// Words that would change what samples mean, for every table with forces and readings.
pub const SAMPLE_WORDS: &[(&str, &str)] = &[
    ("skip", EXCLUDE),
    ("skipped", EXCLUDE),
    ("ignore", EXCLUDE),
    ("ignored", EXCLUDE),
    ("drop", EXCLUDE),
    ("dropped", EXCLUDE),
    ("omit", EXCLUDE),
    ("omitted", EXCLUDE),
    ("exclude", EXCLUDE),
    ("excluded", EXCLUDE),
    ("excludes", EXCLUDE),
    ("leave out", EXCLUDE),
    ("left out", EXCLUDE),
    ("gain", GAIN),
    ("gf", UNIT),
    ("n", UNIT),
    ("mn", UNIT),
    ("g", UNIT),
    ("gram", UNIT),
    ("grams", UNIT),
    ("newton", UNIT),
    ("newtons", UNIT),
    ("millinewton", UNIT),
    ("millinewtons", UNIT),
    ("force in", UNIT),
    ("forces in", UNIT),
    ("weight in", UNIT),
    ("weights in", UNIT),
    ("reading in", READING_UNIT),
    ("readings in", READING_UNIT),
    ("tilt", TILT),
    ("tilted", TILT),
    ("angle", TILT),
    ("levels", LEVELS),
    ("seating", SEATINGS),
    ("seatings", SEATINGS),
    (
        "direction",
        "write a column direction with loading or unloading",
    ),
];

/// Remarks of every table of samples.
pub const SAMPLE_REMARKS: RemarkSpec = RemarkSpec {
    keys: &[
        "model",
        "unit",
        "bench",
        "date",
        "lever",
        "notes",
        "levels",
        "force_acts",
        "tilt_deg",
        "exclude",
        "seating",
        "read_at",
        "force_gain_u",
        "force_offset_u_gf",
        "force_scatter_u_gf",
        "force_scatter_u",
    ],
    aliases: &[("note", "notes")],
    repeatable: &["exclude", "seating"],
    refused: SAMPLE_WORDS,
};

const LOADS: &str = "turn loads into forces with the rig they were placed on first";
const OUTPUTS: &str = "outputs behind a map are verification data; a measurement has readings";

/// A measurement.
pub(crate) const SAMPLES: TableSpec<Column> = TableSpec {
    quantities: &[FORCE, READING, SEATING, DIRECTION],
    remarks: SAMPLE_REMARKS,
    refused_columns: &[
        ("placed", LOADS),
        ("load", LOADS),
        ("loads", LOADS),
        ("output", OUTPUTS),
        ("outputpercent", OUTPUTS),
        ("outputraw", OUTPUTS),
    ],
    example: "force_gf,reported_percent",
};

/// Outputs that were measured behind a map.
pub(crate) const OUTPUTS_MEASURED: TableSpec<Column> = TableSpec {
    quantities: &[FORCE, OUTPUT, SEATING, DIRECTION],
    refused_columns: &[("placed", LOADS), ("load", LOADS), ("loads", LOADS)],
    example: "force_gf,output_percent",
    ..SAMPLES
};
