//! The cells of a screen.

use std::fmt;

use crate::area::Area;
use crate::letter::{Letter, letters};
use crate::wrap::wrapped;

/// How a letter looks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Look {
    /// Bold.
    pub is_bold: bool,
    /// Letter and ground exchanged.
    pub is_reversed: bool,
}

impl Look {
    /// Neither bold nor reversed.
    pub const PLAIN: Self = Self {
        is_bold: false,
        is_reversed: false,
    };
    /// Bold.
    pub const BOLD: Self = Self {
        is_bold: true,
        ..Self::PLAIN
    };
    /// Reversed.
    pub const REVERSED: Self = Self {
        is_reversed: true,
        ..Self::PLAIN
    };
}

/// A cell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Cell {
    /// What begins here; nothing where a wide letter reaches over from the left.
    pub(crate) letter: Option<Letter>,
    pub(crate) look: Look,
}

impl Cell {
    const BLANK: Self = Self {
        letter: Some(Letter::BLANK),
        look: Look::PLAIN,
    };
}

/// A grid of cells, as large as the screen of a terminal. What is drawn beyond its edges is cut off.
#[derive(Clone, PartialEq, Eq)]
pub struct Canvas {
    width: u16,
    height: u16,
    cells: Vec<Cell>,
}

impl Canvas {
    /// An empty canvas of so many columns and rows.
    #[must_use]
    pub fn new(width: u16, height: u16) -> Self {
        Self {
            width,
            height,
            cells: vec![Cell::BLANK; usize::from(width) * usize::from(height)],
        }
    }

    /// Columns.
    #[must_use]
    pub fn width(&self) -> u16 {
        self.width
    }

    /// Rows.
    #[must_use]
    pub fn height(&self) -> u16 {
        self.height
    }

    /// The text of each row from the top, as wide as the canvas.
    pub fn rows(&self) -> impl Iterator<Item = String> {
        (0..self.height).map(|y| {
            let letters = self.cells(y).iter().filter_map(|cell| cell.letter.as_ref());
            letters.fold(String::new(), |mut row, letter| {
                row.push(letter.base());
                row.push_str(letter.marks());
                row
            })
        })
    }

    /// How the letter in a column and row looks; nothing outside of the canvas.
    #[must_use]
    pub fn look(&self, x: u16, y: u16) -> Option<Look> {
        self.index(x, y).map(|index| self.cells[index].look)
    }

    /// Empties all cells.
    pub(crate) fn clear(&mut self) {
        self.cells.fill(Cell::BLANK);
    }

    /// The whole canvas.
    pub(crate) fn area(&self) -> Area {
        Area::new(0, 0, self.width, self.height)
    }

    /// The cells of a row; none outside of the canvas.
    pub(crate) fn cells(&self, y: u16) -> &[Cell] {
        let begins = usize::from(y) * usize::from(self.width);
        self.cells
            .get(begins..begins + usize::from(self.width))
            .unwrap_or_default()
    }

    fn index(&self, x: u16, y: u16) -> Option<usize> {
        (x < self.width && y < self.height)
            .then(|| usize::from(y) * usize::from(self.width) + usize::from(x))
    }

    /// Sets a letter, where there is room for all of it.
    pub(crate) fn put(&mut self, x: u16, y: u16, letter: Letter, look: Look) {
        let cells = usize::from(letter.width());
        if letter.width() > self.width.saturating_sub(x) {
            return;
        }
        let Some(index) = self.index(x, y) else {
            return;
        };
        // A wide letter one half of which is written over is gone.
        if self.cells[index].letter.is_none() && x > 0 {
            self.cells[index - 1].letter = Some(Letter::BLANK);
        }
        let behind = index + cells;
        if x + letter.width() < self.width && self.cells[behind].letter.is_none() {
            self.cells[behind].letter = Some(Letter::BLANK);
        }
        for cell in &mut self.cells[index..behind] {
            *cell = Cell { letter: None, look };
        }
        self.cells[index].letter = Some(letter);
    }

    /// Empties an area.
    pub(crate) fn blank(&mut self, area: Area, look: Look) {
        for y in area.y..area.bottom().min(self.height) {
            for x in area.x..area.right().min(self.width) {
                self.put(x, y, Letter::BLANK, look);
            }
        }
    }

    /// Writes letters in the first row of an area; returns the column behind them.
    pub(crate) fn write(&mut self, area: Area, letters: &[Letter], look: Look) -> u16 {
        let mut x = area.x;
        for letter in letters {
            if area.height == 0 || letter.width() > area.right().saturating_sub(x) {
                break;
            }
            self.put(x, area.y, letter.clone(), look);
            x += letter.width();
        }
        x
    }

    /// Writes a line in the first row of an area, which looks alike up to its right edge.
    pub(crate) fn line(&mut self, area: Area, text: &str, look: Look) {
        let row = Area {
            height: area.height.min(1),
            ..area
        };
        self.blank(row, look);
        self.write(row, &letters(text), look);
    }

    /// Writes texts below one another, each broken between words.
    pub(crate) fn paragraphs<'t>(
        &mut self,
        mut area: Area,
        texts: impl IntoIterator<Item = (&'t str, Look)>,
    ) {
        for (text, look) in texts {
            for row in wrapped(&letters(text), area.width) {
                self.write(area.take_top(1), &row, look);
            }
        }
    }
}

impl fmt::Display for Canvas {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.rows().try_for_each(|row| writeln!(f, "{row}"))
    }
}

impl fmt::Debug for Canvas {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_list().entries(self.rows()).finish()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Rows of a canvas of 6 × 3 on which something was drawn.
    fn drawn(draw: impl FnOnce(&mut Canvas)) -> Vec<String> {
        let mut canvas = Canvas::new(6, 3);
        draw(&mut canvas);
        canvas.rows().collect()
    }

    fn write(canvas: &mut Canvas, area: Area, text: &str) -> u16 {
        canvas.write(area, &letters(text), Look::PLAIN)
    }

    #[test]
    fn lines_are_cut_at_every_edge() {
        let rows = drawn(|canvas| {
            assert_eq!(write(canvas, Area::new(2, 1, 3, 1), "abcdef"), 5);
            assert_eq!(write(canvas, Area::new(4, 0, 40, 1), "ghijk"), 9);
        });
        assert_eq!(rows, ["    gh", "  abc ", "      "]);
        for outside in [
            Area::new(6, 0, 9, 9),
            Area::new(0, 3, 9, 9),
            Area::new(u16::MAX, u16::MAX, u16::MAX, u16::MAX),
            Area::new(0, 0, 0, 3),
            Area::new(0, 0, 6, 0),
        ] {
            let rows = drawn(|canvas| {
                write(canvas, outside, "ab");
                canvas.line(outside, "ab", Look::BOLD);
                canvas.blank(outside, Look::REVERSED);
                canvas.paragraphs(outside, [("ab", Look::BOLD)]);
                assert!(*canvas == Canvas::new(6, 3), "{outside:?}\n{canvas}");
            });
            assert_eq!(rows, ["      "; 3], "{outside:?}");
        }
    }

    #[test]
    fn a_canvas_without_cells_takes_nothing() {
        for (width, height) in [(0, 0), (0, 4), (4, 0)] {
            let mut canvas = Canvas::new(width, height);
            canvas.line(Area::new(0, 0, 4, 4), "ab", Look::BOLD);
            canvas.paragraphs(canvas.area(), [("a b", Look::PLAIN)]);
            assert!(canvas.to_string().trim().is_empty());
            assert_eq!(canvas.look(0, 0), None);
        }
    }

    #[test]
    fn paragraphs_are_cut_at_the_last_row() {
        let rows = drawn(|canvas| {
            let texts = [
                ("ab cd", Look::PLAIN),
                ("", Look::PLAIN),
                ("ef gh", Look::PLAIN),
            ];
            canvas.paragraphs(Area::new(1, 0, 3, 9), texts);
        });
        assert_eq!(rows, [" ab   ", " cd   ", "      "]);
        let rows = drawn(|canvas| {
            canvas.paragraphs(Area::new(1, 0, 2, 2), [("ab cd ef", Look::PLAIN)]);
        });
        assert_eq!(rows, [" ab   ", " cd   ", "      "]);
    }

    #[test]
    fn wide_letters_are_whole_or_not_there() {
        let wide = |x, width| {
            drawn(|canvas| {
                write(canvas, Area::new(x, 0, width, 1), "千鳥");
            })
        };
        assert_eq!(wide(0, 6)[0], "千鳥  ");
        assert_eq!(wide(0, 3)[0], "千    ");
        assert_eq!(wide(3, 6)[0], "   千 ");
        assert_eq!(wide(5, 6)[0], "      ");
    }

    #[test]
    fn half_of_a_wide_letter_written_over_takes_the_other_with_it() {
        for (x, row) in [
            (0, "aa鳥  "),
            (1, " aa   "),
            (2, "千aa  "),
            (3, "千 aa "),
            (4, "千鳥aa"),
        ] {
            let rows = drawn(|canvas| {
                write(canvas, Area::new(0, 0, 6, 1), "千鳥");
                write(canvas, Area::new(x, 0, 6, 1), "aa");
            });
            assert_eq!(rows[0], row, "{x}");
            let rows = drawn(|canvas| {
                write(canvas, Area::new(0, 0, 6, 1), "千鳥");
                write(canvas, Area::new(x, 0, 6, 1), "足");
            });
            assert_eq!(rows[0], row.replace("aa", "足"), "{x}");
        }
    }

    #[test]
    fn looks_reach_as_far_as_lines_or_as_letters() {
        let mut canvas = Canvas::new(6, 3);
        canvas.paragraphs(Area::new(1, 1, 4, 1), [("a b", Look::BOLD)]);
        canvas.line(Area::new(1, 0, 4, 3), "ab", Look::REVERSED);
        let looks = |y| -> Vec<Look> { (0..6).filter_map(|x| canvas.look(x, y)).collect() };
        let (p, b, r) = (Look::PLAIN, Look::BOLD, Look::REVERSED);
        assert_eq!(looks(0), [p, r, r, r, r, p]);
        assert_eq!(looks(1), [p, b, b, b, p, p]);
        canvas.clear();
        assert!(canvas == Canvas::new(6, 3));
    }

    #[test]
    fn marks_stay_on_their_letter() {
        let rows = drawn(|canvas| {
            write(canvas, Area::new(0, 0, 2, 1), "e\u{301}o\u{308}u");
        });
        assert_eq!(rows[0], "e\u{301}o\u{308}    ");
    }
}
