//! Numbers in parts of cells, such as each mass of `20+10`.

use super::{Row, Table};
use crate::figures::ColumnFigures;
use crate::line::Cell;

/// The figures of a column, or of parts that no column is of.
enum At {
    Column(usize),
    Part(usize),
}

impl<'t, K: Copy + PartialEq + std::fmt::Debug> Table<'t, K> {
    /// The number in a part of a cell; `part` is a slice of the cell's text, and `kind` what the number is: that of a
    /// column, or one that stands inside of cells only. Decimal marks and units are held to be one throughout, as in
    /// whole cells. A fault where there is no number.
    pub fn part(&mut self, row: &Row<'t>, cell: &Cell<'t>, part: &str, kind: K) -> Option<f64> {
        let quantity = self.quantity(kind)?;
        let at = self.figures_of(kind);
        let figures = match at {
            At::Column(column) => &mut self.columns[column].figures,
            At::Part(part) => &mut self.parts[part].1,
        };
        let part = cell.part(part.trim());
        let found = self
            .figures
            .number(&part, || row.place_of(&part), figures, quantity);
        match found {
            Ok(value) => Some(value),
            Err(fault) => {
                self.fault(*fault);
                None
            }
        }
    }

    /// Sets the unit of numbers of this kind, in cells and parts of cells, where neither a header nor they name one.
    pub fn assume_unit(&mut self, kind: K, unit: &'static str) {
        match self.figures_of(kind) {
            At::Column(column) => self.columns[column].figures.assume(unit),
            At::Part(part) => self.parts[part].1.assume(unit),
        }
    }

    /// Where it is kept what numbers of this kind have in common.
    fn figures_of(&mut self, kind: K) -> At {
        if let Some(column) = self.column(kind) {
            return At::Column(column);
        }
        let known = self.parts.iter().position(|(known, _)| *known == kind);
        At::Part(known.unwrap_or_else(|| {
            self.parts.push((kind, ColumnFigures::new(None)));
            self.parts.len() - 1
        }))
    }

    /// Keeps what is wrong with parts that no column is of, taken together.
    pub(super) fn finish_parts(&mut self) {
        for (kind, figures) in std::mem::take(&mut self.parts) {
            let Some(quantity) = self.quantity(kind) else {
                continue;
            };
            let header = self.header.whole();
            let unit = self
                .figures
                .unit(&figures, quantity, quantity.meaning, &header);
            if let Err(fault) = unit {
                self.fault(*fault);
            }
        }
    }
}
