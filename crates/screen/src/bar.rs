//! How far something has come.

use crate::area::Area;
use crate::canvas::{Canvas, Look};
use crate::grid::nearest;
use crate::letter::{Letter, letters, width_of};

/// Draws a bar in the first row of an area, filled to a part (0..1), with a label in its middle.
pub(crate) fn draw(canvas: &mut Canvas, area: Area, part: f64, label: &str) {
    let filled = nearest(part, usize::from(area.width)).unwrap_or(0);
    let letters = letters(label);
    let length = width_of(&letters).min(usize::from(area.width));
    let begins = (usize::from(area.width) - length) / 2;
    let free = begins..=begins + length;
    for (column, x) in (area.x..area.right()).enumerate().take(filled) {
        if area.height > 0 && !(length > 0 && free.contains(&column)) {
            canvas.put(x, area.y, Letter::narrow('█'), Look::PLAIN);
        }
    }
    let begins = u16::try_from(begins).unwrap_or(u16::MAX);
    let middle = Area {
        x: area.x.saturating_add(begins),
        width: area.width.saturating_sub(begins),
        ..area
    };
    canvas.write(middle, &letters, Look::PLAIN);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bar(width: u16, part: f64, label: &str) -> String {
        let mut canvas = Canvas::new(14, 2);
        let area = Area::new(1, 0, width, 1);
        draw(&mut canvas, area, part, label);
        let rows: Vec<String> = canvas.rows().collect();
        assert_eq!(rows[1], " ".repeat(14));
        rows[0].clone()
    }

    #[test]
    fn a_bar_is_filled_to_its_part_around_its_label() {
        assert_eq!(bar(10, 0.0, "2/4"), "    2/4       ");
        assert_eq!(bar(10, 0.2, "2/4"), " ██ 2/4       ");
        assert_eq!(bar(10, 0.5, "2/4"), " ███2/4       ");
        assert_eq!(bar(10, 0.8, "2/4"), " ███2/4 █     ");
        assert_eq!(bar(10, 1.0, "2/4"), " ███2/4 ███   ");
        assert_eq!(bar(10, 0.25, ""), " ███          ");
    }

    #[test]
    fn what_has_no_room_is_cut() {
        assert_eq!(bar(4, 1.0, "watching"), " watc         ");
        assert_eq!(bar(40, 1.0, ""), " █████████████");
        assert_eq!(bar(0, 1.0, "watching"), " ".repeat(14));
        assert_eq!(bar(4, 7.0, ""), " ████         ");
        assert_eq!(bar(4, f64::NAN, ""), " ".repeat(14));
        let mut canvas = Canvas::new(4, 1);
        let none = Area {
            height: 0,
            ..canvas.area()
        };
        draw(&mut canvas, none, 1.0, "a");
        assert!(canvas == Canvas::new(4, 1));
    }
}
