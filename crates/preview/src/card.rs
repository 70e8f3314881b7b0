//! A card to type control points from, read at arm's length.

use resvg::usvg::roxmltree::Document;

use crate::canvas::{Canvas, Paint};
use crate::heading::{draw_paragraph, headed};
use crate::label::Anchor;
use crate::tokens::{
    CARD_DIGITS, CARD_HEAD, CARD_PLOT, CARD_ROW, LINE_WIDTH, MARGIN, PARAGRAPH_GAP, SECTION_GAP,
    SMALL_SIZE, SUBTITLE_SIZE, TICK_SIZE, Theme, WIDTH,
};
use crate::words::clean;

/// Class of the group that holds the numbers of one point.
const POINT_CLASS: &str = "point";
/// Rows in one column; more points stand in two.
const COLUMN_ROWS: usize = 16;

/// What a card shows.
#[derive(Clone, Debug, PartialEq)]
pub struct Card {
    /// What the points are for.
    pub title: String,
    /// What takes them.
    pub subtitle: String,
    /// Heads of the two columns of numbers.
    pub heads: [String; 2],
    /// Both numbers of every point as they are typed.
    pub rows: Vec<[String; 2]>,
    /// Places of the points in the unit square.
    pub points: Vec<(f64, f64)>,
    /// The map in the unit square, for a small picture of it.
    pub curve: Vec<(f64, f64)>,
    /// A further number and its name, such as an exponent.
    pub further: Option<(String, String)>,
    /// Sentences below.
    pub notes: Vec<String>,
}

impl Card {
    /// Most points that a card holds; nobody types more.
    pub const MOST_POINTS: usize = 2 * COLUMN_ROWS;
}

/// The card as the text of an SVG, 900 units wide and as high as its content needs; the same bytes for
/// the same card. Points beyond [`Card::MOST_POINTS`] are not drawn.
#[must_use]
pub fn card_svg(card: &Card, theme: Theme) -> String {
    let (mut canvas, top) = headed(theme, &card.title, &card.subtitle);
    let palette = canvas.palette;

    let shown = card.rows.len().min(Card::MOST_POINTS);
    let columns = shown.div_ceil(COLUMN_ROWS).max(1);
    let per_column = shown.div_ceil(columns).max(1);
    let room = WIDTH - 3.0 * MARGIN - CARD_PLOT;
    let width = room / columns as f64;
    // Smaller digits where two columns share the room.
    let digits = if columns > 1 {
        0.72 * CARD_DIGITS
    } else {
        CARD_DIGITS
    };
    for column in 0..columns {
        let left = MARGIN + width * column as f64;
        let edges = [left + 0.56 * width, left + 0.94 * width];
        for (head, right) in card.heads.iter().zip(edges) {
            let at = (right, top + CARD_HEAD - 10.0);
            canvas.quiet_text(Anchor::End, at, SUBTITLE_SIZE, head);
        }
        let rows = card.rows.iter().take(shown).enumerate();
        for (index, row) in rows.skip(column * per_column).take(per_column) {
            let place = index - column * per_column;
            let row_top = top + CARD_HEAD + CARD_ROW * place as f64;
            if place.is_multiple_of(2) {
                let size = (width - 0.5 * MARGIN, CARD_ROW);
                canvas.rectangle((left, row_top), size, Paint::fill(palette.strip_even));
            }
            let base = row_top + 0.5 * CARD_ROW + 0.35 * digits;
            let number = format!("{}", index + 1);
            let middle = row_top + 0.5 * CARD_ROW + 0.35 * SUBTITLE_SIZE;
            let at = (left + 0.14 * width, middle);
            canvas.quiet_text(Anchor::End, at, SUBTITLE_SIZE, number);
            canvas.open_group(POINT_CLASS);
            for (text, right) in row.iter().zip(edges) {
                canvas.ink_text(Anchor::End, (right, base), digits, text);
            }
            canvas.close_group();
        }
    }
    let mut below = top + CARD_HEAD + CARD_ROW * per_column as f64;
    if let Some((name, value)) = &card.further {
        below += SECTION_GAP;
        let base = below + 0.5 * CARD_ROW + 0.35 * digits;
        let at = (MARGIN + 0.06 * room, base);
        canvas.quiet_text(Anchor::Start, at, SUBTITLE_SIZE, name);
        canvas.open_group(POINT_CLASS);
        canvas.ink_text(Anchor::End, (MARGIN + 0.94 * room, base), digits, value);
        canvas.close_group();
        below += CARD_ROW;
    }
    let plot = (WIDTH - MARGIN - CARD_PLOT, top + CARD_HEAD);
    draw_map(&mut canvas, card, plot);
    let mut y = below.max(plot.1 + CARD_PLOT + CARD_HEAD) + SECTION_GAP;
    canvas.line((MARGIN, y), (WIDTH - MARGIN, y), palette.grid, LINE_WIDTH);
    y += SECTION_GAP;
    for note in &card.notes {
        y += draw_paragraph(&mut canvas, note, y, TICK_SIZE, palette.quiet_ink) + PARAGRAPH_GAP;
    }
    let description = format!("{} points to type; {}", card.rows.len(), card.subtitle);
    let height = y + MARGIN - PARAGRAPH_GAP;
    canvas.finish_page(height, &card.title, &clean(&description))
}

/// A small picture of the map with its points numbered, to see at a glance whether all were typed well.
fn draw_map(canvas: &mut Canvas, card: &Card, corner: (f64, f64)) {
    let palette = canvas.palette;
    let place = |x: f64, y: f64| (corner.0 + CARD_PLOT * x, corner.1 + CARD_PLOT * (1.0 - y));
    for step in 0..=4 {
        let part = f64::from(step) / 4.0;
        canvas.grid_line(place(part, 0.0), place(part, 1.0));
        canvas.grid_line(place(0.0, part), place(1.0, part));
    }
    let edge = Paint::stroke(palette.axis, LINE_WIDTH);
    canvas.rectangle(corner, (CARD_PLOT, CARD_PLOT), edge);
    let curve = card.curve.iter().map(|(x, y)| place(*x, *y));
    canvas.curve(curve, palette.curve, 2.0 * LINE_WIDTH);
    let mut taken: Option<(f64, f64)> = None;
    for (index, (x, y)) in card.points.iter().take(Card::MOST_POINTS).enumerate() {
        let at = place(*x, *y);
        canvas.circle(at, 4.0, Paint::fill(palette.filled_mark));
        // Numbers that would run into each other are left out; the rows have them all.
        let free = taken.is_none_or(|(u, v)| (at.0 - u).abs() + (at.1 - v).abs() > 24.0);
        if free {
            let (sideways, anchor) = if *x > 0.9 {
                (-9.0, Anchor::End)
            } else {
                (9.0, Anchor::Start)
            };
            let down = if *y < 0.08 { -7.0 } else { 16.0 };
            let beside = (at.0 + sideways, at.1 + down);
            canvas.quiet_text(anchor, beside, SMALL_SIZE, format!("{}", index + 1));
            taken = Some(at);
        }
    }
    let (below, above) = (corner.1 + CARD_PLOT + 18.0, corner.1 - 8.0);
    for (y, head) in [below, above].into_iter().zip(&card.heads) {
        let at = (corner.0 + 0.5 * CARD_PLOT, y);
        canvas.quiet_text(Anchor::Middle, at, SMALL_SIZE, head);
    }
}

/// The numbers of a card's points, read back from its SVG in order, a further number last; nothing where
/// the text is no such card.
#[must_use]
pub fn read_card(svg: &str) -> Option<Vec<Vec<String>>> {
    let document = Document::parse(svg).ok()?;
    let groups = document
        .descendants()
        .filter(|node| node.attribute("class") == Some(POINT_CLASS));
    let texts = groups.map(|group| {
        let texts = group.children().filter(|node| node.has_tag_name("text"));
        texts
            .filter_map(|node| node.text().map(str::to_owned))
            .collect()
    });
    Some(texts.collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn card(count: usize) -> Card {
        let part = |index: usize| index as f64 / (count - 1) as f64;
        Card {
            title: "Dunlin 01".to_owned(),
            subtitle: "segments-8".to_owned(),
            heads: ["input %".to_owned(), "output %".to_owned()],
            rows: (0..count)
                .map(|i| [format!("{:.2}", 100.0 * part(i)), "100.00".to_owned()])
                .collect(),
            points: (0..count).map(|i| (part(i), part(i))).collect(),
            curve: vec![(0.0, 0.0), (1.0, 1.0)],
            further: Some(("exponent".to_owned(), "0.7000".to_owned())),
            notes: vec!["With pain or numbness rest, and ask a clinician.".to_owned()],
        }
    }

    #[test]
    fn numbers_are_read_back_in_order() {
        for count in [2, 8, 16, 17, Card::MOST_POINTS] {
            let card = card(count);
            let read = read_card(&card_svg(&card, Theme::Dark)).expect("a card");
            assert_eq!(read.len(), count + 1);
            for (row, found) in card.rows.iter().zip(&read) {
                assert_eq!(row.as_slice(), found.as_slice());
            }
            assert_eq!(read[count], ["0.7000"]);
        }
        assert_eq!(read_card("no picture"), None);
    }
}
