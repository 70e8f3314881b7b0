//! The curve so far.

use evenhand_recorder::Progress;

use crate::area::Area;
use crate::axes::{self, BELOW, LABELS};
use crate::canvas::{Canvas, Look};
use crate::dots::{Dot, Dots};
use crate::letter::Letter;

/// Points of a guide, so that it looks dotted.
const DOTS: u32 = 40;

/// Draws samples, curve, and where force and reading are now.
pub(crate) fn draw(canvas: &mut Canvas, area: Area, progress: &Progress<'_>) {
    if area.width <= LABELS + 1 || area.height <= BELOW {
        return;
    }
    let graph = Area::new(
        area.x + LABELS + 1,
        area.y,
        area.width - LABELS - 1,
        area.height - BELOW,
    );
    let mut dots = Dots::new(graph);
    axes::draw_lines(canvas, graph, &dots);
    axes::draw_ticks(canvas, area, &dots, progress);
    let place = |dots: &Dots, force: f64, reading: f64| dots.at(force / progress.end_gf, reading);
    for step in 0..=DOTS {
        let part = f64::from(step) / f64::from(DOTS);
        let asked = progress.asked_gf.map(|force| (force, part));
        let now = progress
            .current
            .map(|reading| (progress.end_gf * part, reading));
        for (force, reading) in asked.into_iter().chain(now) {
            if let Some(dot) = place(&dots, force, reading) {
                dots.set(dot);
            }
        }
    }
    let mut before: Option<Dot> = None;
    for point in progress.curve {
        let dot = place(&dots, point.force_gf, point.reading);
        if let Some(dot) = dot {
            dots.line(before.unwrap_or(dot), dot);
        }
        before = dot;
    }
    dots.draw(canvas);
    let marks: Vec<(u16, u16)> = progress
        .samples
        .iter()
        .filter_map(|(force, reading)| place(&dots, *force, *reading))
        .map(|dot| dots.cell(dot))
        .collect();
    axes::draw_titles(canvas, graph, &marks);
    for (x, y) in marks {
        canvas.put(x, y, Letter::narrow('•'), Look::BOLD);
    }
}

#[cfg(test)]
mod tests {
    use evenhand_recorder::CurvePoint;

    use super::*;

    const EMPTY: Progress<'static> = Progress {
        samples: Vec::new(),
        curve: &[],
        asked_gf: None,
        current: None,
        end_gf: 500.0,
        tick_gf: 100.0,
    };

    /// Columns and rows of an area with something around it.
    const SIZES: [(u16, u16); 6] = [(60, 5), (60, 6), (61, 9), (96, 20), (137, 41), (300, 100)];

    fn drawn((width, height): (u16, u16), progress: &Progress<'_>) -> (Canvas, Area) {
        let mut canvas = Canvas::new(width + 5, height + 3);
        let area = Area::new(3, 1, width, height);
        draw(&mut canvas, area, progress);
        for (y, row) in canvas.rows().enumerate() {
            for (x, cell) in row.chars().enumerate() {
                let is_inside = (3..3 + usize::from(width)).contains(&x)
                    && (1..1 + usize::from(height)).contains(&y);
                assert!(is_inside || cell == ' ', "{x}, {y}\n{canvas}");
            }
        }
        let graph = Area::new(7, 1, width - 4, height - 2);
        (canvas, graph)
    }

    fn cell(canvas: &Canvas, x: u16, y: u16) -> char {
        let letter = canvas.cells(y)[usize::from(x)].letter.as_ref();
        letter.unwrap().base()
    }

    fn is_braille(letter: char) -> bool {
        ('\u{2801}'..='\u{28ff}').contains(&letter)
    }

    fn point(force_gf: f64, reading: f64) -> CurvePoint {
        CurvePoint {
            force_gf,
            reading,
            low: reading,
            high: reading,
        }
    }

    #[test]
    fn a_curve_reaches_both_corners() {
        let curve = [point(0.0, 0.0), point(500.0, 1.0)];
        let progress = Progress {
            curve: &curve,
            ..EMPTY
        };
        for size in SIZES {
            let (canvas, graph) = drawn(size, &progress);
            let low = cell(&canvas, graph.x, graph.bottom() - 1);
            let high = cell(&canvas, graph.right() - 1, graph.y);
            let bits = |letter: char| u32::from(letter) & 0xff;
            assert!(is_braille(low) && bits(low) & 0x40 > 0, "{low}\n{canvas}");
            assert!(is_braille(high) && bits(high) & 8 > 0, "{high}\n{canvas}");
            // Unbroken: every column has a part of it, but where a title lies over it.
            for x in graph.x..graph.right() {
                let has_part = (graph.y..graph.bottom()).any(|y| is_braille(cell(&canvas, x, y)));
                let has_title = x < graph.x + 10 || x >= graph.right() - 2;
                assert!(has_part || has_title, "{x}\n{canvas}");
            }
        }
    }

    #[test]
    fn a_curve_ends_where_the_axis_does() {
        let curve = [
            point(100.0, 0.4),
            point(300.0, 0.6),
            point(900.0, 0.6),
            point(f64::NAN, 0.5),
        ];
        let progress = Progress {
            curve: &curve,
            ..EMPTY
        };
        let (canvas, graph) = drawn((104, 20), &progress);
        let columns: Vec<u16> = (graph.x..graph.right())
            .filter(|x| (graph.y..graph.bottom()).any(|y| is_braille(cell(&canvas, *x, y))))
            .map(|x| x - graph.x)
            .collect();
        // Dots 40 and 119 of 0 to 199.
        assert_eq!(columns, (20..=59).collect::<Vec<u16>>(), "{canvas}");
    }

    #[test]
    fn marks_lie_where_force_and_reading_say() {
        for size in SIZES {
            for index in (0..=200).step_by(4) {
                let (force, reading) = (f64::from(index) * 2.5, f64::from(index % 17) / 16.0);
                let progress = Progress {
                    samples: vec![(force, reading)],
                    ..EMPTY
                };
                let (canvas, graph) = drawn(size, &progress);
                let across = f64::from(graph.x) + force / 500.0 * f64::from(graph.width - 1);
                let down = f64::from(graph.y) + (1.0 - reading) * f64::from(graph.height - 1);
                let mark = canvas.rows().enumerate().find_map(|(y, row)| {
                    let x = row.chars().position(|letter| letter == '•')?;
                    Some((u16::try_from(x).unwrap(), u16::try_from(y).unwrap()))
                });
                let (x, y) = mark.unwrap();
                assert!(canvas.to_string().contains("reading, %"), "{canvas}");
                assert!(canvas.to_string().contains("gf"), "{canvas}");
                assert!((f64::from(x) - across).abs() <= 1.0, "{force} gf\n{canvas}");
                assert!((f64::from(y) - down).abs() <= 1.0, "{reading}\n{canvas}");
                assert_eq!(canvas.look(x, y), Some(Look::BOLD));
            }
        }
    }

    #[test]
    fn guides_are_dotted_lines_through_force_and_reading() {
        let progress = Progress {
            asked_gf: Some(250.0),
            current: Some(0.75),
            ..EMPTY
        };
        let (canvas, graph) = drawn((105, 23), &progress);
        let (middle, height) = (graph.x + 50, graph.y + 5);
        for y in graph.y..graph.bottom() {
            assert!(is_braille(cell(&canvas, middle, y)), "{y}\n{canvas}");
        }
        let in_row: Vec<bool> = (graph.x..graph.right())
            .map(|x| is_braille(cell(&canvas, x, height)))
            .collect();
        let dots = in_row.iter().filter(|is_dot| **is_dot).count();
        assert_eq!(dots, 41, "{canvas}");
        assert!(in_row[0] && in_row[100], "{canvas}");
        let others = canvas
            .to_string()
            .chars()
            .filter(|c| is_braille(*c))
            .count();
        assert_eq!(others, 41 + 21 - 1, "nothing else\n{canvas}");
    }

    #[test]
    fn forces_stand_below_their_places() {
        for (width, height) in SIZES {
            let (canvas, graph) = drawn((width, height), &EMPTY);
            let row = canvas.rows().nth(usize::from(graph.bottom() + 1)).unwrap();
            let labels: Vec<&str> = row.split_whitespace().collect();
            assert_eq!(labels, ["0", "100", "200", "300", "400", "500"]);
            for index in 0..=5_u16 {
                let label = (100 * index).to_string();
                let found = row.find(&format!(" {label} ")).unwrap() + 1;
                let begins = f64::from(u16::try_from(found).unwrap());
                let place =
                    f64::from(graph.x) + f64::from(index) / 5.0 * f64::from(graph.width - 1);
                let middle = begins + 1.0;
                match index {
                    0 => assert_eq!(begins, f64::from(graph.x - 1)),
                    5 => assert_eq!(begins + 3.0, f64::from(graph.right())),
                    _ => assert!((middle - place).abs() <= 1.0, "{label}\n{canvas}"),
                }
            }
            let all = canvas.to_string();
            assert!(all.contains("100│reading, %") && all.contains("50 │") && all.contains("0  │"));
            assert!(all.contains('└') && all.contains("gf"), "{all}");
        }
    }

    #[test]
    fn forces_without_room_are_left_out_but_the_last() {
        for width in 5..60 {
            let progress = Progress {
                end_gf: 7000.0,
                tick_gf: 1000.0,
                ..EMPTY
            };
            let (canvas, graph) = drawn((width, 6), &progress);
            let row = canvas.rows().nth(usize::from(graph.bottom() + 1)).unwrap();
            assert!(row.trim_end().ends_with("7000"), "{width}: {row}");
            for label in row.split_whitespace() {
                let known = (0..=7).any(|tick| (1000 * tick).to_string() == label);
                assert!(known, "{width}: {row}");
            }
        }
    }

    #[test]
    fn areas_without_room_stay_empty() {
        let progress = Progress {
            samples: vec![(3.0, 0.5)],
            asked_gf: Some(3.0),
            current: Some(0.2),
            ..EMPTY
        };
        for (width, height) in [(4, 9), (0, 0), (60, 2), (60, 0)] {
            let mut canvas = Canvas::new(70, 12);
            let area = Area::new(0, 0, width, height);
            draw(&mut canvas, area, &progress);
            assert!(canvas == Canvas::new(70, 12), "{width}×{height}\n{canvas}");
        }
        // Narrow ones have the curve without titles.
        for (width, height) in [(5, 3), (15, 3), (60, 4)] {
            let mut canvas = Canvas::new(70, 12);
            let area = Area::new(0, 0, width, height);
            draw(&mut canvas, area, &progress);
            let text = canvas.to_string();
            assert!(text.contains('•') && !text.contains("gf"), "{canvas}");
        }
    }
}
