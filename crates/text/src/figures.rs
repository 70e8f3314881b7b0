//! The numbers of a table: one decimal mark throughout, one unit a column.

use evenhand_sheet::Flaw;

use crate::clean::quoted;
use crate::fault::{Fault, Remedy};
use crate::header::Quantity;
use crate::line::Cell;
use crate::number::{DecimalMark, NoNumber, written_number};
use crate::place::Place;

const LEAVE_OUT: &str = "write a number, or leave the whole line out";

/// What the numbers of a table have in common.
#[derive(Debug)]
pub(crate) struct Figures {
    is_comma_allowed: bool,
    /// The decimal mark in use, and the line that showed it first.
    mark: Option<(DecimalMark, usize)>,
    /// Whether a mark stood where none before thousands can.
    is_mark_proven: bool,
}

/// What the numbers of a column have in common.
#[derive(Debug)]
pub(crate) struct ColumnFigures {
    /// The unit that the header says.
    unit: Option<&'static str>,
    /// The unit that cells have behind their numbers, and the first such cell.
    suffix: Option<(&'static str, Place)>,
    /// The first cell without one.
    plain: Option<Place>,
    /// The first cell that could be a number of thousands.
    thousands: Option<(Place, String)>,
    /// Whether a cell had no mark.
    has_unmarked: bool,
}

impl ColumnFigures {
    pub(crate) fn new(unit: Option<&'static str>) -> Self {
        Self {
            unit,
            suffix: None,
            plain: None,
            thousands: None,
            has_unmarked: false,
        }
    }

    /// The unit that the header says.
    pub(crate) fn declared(&self) -> Option<&'static str> {
        self.unit
    }

    /// The unit that cells up to here say, else the header's.
    pub(crate) fn so_far(&self) -> Option<&'static str> {
        self.suffix.as_ref().map(|(unit, _)| *unit).or(self.unit)
    }

    /// Takes the header to say a unit where it says none.
    pub(crate) fn assume(&mut self, unit: &'static str) {
        self.unit.get_or_insert(unit);
    }
}

impl Figures {
    pub(crate) fn new(is_comma_allowed: bool) -> Self {
        Self {
            is_comma_allowed,
            mark: None,
            is_mark_proven: false,
        }
    }

    /// The decimal mark in use, once a number had one.
    pub(crate) fn mark(&self) -> Option<DecimalMark> {
        self.mark.map(|(mark, _)| mark)
    }

    /// The number in a cell, in the unit of its column; a fault where it is none.
    pub(crate) fn number<K>(
        &mut self,
        cell: &Cell<'_>,
        place: impl Fn() -> Place,
        column: &mut ColumnFigures,
        quantity: &Quantity<K>,
    ) -> Result<f64, Box<Fault>> {
        if let Some(flaw) = cell.flaw {
            return Err(flawed(&cell.text, flaw, place()));
        }
        let number = written_number(&cell.text, self.is_comma_allowed)
            .map_err(|why| no_number(&cell.text, why, place()))?;
        if let Some(mark) = number.mark {
            match self.mark {
                None => self.mark = Some((mark, place().line)),
                // 1.234 beside 5,6 may be a thousand: guessing could be wrong by that much.
                Some((first, from)) if first != mark => {
                    return Err(boxed(
                        place(),
                        format!(
                            "{} with a decimal {}, but line {from} has a decimal {}",
                            quoted(&cell.text),
                            mark.word(),
                            first.word()
                        ),
                        "",
                        "write one decimal mark throughout and no thousands marks",
                    ));
                }
                Some(_) => {}
            }
            if number.could_be_thousands {
                column
                    .thousands
                    .get_or_insert_with(|| (place(), cell.text.to_string()));
            } else {
                self.is_mark_proven = true;
            }
        } else {
            column.has_unmarked |= number.value != 0.0;
        }
        if number.suffix.is_empty() {
            if column.plain.is_none() {
                column.plain = Some(place());
            }
            return Ok(number.value);
        }
        let unit = quantity.unit(number.suffix);
        let is_fitting = match (unit, column.unit, &column.suffix) {
            (None, ..) => false,
            (Some(unit), Some(header), _) if unit == header => true,
            // A fraction that a spreadsheet shows as a percentage.
            (Some("percent"), Some("fraction"), _) => true,
            (Some(_), Some(_), _) => false,
            (Some(unit), None, Some((first, _))) => unit == *first,
            (Some(_), None, None) => true,
        };
        let Some(unit) = unit.filter(|_| is_fitting) else {
            let expected = match (column.unit, &column.suffix) {
                (Some(unit), _) => format!("a {} in {unit}, as the header says", quantity.meaning),
                (None, Some((unit, _))) => format!("a {} in {unit}, as above", quantity.meaning),
                (None, None) => format!("a {} with its unit", quantity.meaning),
            };
            return Err(boxed(
                place(),
                quoted(&cell.text),
                expected,
                "write all numbers of a column in one unit, which its header names",
            ));
        };
        if column.suffix.is_none() {
            column.suffix = Some((unit, place()));
        }
        Ok(number.value)
    }

    /// The unit that the numbers of a column are in, and what is wrong with the column as a whole.
    pub(crate) fn unit<K>(
        &self,
        column: &ColumnFigures,
        quantity: &Quantity<K>,
        name: &str,
        header: &Place,
    ) -> Result<Option<&'static str>, Box<Fault>> {
        if let Some((place, text)) = &column.thousands
            && self.is_comma_allowed
            && !self.is_mark_proven
            && column.has_unmarked
        {
            let digits: String = text.chars().filter(char::is_ascii_digit).collect();
            return Err(boxed(
                place.clone(),
                format!("{}, which may be thousands or decimals", quoted(text)),
                "",
                format!("write {digits}, or all numbers of the column with decimals"),
            ));
        }
        match (&column.suffix, &column.plain, column.unit) {
            (Some((unit, _)), None, _) => Ok(Some(unit)),
            (Some((unit, _)), Some(_), Some(header)) if *unit == header => Ok(column.unit),
            (Some((unit, with)), Some(without), _) => Err(boxed(
                without.clone(),
                format!("a number without a unit, but line {} has {unit}", with.line),
                "",
                "write all numbers of a column in one unit",
            )),
            (None, _, Some(unit)) => Ok(Some(unit)),
            (None, _, None) if quantity.is_unitless => Ok(None),
            (None, _, None) => {
                let (found, remedy) = crate::header::unit_fault(name, quantity, None);
                Err(boxed(header.clone(), found, "", remedy))
            }
        }
    }
}

/// A cell that a spreadsheet has no number in.
pub(crate) fn flawed(text: &str, flaw: Flaw, place: Place) -> Box<Fault> {
    let (found, remedy) = match flaw {
        Flaw::Error => (format!("the error {}", quoted(text)), LEAVE_OUT),
        Flaw::FormulaWithoutValue => (
            format!("the formula {} without a stored value", quoted(text)),
            "open the file in a spreadsheet program, let it calculate, and save it",
        ),
        Flaw::Merged => (
            "merged cells inside the table".to_owned(),
            "split them, so that each cell has its own value",
        ),
        Flaw::Date => (
            format!("the date {}", quoted(text)),
            "format the cell as a number",
        ),
    };
    boxed(place, found, "a number", remedy)
}

fn no_number(text: &str, why: NoNumber, place: Place) -> Box<Fault> {
    let text = quoted(text);
    let (found, remedy) = match why {
        NoNumber::Empty => ("an empty cell".to_owned(), LEAVE_OUT),
        NoNumber::SeveralMarks => (text, "write one decimal mark and no thousands marks"),
        NoNumber::Comma => (
            text,
            "write a decimal point; decimal commas need semicolons or tabs between the cells",
        ),
        NoNumber::SpacedDigits => (text, "write the digits without spaces between them"),
        NoNumber::NotFinite => (text, "write a finite number, or leave the whole line out"),
        NoNumber::NotANumber => (
            text,
            "write the number alone; its unit belongs in the header",
        ),
    };
    boxed(place, found, "a number", remedy)
}

// Boxed, so that a result costs little where all is well.
fn boxed(
    place: Place,
    found: impl Into<String>,
    expected: impl Into<String>,
    remedy: impl Into<Remedy>,
) -> Box<Fault> {
    Box::new(Fault::at(place, found, expected, remedy))
}
