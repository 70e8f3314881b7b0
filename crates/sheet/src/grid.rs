//! Cells gathered in any order, handed out as rows.

use crate::{
    CELL_LIMIT, PADDED_CELL_LIMIT, TEXT_LIMIT,
    error::{Extent, SheetError},
    merges::{Region, Sweep},
    place::Place,
    sheet::{Flaw, SheetCell, SheetRow},
};

/// The cells with content of one sheet and its merged regions.
#[derive(Default)]
pub(crate) struct Grid {
    cells: Vec<(Place, SheetCell)>,
    regions: Vec<Region>,
    text_bytes: usize,
}

impl Grid {
    /// Adds a cell; one without text and flaw is blank and not kept.
    pub(crate) fn put(&mut self, place: Place, cell: SheetCell) -> Result<(), SheetError> {
        if cell.text.is_empty() && cell.flaw.is_none() {
            return Ok(());
        }
        if self.cells.len() >= CELL_LIMIT {
            return Err(Extent::Cells(CELL_LIMIT).into());
        }
        self.text_bytes = self.text_bytes.saturating_add(cell.text.len());
        if self.text_bytes > TEXT_LIMIT {
            return Err(Extent::TextBytes(TEXT_LIMIT).into());
        }
        self.cells.push((place, cell));
        Ok(())
    }

    /// Adds a merged region; one cell alone is none.
    pub(crate) fn merge(&mut self, region: Region) {
        if region.rows.0 != region.rows.1 || region.columns.0 != region.columns.1 {
            self.cover(region);
        }
    }

    /// Adds cells that are covered, be it one alone.
    pub(crate) fn cover(&mut self, region: Region) {
        self.regions.push(region);
    }

    /// The rows that are not blank, from the top.
    pub(crate) fn into_rows(mut self) -> Result<Vec<SheetRow>, SheetError> {
        self.cells.sort_by_key(|(place, _)| *place);
        if let Some(twice) = self.cells.windows(2).find(|pair| pair[0].0 == pair[1].0) {
            let place = twice[0].0;
            return Err(SheetError::damaged(format!("cell {place} occurs twice")));
        }
        let last_column = self.cells.iter().map(|(place, _)| place.column).max();
        let width = last_column.map_or(0, |last| last + 1);
        // A merged title may reach far beyond the table, where covered cells say nothing.
        self.regions.retain(|region| region.columns.0 < width);
        for region in &mut self.regions {
            region.columns.1 = region.columns.1.min(width - 1);
        }
        let mut sweep = Sweep::new(self.regions);
        let mut rows: Vec<SheetRow> = Vec::new();
        let mut padded = 0;
        let mut cells = self.cells.into_iter().peekable();
        while let Some((Place { row, .. }, _)) = cells.peek() {
            let row = *row;
            let mut filled: Vec<SheetCell> = Vec::new();
            while let Some((place, cell)) = cells.next_if(|(place, _)| place.row == row) {
                filled.resize(place.column as usize, SheetCell::default());
                filled.push(cell);
            }
            for covered in sweep.covered(row) {
                let (start, end) = (covered.start as usize, covered.end as usize);
                if filled.len() < end {
                    filled.resize(end, SheetCell::default());
                }
                for cell in &mut filled[start..end] {
                    cell.flaw = Some(Flaw::Merged);
                }
            }
            padded += filled.len();
            if padded > PADDED_CELL_LIMIT {
                return Err(Extent::PaddedCells(PADDED_CELL_LIMIT).into());
            }
            rows.push(SheetRow {
                number: row as usize + 1,
                cells: filled,
            });
        }
        Ok(rows)
    }
}
