//! Figures large enough to be read from the bench.

use font8x8::{BASIC_FONTS, UnicodeFonts as _};

use crate::area::Area;
use crate::canvas::{Canvas, Look};
use crate::letter::Letter;

/// Pixels of a figure across. Down there are as many, the last row of which is empty.
const PIXELS: u16 = 8;
/// A cell by its filled quarters: left above counts 1, right above 2, left below 4, right below 8.
const QUARTERS: [char; 16] = [
    ' ', '▘', '▝', '▀', '▖', '▌', '▞', '▛', '▗', '▚', '▐', '▜', '▄', '▙', '▟', '█',
];

/// Size of figures: pixels to a cell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Size {
    across: u16,
    down: u16,
}

impl Size {
    /// A pixel to a cell.
    const LARGE: Self = Self { across: 1, down: 1 };
    /// Two pixels below one another.
    const LOW: Self = Self { across: 1, down: 2 };
    /// Four pixels.
    const SMALL: Self = Self { across: 2, down: 2 };

    /// The largest in which so many figures fit.
    pub(crate) fn fitting(figures: usize, width: u16, height: u16) -> Option<Self> {
        [Self::LARGE, Self::LOW, Self::SMALL]
            .into_iter()
            .find(|size| {
                usize::from(size.columns()) * figures <= usize::from(width) && size.rows() <= height
            })
    }

    /// Columns that a figure takes.
    fn columns(self) -> u16 {
        PIXELS / self.across
    }

    /// Rows that figures take, without one that is empty.
    pub(crate) fn rows(self) -> u16 {
        (PIXELS - 1).div_ceil(self.down)
    }
}

/// Draws figures from the left; a sign that has no figure leaves its place empty.
pub(crate) fn draw(canvas: &mut Canvas, area: Area, text: &str, size: Size, look: Look) {
    let mut left = area;
    for sign in text.chars() {
        let pixels = BASIC_FONTS.get(sign).unwrap_or_default();
        for row in 0..size.rows().min(left.height) {
            for column in 0..size.columns().min(left.width) {
                let cell = quarters(pixels, column, row, size);
                canvas.put(left.x + column, left.y + row, Letter::narrow(cell), look);
            }
        }
        left.x = left.x.saturating_add(size.columns());
        left.width = left.width.saturating_sub(size.columns());
    }
}

/// The cell that shows the pixels that fall into it.
fn quarters(pixels: [u8; 8], column: u16, row: u16, size: Size) -> char {
    let is_filled = |x: u16, y: u16| {
        pixels
            .get(usize::from(y))
            .is_some_and(|pixels| pixels >> x & 1 == 1)
    };
    let (left, above) = (column * size.across, row * size.down);
    let (right, below) = (left + size.across - 1, above + size.down - 1);
    let quarters = [(left, above), (right, above), (left, below), (right, below)];
    let filled = quarters
        .into_iter()
        .zip([1, 2, 4, 8])
        .filter(|((x, y), _)| is_filled(*x, *y))
        .map(|(_, counts)| counts)
        .sum::<usize>();
    QUARTERS[filled]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn drawn(text: &str, size: Size, width: u16, height: u16) -> Vec<String> {
        let mut canvas = Canvas::new(width, height);
        let area = canvas.area();
        draw(&mut canvas, area, text, size, Look::BOLD);
        canvas.rows().collect()
    }

    #[test]
    fn figures_have_three_sizes() {
        assert_eq!(
            drawn("2.", Size::LARGE, 17, 8),
            [
                " ████            ",
                "██  ██           ",
                "    ██           ",
                "  ███            ",
                " ██              ",
                "██  ██    ██     ",
                "██████    ██     ",
                "                 ",
            ]
        );
        assert_eq!(
            drawn("2.", Size::LOW, 17, 5),
            [
                "▄█▀▀█▄           ",
                "  ▄▄█▀           ",
                "▄█▀ ▄▄    ▄▄     ",
                "▀▀▀▀▀▀    ▀▀     ",
                "                 ",
            ]
        );
        assert_eq!(
            drawn("2.", Size::SMALL, 9, 5),
            [
                "▟▀▙      ",
                " ▄▛      ",
                "▟▘▄  ▄   ",
                "▀▀▀  ▀   ",
                "         ",
            ]
        );
    }

    #[test]
    fn every_size_shows_the_pixels_of_the_largest() {
        // Quarters, read off again, are the pixels.
        let text = "0123456789.-done";
        let width = 8 * 16;
        let large = drawn(text, Size::LARGE, width, 8);
        for size in [Size::LOW, Size::SMALL] {
            let found = drawn(text, size, width / size.across, size.rows());
            for (y, row) in large.iter().enumerate() {
                for (x, pixel) in row.chars().enumerate() {
                    let (across, down) = (usize::from(size.across), usize::from(size.down));
                    let cell = found
                        .get(y / down)
                        .and_then(|row| row.chars().nth(x / across));
                    let Some(cell) = cell else {
                        assert_eq!(pixel, ' ', "a row that is cut is empty");
                        continue;
                    };
                    let filled = QUARTERS.iter().position(|one| *one == cell).unwrap();
                    let quarter = 2 * (y % down) + if across == 2 { x % 2 } else { 0 };
                    assert_eq!(filled >> quarter & 1 == 1, pixel == '█', "{x}, {y}");
                }
            }
        }
    }

    #[test]
    fn filled_quarters_are_where_pixels_are() {
        // Above and below, from the left, as the names of the letters say.
        for (above, below, letter) in [
            ("..", "..", ' '),
            ("#.", "..", '▘'),
            (".#", "..", '▝'),
            ("##", "..", '▀'),
            ("..", "#.", '▖'),
            ("..", ".#", '▗'),
            ("..", "##", '▄'),
            ("#.", "#.", '▌'),
            (".#", ".#", '▐'),
            ("#.", ".#", '▚'),
            (".#", "#.", '▞'),
            ("##", "#.", '▛'),
            ("##", ".#", '▜'),
            ("#.", "##", '▙'),
            (".#", "##", '▟'),
            ("##", "##", '█'),
        ] {
            let bits = |row: &str| -> u8 {
                let filled = row.chars().zip([1, 2]).filter(|(pixel, _)| *pixel == '#');
                filled.map(|(_, bit)| bit).sum()
            };
            let mut pixels = [0; 8];
            pixels[2] = bits(above) << 4;
            pixels[3] = bits(below) << 4;
            let found = quarters(pixels, 2, 1, Size::SMALL);
            assert_eq!(found, letter, "{above}{below}");
        }
    }

    #[test]
    fn the_largest_size_that_fits_is_taken() {
        for (figures, width, height, size) in [
            (3, 24, 7, Some(Size::LARGE)),
            (3, 23, 7, Some(Size::SMALL)),
            (3, 24, 6, Some(Size::LOW)),
            (3, 24, 4, Some(Size::LOW)),
            (3, 23, 4, Some(Size::SMALL)),
            (3, 12, 9, Some(Size::SMALL)),
            (3, 11, 9, None),
            (3, 24, 3, None),
        ] {
            let found = Size::fitting(figures, width, height);
            assert_eq!(found, size, "{figures} in {width}×{height}");
        }
        assert_eq!(Size::LARGE.rows(), 7);
        assert_eq!(Size::LOW.rows(), 4);
        assert_eq!(Size::SMALL.rows(), 4);
    }

    #[test]
    fn figures_are_cut_at_the_edges_of_their_area() {
        let whole = drawn("88", Size::LARGE, 20, 9);
        for (width, height) in [(16, 7), (11, 7), (8, 3), (3, 1), (0, 4), (4, 0)] {
            let mut canvas = Canvas::new(20, 9);
            let area = Area {
                width,
                height,
                ..canvas.area()
            };
            draw(&mut canvas, area, "88", Size::LARGE, Look::BOLD);
            for (y, (row, all)) in canvas.rows().zip(&whole).enumerate() {
                let expected: String = all
                    .chars()
                    .enumerate()
                    .map(|(x, cell)| {
                        if x < usize::from(width) && y < usize::from(height) {
                            cell
                        } else {
                            ' '
                        }
                    })
                    .collect();
                assert_eq!(row, expected, "{width}×{height}");
            }
        }
    }
}
