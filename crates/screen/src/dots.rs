//! Dots, eight to a cell.

use crate::area::Area;
use crate::canvas::{Canvas, Look};
use crate::grid::nearest;
use crate::letter::Letter;

/// Dots of a cell across.
const ACROSS: usize = 2;
/// Dots of a cell down.
const DOWN: usize = 4;
/// The letter of a cell without dots.
const NO_DOTS: u32 = 0x2800;
/// What the dots of a cell add to it, row by row.
const BITS: [[u8; ACROSS]; DOWN] = [[0x01, 0x08], [0x02, 0x10], [0x04, 0x20], [0x40, 0x80]];

/// A dot, counted from the left and from the top.
pub(crate) type Dot = (usize, usize);

/// An area full of places for dots.
pub(crate) struct Dots {
    area: Area,
    cells: Vec<u8>,
}

impl Dots {
    /// An area without a dot.
    pub(crate) fn new(area: Area) -> Self {
        Self {
            area,
            cells: vec![0; usize::from(area.width) * usize::from(area.height)],
        }
    }

    /// The dot nearest to parts (0..1) of the way to the right and upwards, so that 0 and 1 are the outermost ones.
    /// Nothing for what lies outside of the area or is no number.
    pub(crate) fn at(&self, right: f64, up: f64) -> Option<Dot> {
        if self.cells.is_empty() || !(0.0..=1.0).contains(&right) || !(0.0..=1.0).contains(&up) {
            return None;
        }
        let columns = ACROSS * usize::from(self.area.width);
        let rows = DOWN * usize::from(self.area.height);
        Some((nearest(right, columns - 1)?, nearest(1.0 - up, rows - 1)?))
    }

    /// Column and row of the canvas that a dot is in.
    pub(crate) fn cell(&self, (column, row): Dot) -> (u16, u16) {
        let cell = |dot: usize, dots: usize, first: u16| {
            first.saturating_add(u16::try_from(dot / dots).unwrap_or(u16::MAX))
        };
        (
            cell(column, ACROSS, self.area.x),
            cell(row, DOWN, self.area.y),
        )
    }

    /// Sets a dot.
    pub(crate) fn set(&mut self, (column, row): Dot) {
        let width = usize::from(self.area.width);
        if column / ACROSS >= width {
            return;
        }
        if let Some(cell) = self.cells.get_mut(row / DOWN * width + column / ACROSS) {
            *cell |= BITS[row % DOWN][column % ACROSS];
        }
    }

    /// Sets the dots between two, and both.
    pub(crate) fn line(&mut self, from: Dot, to: Dot) {
        let across = from.0.abs_diff(to.0);
        let down = from.1.abs_diff(to.1);
        let steps = across.max(down);
        // Half a step is added, so that every dot is the nearest one.
        let between = |from: usize, to: usize, step: usize| {
            let length = from.abs_diff(to);
            let gone = (2 * length * step + steps) / (2 * steps).max(1);
            if to < from { from - gone } else { from + gone }
        };
        for step in 0..=steps {
            self.set((between(from.0, to.0, step), between(from.1, to.1, step)));
        }
    }

    /// Draws the cells that have dots.
    pub(crate) fn draw(&self, canvas: &mut Canvas) {
        let places = (self.area.y..self.area.bottom())
            .flat_map(|y| (self.area.x..self.area.right()).map(move |x| (x, y)));
        for ((x, y), dots) in places.zip(&self.cells) {
            let letter = char::from_u32(NO_DOTS + u32::from(*dots));
            if let Some(letter) = letter.filter(|_| *dots > 0) {
                canvas.put(x, y, Letter::narrow(letter), Look::PLAIN);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drawn(width: u16, height: u16, set: impl FnOnce(&mut Dots)) -> Vec<String> {
        let mut canvas = Canvas::new(width, height);
        let mut dots = Dots::new(canvas.area());
        set(&mut dots);
        dots.draw(&mut canvas);
        canvas.rows().collect()
    }

    #[test]
    fn every_dot_has_its_place_in_a_cell() {
        // U+2800 and on count dots down the left column, the right one, and then the lowest two.
        for (dot, letter) in [
            ((0, 0), '⠁'),
            ((0, 1), '⠂'),
            ((0, 2), '⠄'),
            ((1, 0), '⠈'),
            ((1, 1), '⠐'),
            ((1, 2), '⠠'),
            ((0, 3), '⡀'),
            ((1, 3), '⢀'),
        ] {
            assert_eq!(drawn(1, 1, |dots| dots.set(dot)), [letter.to_string()]);
        }
        let all = drawn(2, 1, |dots| {
            for dot in 0..8 {
                dots.set((2 + dot % 2, dot / 2));
            }
        });
        assert_eq!(all, [" ⣿"]);
    }

    #[test]
    fn dots_outside_are_left_out() {
        let rows = drawn(2, 2, |dots| {
            for dot in [(4, 0), (0, 8), (usize::MAX, 0), (0, usize::MAX / 16)] {
                dots.set(dot);
            }
            assert_eq!(dots.at(1.1, 0.5), None);
            assert_eq!(dots.at(0.5, -0.1), None);
            assert_eq!(dots.at(f64::NAN, 0.5), None);
        });
        assert_eq!(rows, ["  ", "  "]);
        assert_eq!(
            drawn(0, 2, |dots| assert_eq!(dots.at(0.0, 0.0), None)),
            ["", ""]
        );
    }

    #[test]
    fn parts_reach_from_edge_to_edge() {
        let dots = Dots::new(Area::new(7, 3, 10, 5));
        for (right, up, dot, cell) in [
            (0.0, 0.0, (0, 19), (7, 7)),
            (1.0, 1.0, (19, 0), (16, 3)),
            (0.0, 1.0, (0, 0), (7, 3)),
            (1.0, 0.0, (19, 19), (16, 7)),
            (0.5, 0.5, (10, 10), (12, 5)),
        ] {
            assert_eq!(dots.at(right, up), Some(dot));
            assert_eq!(dots.cell(dot), cell);
        }
    }

    #[test]
    fn lines_are_unbroken_and_end_where_they_should() {
        for (from, to) in [
            ((0, 0), (19, 11)),
            ((19, 2), (0, 7)),
            ((3, 11), (5, 0)),
            ((4, 4), (4, 4)),
            ((0, 5), (19, 5)),
        ] {
            let mut dots = Dots::new(Area::new(0, 0, 10, 3));
            dots.line(from, to);
            let set: Vec<Dot> = (0..20)
                .flat_map(|column| (0..12).map(move |row| (column, row)))
                .filter(|(column, row)| {
                    dots.cells[row / 4 * 10 + column / 2] & BITS[row % 4][column % 2] > 0
                })
                .collect();
            assert!(set.contains(&from) && set.contains(&to), "{from:?} {to:?}");
            let longest = from.0.abs_diff(to.0).max(from.1.abs_diff(to.1));
            assert_eq!(set.len(), longest + 1, "{from:?} {to:?}: {set:?}");
            for dot in &set {
                let has_neighbour = set.iter().any(|other| {
                    other != dot && other.0.abs_diff(dot.0) <= 1 && other.1.abs_diff(dot.1) <= 1
                });
                assert!(has_neighbour || set.len() == 1, "{from:?} {to:?}: {dot:?}");
                // No dot is more than half a dot off the straight line, times the length.
                let slopes = |of: Dot| {
                    let by = |a: usize, b: usize| {
                        f64::from(u32::try_from(a).unwrap()) - f64::from(u32::try_from(b).unwrap())
                    };
                    (by(of.0, from.0), by(of.1, from.1))
                };
                let ((x, y), (across, down)) = (slopes(*dot), slopes(to));
                let off = (x * down - y * across).abs();
                assert!(2.0 * off <= across.abs().max(down.abs()), "{dot:?}");
            }
        }
    }
}
