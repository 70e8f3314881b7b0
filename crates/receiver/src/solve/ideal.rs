//! The ideal map as the solver sees it: one row for every distinct reading.

use crate::compile_error::CompileError;

/// Readings and outputs this far outside 0..1 are taken for rounding and pulled back.
const ROUNDING: f64 = 1e-9;

/// What the ideal map takes at one reading: a whole interval at a vertical step.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Row {
    pub(crate) x: f64,
    pub(crate) least: f64,
    pub(crate) most: f64,
}

impl Row {
    /// Distance of an output; at a vertical step the larger one to its foot and top.
    pub(crate) fn error(&self, output: f64) -> f64 {
        (output - self.least).abs().max((output - self.most).abs())
    }
}

/// The ideal map over readings 0..1, linear between rows; rows have strictly increasing readings.
#[derive(Clone, Debug)]
pub(crate) struct Ideal {
    rows: Vec<Row>,
}

impl Ideal {
    /// Takes points that do not decrease in either coordinate; outside of them the end values hold.
    pub(crate) fn from_points(
        points: impl Iterator<Item = (f64, f64)>,
    ) -> Result<Self, CompileError> {
        let mut rows: Vec<Row> = Vec::new();
        for (index, (x, y)) in points.enumerate() {
            let inside = -ROUNDING..=1.0 + ROUNDING;
            if !inside.contains(&x) || !inside.contains(&y) {
                return Err(CompileError::OutsideUnitSquare { index, x, y });
            }
            let (x, y) = (x.clamp(0.0, 1.0), y.clamp(0.0, 1.0));
            match rows.last_mut() {
                Some(last) if x < last.x || y < last.most => {
                    return Err(CompileError::Decreasing { index });
                }
                Some(last) if x <= last.x => last.most = y,
                _ => rows.push(Row {
                    x,
                    least: y,
                    most: y,
                }),
            }
        }
        let (Some(&first), Some(&last)) = (rows.first(), rows.last()) else {
            return Err(CompileError::NoPoints);
        };
        if first.x > 0.0 {
            rows.insert(
                0,
                Row {
                    x: 0.0,
                    least: first.least,
                    most: first.least,
                },
            );
        }
        if last.x < 1.0 {
            rows.push(Row {
                x: 1.0,
                least: last.most,
                most: last.most,
            });
        }
        Ok(Self { rows })
    }

    pub(crate) fn rows(&self) -> &[Row] {
        &self.rows
    }

    /// The interval the ideal map takes at `x`.
    pub(crate) fn band(&self, x: f64) -> (f64, f64) {
        let after = self.rows.partition_point(|row| row.x < x);
        match (
            after.checked_sub(1).and_then(|i| self.rows.get(i)),
            self.rows.get(after),
        ) {
            (_, Some(row)) if row.x <= x => (row.least, row.most),
            (Some(a), Some(b)) => {
                let y = a.most + (b.least - a.most) * ((x - a.x) / (b.x - a.x));
                (y, y)
            }
            (None, Some(row)) => (row.least, row.least),
            (Some(row), None) => (row.most, row.most),
            (None, None) => (0.0, 0.0),
        }
    }

    /// The first reading at which an output is reached, with the interval taken there.
    pub(crate) fn reaching(&self, y: f64) -> Row {
        let after = self.rows.partition_point(|row| row.most < y);
        let x = match (
            after.checked_sub(1).map(|i| self.rows[i]),
            self.rows.get(after),
        ) {
            (Some(a), Some(b)) if y < b.least => {
                a.x + (b.x - a.x) * ((y - a.most) / (b.least - a.most))
            }
            (_, Some(b)) => b.x,
            (_, None) => 1.0,
        };
        self.row(x)
    }

    /// The row at `x`, whether the map bends there or not.
    pub(crate) fn row(&self, x: f64) -> Row {
        let (least, most) = self.band(x);
        Row { x, least, most }
    }

    /// The first reading from which the ideal map is at full output, if it gets there.
    pub(crate) fn reaches_full_at(&self) -> Option<f64> {
        self.rows
            .iter()
            .find(|row| row.most >= 1.0)
            .map(|row| row.x)
    }

    /// The last reading up to which the ideal map gives no output, if it starts so.
    pub(crate) fn leaves_zero_at(&self) -> Option<f64> {
        self.rows
            .iter()
            .rev()
            .find(|row| row.least <= 0.0)
            .map(|row| row.x)
    }

    /// The map with rows at these increasing readings too.
    pub(crate) fn with_rows_at(&self, readings: impl Iterator<Item = f64>) -> Self {
        let mut rows = self.rows.clone();
        let added = readings.filter(|x| (0.0..=1.0).contains(x));
        rows.extend(added.map(|x| self.row(x)));
        // A row that was there comes first, and stays.
        rows.sort_by(|a, b| a.x.total_cmp(&b.x));
        rows.dedup_by(|later, earlier| later.x == earlier.x);
        Self { rows }
    }

    /// Adds a row on the map at `x` where there is none.
    pub(crate) fn insert(&mut self, x: f64) {
        if !(0.0..=1.0).contains(&x) {
            return;
        }
        let at = self.rows.partition_point(|row| row.x < x);
        if self.rows.get(at).is_none_or(|row| row.x > x) {
            self.rows.insert(at, self.row(x));
        }
    }
}
