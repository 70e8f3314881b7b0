//! What tables with forces and readings have in common: faults that each of them finds, cells that each reads.

use std::fmt::Debug;

use evenhand_text::{Cell, Fault, Place, Remedy, Row, Setting, Table, folded, quoted, words};

use crate::columns::FORCE_UNITS;
use crate::measurement::Direction;

/// What to write instead of a remark that names the unit of forces.
pub const UNIT_IN_HEADER: &str =
    "name the unit of forces in the header, such as force_n or Force (N)";
/// Words of a key whose value could be meant as the unit of forces.
const UNIT_KEYS: &[&str] = &[
    "force", "forces", "unit", "units", "weight", "weights", "mass", "load",
];

/// Refuses remarks with keys of the writer's own that say a unit of force, which only a header can.
pub fn refuse_unit_labels<K: Copy + PartialEq + Debug>(table: &mut Table<'_, K>, remedy: &str) {
    let place = table.header_line();
    for (key, value) in table.labels().clone() {
        let name = folded(&value);
        let mut words = words(&key).into_iter();
        if words.any(|word| UNIT_KEYS.contains(&word.as_str()))
            && FORCE_UNITS.iter().any(|(unit, _)| *unit == name)
        {
            let found = format!(
                "the remark {key} = {}, which would change nothing",
                quoted(&value)
            );
            table.fault(Fault::at(place.clone(), found, "", remedy));
        }
    }
}

/// Refuses a remark that begins a seating beside a column that numbers them.
pub fn refuse_two_seatings<K: Copy + PartialEq + Debug>(
    table: &mut Table<'_, K>,
    column: K,
    remark: Option<Place>,
) {
    if table.column(column).is_some()
        && let Some(place) = remark
    {
        table.fault(Fault::at(
            place,
            "a remark that begins a seating beside a column of seatings",
            "",
            "keep one of them",
        ));
    }
}

/// The direction in a row's cell: `Some(None)` where the table or the cell says nothing, `None` where it is wrong,
/// which the table keeps.
pub fn direction<'t, K: Copy + PartialEq + Debug>(
    table: &mut Table<'t, K>,
    row: &Row<'t>,
    cells: &[Cell<'t>],
    kind: K,
) -> Option<Option<Direction>> {
    let cell = match table.column(kind).map(|column| &cells[column]) {
        Some(cell) if !cell.is_blank() => cell,
        _ => return Some(None),
    };
    let found = Direction::from_word(&cell.text.to_lowercase());
    if found.is_none() {
        table.fault(Fault::at(
            row.place_of(cell),
            quoted(&cell.text),
            "a direction",
            "write loading or unloading",
        ));
    }
    found.map(Some)
}

/// Raw readings whose scale nobody knows, at the column of readings.
#[must_use]
pub fn missing_levels(place: Place) -> Fault {
    Fault::at(
        place,
        "raw readings without a number of levels",
        "",
        Remedy::from("add a line # levels = 8192, with your stylus's number")
            .or_set(Setting::Levels),
    )
}
