//! What people call the columns and remarks of a table of strokes.

use evenhand_measurement::{
    FORCE_COLUMNS, FORCE_UNITS, FORCE_WORDS, READING_COLUMNS, READING_UNITS, READING_WORDS,
};
use evenhand_text::{Quantity, RemarkSpec, TableSpec};

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Column {
    X,
    Y,
    Time,
    Stroke,
    Reading,
    Force,
}

const fn place(
    kind: Column,
    meaning: &'static str,
    columns: &'static [(&'static str, &'static str)],
    words: &'static [&'static str],
) -> Quantity<Column> {
    Quantity {
        kind,
        meaning,
        columns,
        words,
        units: &[
            ("mm", "mm"),
            ("millimetre", "mm"),
            ("millimetres", "mm"),
            ("millimeter", "mm"),
            ("millimeters", "mm"),
        ],
        is_unitless: true,
        is_essential: true,
    }
}

const UNIT: &str = "name the unit of forces in the header, such as force_n or Force (N)";
const READING_UNIT: &str =
    "name the unit of readings in the header, such as reported_percent or Reading (%)";
const DELETE: &str = "delete those lines: a recording is read whole";

pub(crate) const SPEC: TableSpec<Column> = TableSpec {
    quantities: &[
        place(
            Column::X,
            "place to the right",
            &[("x", ""), ("x_mm", "mm")],
            &["x"],
        ),
        place(
            Column::Y,
            "place downwards",
            &[("y", ""), ("y_mm", "mm")],
            &["y"],
        ),
        Quantity {
            kind: Column::Time,
            meaning: "time",
            columns: &[("t_s", "s"), ("t_ms", "ms"), ("t", "s")],
            words: &["t", "time", "times", "timestamp"],
            units: &[
                ("s", "s"),
                ("sec", "s"),
                ("second", "s"),
                ("seconds", "s"),
                ("ms", "ms"),
                ("msec", "ms"),
                ("millisecond", "ms"),
                ("milliseconds", "ms"),
            ],
            is_unitless: false,
            is_essential: true,
        },
        Quantity {
            kind: Column::Stroke,
            meaning: "number of a stroke",
            columns: &[("stroke", "")],
            words: &[
                "stroke",
                "strokes",
                "strokeid",
                "strokeindex",
                "strokeno",
                "strokenumber",
            ],
            units: &[],
            is_unitless: true,
            is_essential: true,
        },
        Quantity {
            kind: Column::Reading,
            meaning: "reading",
            columns: READING_COLUMNS,
            words: READING_WORDS,
            units: READING_UNITS,
            is_unitless: false,
            is_essential: true,
        },
        Quantity {
            kind: Column::Force,
            meaning: "force",
            columns: FORCE_COLUMNS,
            words: FORCE_WORDS,
            units: FORCE_UNITS,
            is_unitless: false,
            is_essential: true,
        },
    ],
    remarks: RemarkSpec {
        keys: &["levels", "force_acts", "tilt_deg", "read_at"],
        aliases: &[
            ("number of levels", "levels"),
            ("pressure levels", "levels"),
            ("raw levels", "levels"),
        ],
        repeatable: &[],
        refused: &[
            ("skip", DELETE),
            ("skipped", DELETE),
            ("ignore", DELETE),
            ("ignored", DELETE),
            ("drop", DELETE),
            ("dropped", DELETE),
            ("omit", DELETE),
            ("omitted", DELETE),
            ("exclude", DELETE),
            ("excluded", DELETE),
            ("excludes", DELETE),
            ("leave out", DELETE),
            ("left out", DELETE),
            ("gain", "multiply the values themselves"),
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
        ],
    },
    refused_columns: &[],
    example: "x,y,t_s,reported_percent",
};
