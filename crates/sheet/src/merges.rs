//! Merged regions, met row after row.

use std::collections::BTreeMap;

/// A rectangle of cells, all bounds included and from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Region {
    pub(crate) rows: (u32, u32),
    pub(crate) columns: (u32, u32),
}

/// Regions swept from the top, so that one that spans a million rows costs no more than a small one.
pub(crate) struct Sweep {
    /// By first row, the first one last.
    waiting: Vec<Region>,
    /// Rows at which columns cease to be covered.
    ends: BTreeMap<u32, Vec<(u32, u32)>>,
    /// At each column, by how many the regions that cover it change.
    changes: BTreeMap<u32, i64>,
}

impl Sweep {
    pub(crate) fn new(mut regions: Vec<Region>) -> Self {
        regions.sort_unstable_by_key(|region| std::cmp::Reverse(region.rows));
        Self {
            waiting: regions,
            ends: BTreeMap::new(),
            changes: BTreeMap::new(),
        }
    }

    /// The ranges of columns covered in a row, in order and apart. Rows must be asked for in order.
    pub(crate) fn covered(&mut self, row: u32) -> Vec<std::ops::Range<u32>> {
        while let Some(region) = self.waiting.pop_if(|region| region.rows.0 <= row) {
            self.change(region.columns, 1);
            let ends = self.ends.entry(region.rows.1 + 1).or_default();
            ends.push(region.columns);
        }
        while let Some(ended) = self.ends.first_entry().filter(|ended| *ended.key() <= row) {
            for columns in ended.remove() {
                self.change(columns, -1);
            }
        }
        let mut ranges = Vec::new();
        let mut depth = 0;
        let mut start = 0;
        for (column, change) in &self.changes {
            let before = depth;
            depth += change;
            if before == 0 && depth > 0 {
                start = *column;
            } else if before > 0 && depth == 0 {
                ranges.push(start..*column);
            }
        }
        ranges
    }

    fn change(&mut self, columns: (u32, u32), by: i64) {
        for (column, by) in [(columns.0, by), (columns.1 + 1, -by)] {
            let change = self.changes.entry(column).or_default();
            *change += by;
            if *change == 0 {
                self.changes.remove(&column);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn region(rows: (u32, u32), columns: (u32, u32)) -> Region {
        Region { rows, columns }
    }

    #[test]
    fn sweep_agrees_with_looking_at_every_cell() {
        let regions = vec![
            region((2, 4), (1, 1)),
            region((0, 0), (0, 6)),
            region((3, 9), (2, 4)),
            region((4, 5), (3, 6)),
            region((7, 7), (0, 1)),
            region((7, 8), (2, 2)),
        ];
        for step in 1..4 {
            let mut sweep = Sweep::new(regions.clone());
            for row in (0..12).step_by(step) {
                let swept: Vec<u32> = sweep.covered(row).into_iter().flatten().collect();
                let looked: Vec<u32> = (0..10)
                    .filter(|column| {
                        regions.iter().any(|r| {
                            (r.rows.0..=r.rows.1).contains(&row)
                                && (r.columns.0..=r.columns.1).contains(column)
                        })
                    })
                    .collect();
                assert_eq!(swept, looked, "row {row}, every {step}");
            }
        }
    }
}
