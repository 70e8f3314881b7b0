//! The columns and remarks of a table of samples.

use evenhand_text::{Quantity, Refused, RemarkSpec, TableSpec};

use crate::unit::{ForceUnit, ReadingUnit};

/// What a column of a measurement holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Column {
    Force,
    Reading,
    Seating,
    Direction,
}

/// A column of forces.
#[must_use]
pub const fn force_column<K>(kind: K) -> Quantity<K> {
    Quantity {
        kind,
        meaning: "force",
        columns: FORCE_COLUMNS,
        words: FORCE_WORDS,
        units: FORCE_UNITS,
        is_unitless: false,
        is_essential: true,
    }
}

/// A column of readings.
#[must_use]
pub const fn reading_column<K>(kind: K) -> Quantity<K> {
    Quantity {
        kind,
        meaning: "reading",
        columns: READING_COLUMNS,
        words: READING_WORDS,
        units: READING_UNITS,
        is_unitless: false,
        is_essential: true,
    }
}

/// A column of numbers of seatings.
#[must_use]
pub const fn seating_column<K>(kind: K) -> Quantity<K> {
    Quantity::plain(kind, "seating", &[("seating", "")])
}

/// A column of directions.
#[must_use]
pub const fn direction_column<K>(kind: K) -> Quantity<K> {
    Quantity::plain(kind, "direction", &[("direction", "")])
}

/// Columns that say force and unit, with the [`ForceUnit::word`] of the unit.
const FORCE_COLUMNS: &[(&str, &str)] = &[
    (ForceUnit::Gf.column(), ForceUnit::Gf.word()),
    (ForceUnit::Newton.column(), ForceUnit::Newton.word()),
    (
        ForceUnit::Millinewton.column(),
        ForceUnit::Millinewton.word(),
    ),
    (ForceUnit::MassGram.column(), ForceUnit::MassGram.word()),
];

/// Words for a force that leave its unit open, folded.
const FORCE_WORDS: &[&str] = &["force", "weight", "mass", "appliedforce", "nibforce"];

/// Words for units of force, folded. A force in grams is what a mass of so many grams weighs.
pub(crate) const FORCE_UNITS: &[(&str, &str)] = &[
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

/// Columns that say reading and unit, with the [`ReadingUnit::word`] of the unit.
const READING_COLUMNS: &[(&str, &str)] = &[
    (ReadingUnit::Percent.column(), ReadingUnit::Percent.word()),
    (ReadingUnit::Fraction.column(), ReadingUnit::Fraction.word()),
    (ReadingUnit::Raw.column(), ReadingUnit::Raw.word()),
    ("raw", ReadingUnit::Raw.word()),
    ("percent", ReadingUnit::Percent.word()),
];

/// Words for a reading that leave its unit open, folded.
const READING_WORDS: &[&str] = &[
    "reading",
    "readings",
    "pressure",
    "reported",
    "reportedreading",
];

/// Words for units of readings, folded, each with the [`ReadingUnit::word`] it means.
const READING_UNITS: &[(&str, &str)] = &[
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
    ..reading_column(Column::Reading)
};

const EXCLUDE: &str = "name the lines of the samples: # exclude = 12, 17";
const TILT: &str = "write # tilt_deg = 30 and # force_acts = along-stylus, or on-surface where a scale under the tablet shows the force";
const GAIN: &str =
    "write forces with their gain applied; # force_gain_u = 0.02 is the uncertainty of a gain";
const LEVELS: &str = "write # levels = 8192, with the number of levels";
const SEATINGS: &str = "write # seating = 2 above its first row, or a column seating";
const DIRECTIONS: &str = "write a column direction with loading or unloading";

/// Words that would take samples out.
pub const EXCLUDE_WORDS: &[&str] = &[
    "skip",
    "skipped",
    "ignore",
    "ignored",
    "drop",
    "dropped",
    "omit",
    "omitted",
    "exclude",
    "excluded",
    "excludes",
    "leave out",
    "left out",
];

/// Words for units of forces, with what to write instead.
pub const REFUSED_FORCE_UNITS: Refused = (
    &[
        "gf",
        "n",
        "mn",
        "g",
        "gram",
        "grams",
        "newton",
        "newtons",
        "millinewton",
        "millinewtons",
        "force in",
        "forces in",
        "weight in",
        "weights in",
    ],
    "name the unit of forces in the header, such as force_n or Force (N)",
);

/// Words for units of readings, with what to write instead.
pub const REFUSED_READING_UNITS: Refused = (
    &["reading in", "readings in"],
    "name the unit of readings in the header, such as reported_percent or Reading (%)",
);

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
        "seating_gain_u",
    ],
    aliases: &[("note", "notes")],
    repeatable: &["exclude", "seating"],
    refused: &[
        (EXCLUDE_WORDS, EXCLUDE),
        (&["gain"], GAIN),
        REFUSED_FORCE_UNITS,
        REFUSED_READING_UNITS,
        (&["tilt", "tilted", "angle"], TILT),
        (&["levels"], LEVELS),
        (&["seating", "seatings"], SEATINGS),
        (&["direction"], DIRECTIONS),
    ],
};

const LOADS: &str = "turn loads into forces with the rig they were placed on first";
const OUTPUTS: &str = "outputs behind a map are verification data; a measurement has readings";

const SEATING: Quantity<Column> = seating_column(Column::Seating);
const DIRECTION: Quantity<Column> = direction_column(Column::Direction);

/// A measurement.
pub(crate) const SAMPLES: TableSpec<Column> = TableSpec {
    quantities: &[
        force_column(Column::Force),
        reading_column(Column::Reading),
        SEATING,
        DIRECTION,
    ],
    remarks: SAMPLE_REMARKS,
    refused_columns: &[
        (&["placed", "load", "loads"], LOADS),
        (&["output", "outputpercent", "outputraw"], OUTPUTS),
    ],
    example: "force_gf,reported_percent",
};

/// Outputs that were measured behind a map.
pub(crate) const OUTPUTS_MEASURED: TableSpec<Column> = TableSpec {
    quantities: &[force_column(Column::Force), OUTPUT, SEATING, DIRECTION],
    refused_columns: &[(&["placed", "load", "loads"], LOADS)],
    example: "force_gf,output_percent",
    ..SAMPLES
};
