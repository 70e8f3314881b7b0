//! Figures large enough to be read from the bench.

use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::Line;
use tui_big_text::{BigText, PixelSize};

/// How large figures can be: cells of a figure across and down, the largest first. The eighth row of a figure is
/// empty.
const SIZES: [(PixelSize, u16, u16); 3] = [
    (PixelSize::Full, 8, 7),
    (PixelSize::HalfHeight, 8, 4),
    (PixelSize::Quadrant, 4, 4),
];

/// Size of figures.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Size {
    pixels: PixelSize,
    across: u16,
    down: u16,
}

impl Size {
    /// The largest in which so many figures fit.
    pub(crate) fn fitting(figures: usize, width: u16, height: u16) -> Option<Self> {
        SIZES
            .into_iter()
            .map(|(pixels, across, down)| Self {
                pixels,
                across,
                down,
            })
            .find(|size| {
                usize::from(size.across) * figures <= usize::from(width) && size.down <= height
            })
    }

    /// Rows that they take.
    pub(crate) fn rows(self) -> u16 {
        self.down
    }
}

/// Draws figures from the left.
pub(crate) fn draw(frame: &mut Frame<'_>, area: Rect, text: &str, size: Size, style: Style) {
    let figures = BigText::builder()
        .pixel_size(size.pixels)
        .style(style)
        .lines(vec![Line::from(text.to_owned())])
        .build();
    frame.render_widget(figures, area);
}
