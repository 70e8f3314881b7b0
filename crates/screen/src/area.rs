//! Parts of a canvas.

/// Columns between two halves.
const GAP: u16 = 2;

/// A rectangle of cells. What lies beyond the canvas is not drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Area {
    /// First column.
    pub(crate) x: u16,
    /// First row.
    pub(crate) y: u16,
    /// Columns.
    pub(crate) width: u16,
    /// Rows.
    pub(crate) height: u16,
}

impl Area {
    pub(crate) const fn new(x: u16, y: u16, width: u16, height: u16) -> Self {
        Self {
            x,
            y,
            width,
            height,
        }
    }

    /// The first column behind it.
    pub(crate) fn right(self) -> u16 {
        self.x.saturating_add(self.width)
    }

    /// The first row below it.
    pub(crate) fn bottom(self) -> u16 {
        self.y.saturating_add(self.height)
    }

    /// Splits rows off its top, as many as there are.
    pub(crate) fn take_top(&mut self, rows: u16) -> Self {
        let rows = rows.min(self.height);
        let top = Self {
            height: rows,
            ..*self
        };
        self.y = self.y.saturating_add(rows);
        self.height -= rows;
        top
    }

    /// Its left and right half with a gap between; an odd column goes to the left one.
    pub(crate) fn halves(self) -> [Self; 2] {
        let both = self.width.saturating_sub(GAP);
        let left = Self {
            width: both.div_ceil(2),
            ..self
        };
        let right = Self {
            x: self.right().saturating_sub(both / 2),
            width: both / 2,
            ..self
        };
        [left, right]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_are_split_off_until_none_is_left() {
        let mut area = Area::new(3, 1, 9, 5);
        let top = area.take_top(2);
        assert_eq!((top.y, top.height, top.bottom()), (1, 2, 3));
        assert_eq!((area.y, area.height), (3, 3));
        let rest = area.take_top(7);
        assert_eq!((rest.y, rest.height), (3, 3));
        assert_eq!((area.y, area.height), (6, 0));
    }

    #[test]
    fn halves_fill_the_width_with_a_gap() {
        for width in 0..20_u16 {
            let area = Area::new(4, 0, width, 1);
            let [left, right] = area.halves();
            assert_eq!(left.x, area.x);
            assert_eq!(right.right(), area.right());
            assert!(left.width == right.width || left.width == right.width + 1);
            if width >= GAP {
                assert_eq!(right.x - left.right(), GAP, "{width}");
            }
        }
    }
}
