//! What people call the columns and remarks of a table of strokes.

use evenhand_measurement::{
    EXCLUDE_WORDS, REFUSED_FORCE_UNITS, REFUSED_READING_UNITS, force_column, reading_column,
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
        reading_column(Column::Reading),
        force_column(Column::Force),
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
            (EXCLUDE_WORDS, DELETE),
            (&["gain"], "multiply the values themselves"),
            REFUSED_FORCE_UNITS,
            REFUSED_READING_UNITS,
        ],
    },
    refused_columns: &[],
    example: "x,y,t_s,reported_percent",
};
