//! The legend: a row of keys above the plot, wrapped where it is long.

use std::collections::BTreeMap;

use crate::canvas::{Canvas, Paint};
use crate::label::{Anchor, Label};
use crate::marker::{DISTINCT_MARKERS, draw_cross, draw_marker, draw_ring};
use crate::number::interval_in_words;
use crate::placed::Placed;
use crate::response_chart::ResponseChart;
use crate::text_width::text_width;
use crate::tokens::{
    CURVE_WIDTH, HAIRLINE, LEGEND_ENTRY_MAX, LEGEND_MARK, LEGEND_ROW, LEGEND_SYMBOL, MARGIN,
    MARK_RADIUS, Palette, TICK_SIZE, WIDTH,
};
use crate::words::{clean, shorten};

const ENTRY_GAP: f64 = 22.0;
const SYMBOL_GAP: f64 = 7.0;

enum Key {
    Seating(usize),
    Ring(usize),
    Cross(usize),
    Curve { interval: bool },
    Note,
}

/// The keys that this chart needs, each with its words.
fn entries(chart: &ResponseChart, placed: &Placed) -> Vec<(Key, String)> {
    let mut entries = Vec::new();
    let mut counts: BTreeMap<usize, usize> = BTreeMap::new();
    for sample in placed.samples.iter().filter(|s| !s.excluded) {
        let shown = sample.seating.min(DISTINCT_MARKERS);
        *counts.entry(shown).or_default() += 1;
    }
    let single = counts.len() == 1;
    for (&seating, &count) in &counts {
        let name = chart.seating_names.get(seating).map(|name| clean(name));
        let name = match name.filter(|name| !name.is_empty()) {
            _ if seating == DISTINCT_MARKERS => "further seatings".to_owned(),
            Some(name) => name,
            None => format!("seating {}", seating + 1),
        };
        let noun = if count == 1 { "sample" } else { "samples" };
        let words = if single {
            format!("{count} {noun}")
        } else {
            let counted = format!(": {count} {noun}");
            let room = LEGEND_ENTRY_MAX - text_width(&counted, TICK_SIZE);
            format!("{}{counted}", shorten(&name, TICK_SIZE, room))
        };
        entries.push((Key::Seating(seating), words));
    }
    let mut flagged = placed.samples.iter().filter(|s| s.flagged);
    if let Some(first) = flagged.next() {
        let count = 1 + flagged.count();
        entries.push((Key::Ring(first.seating), format!("ringed: {count} flagged")));
    }
    let mut excluded = placed.samples.iter().filter(|s| s.excluded);
    if let Some(first) = excluded.next() {
        let count = 1 + excluded.count();
        let words = format!("crossed out: {count} not used");
        entries.push((Key::Cross(first.seating), words));
    }
    if !placed.curve.is_empty() {
        let interval = placed.has_interval();
        let words = if interval {
            format!("fitted response, {}", interval_in_words(chart.confidence))
        } else {
            "fitted response".to_owned()
        };
        entries.push((Key::Curve { interval }, words));
    }
    match placed.left_out {
        0 => {}
        1 => entries.push((Key::Note, "1 sample off the axes".to_owned())),
        count => entries.push((Key::Note, format!("{count} samples off the axes"))),
    }
    entries
}

/// Draws the legend below `top`; gives the height it took.
pub(crate) fn draw(
    canvas: &mut Canvas,
    chart: &ResponseChart,
    placed: &Placed,
    top: f64,
    palette: &Palette,
) -> f64 {
    let (mut x, mut row) = (MARGIN, 0.0);
    canvas.open_group("legend");
    let entries = entries(chart, placed);
    for (key, words) in &entries {
        let symbol = match key {
            Key::Note => 0.0,
            Key::Curve { .. } => LEGEND_SYMBOL + SYMBOL_GAP,
            Key::Seating(_) | Key::Ring(_) | Key::Cross(_) => LEGEND_MARK + SYMBOL_GAP,
        };
        let width = symbol + text_width(words, TICK_SIZE);
        if x > MARGIN && x + width > WIDTH - MARGIN {
            x = MARGIN;
            row += 1.0;
        }
        let middle = top + (row + 0.5) * LEGEND_ROW;
        draw_symbol(canvas, key, (x, middle), palette);
        let label = Label {
            x: x + symbol,
            y: middle + TICK_SIZE * 0.35,
            anchor: Anchor::Start,
            size: TICK_SIZE,
            text: words.clone(),
        };
        canvas.text(&label, palette.quiet_ink);
        x += width + ENTRY_GAP;
    }
    canvas.close_group();
    if entries.is_empty() {
        0.0
    } else {
        (row + 1.0) * LEGEND_ROW
    }
}

fn draw_symbol(canvas: &mut Canvas, key: &Key, (left, y): (f64, f64), palette: &Palette) {
    let centre = (left + LEGEND_MARK / 2.0, y);
    match *key {
        Key::Seating(seating) => draw_marker(canvas, seating, centre, MARK_RADIUS, palette),
        Key::Ring(seating) => {
            draw_marker(canvas, seating, centre, MARK_RADIUS, palette);
            draw_ring(canvas, centre, palette);
        }
        Key::Cross(seating) => {
            draw_marker(canvas, seating, centre, MARK_RADIUS, palette);
            draw_cross(canvas, centre, palette);
        }
        Key::Curve { interval } => {
            if interval {
                let paint = Paint {
                    fill: Some(palette.interval_fill),
                    stroke: Some((palette.interval_edge, HAIRLINE)),
                };
                canvas.rectangle((left, y - 6.0), (LEGEND_SYMBOL, 12.0), paint);
            }
            let right = left + LEGEND_SYMBOL;
            canvas.line((left, y), (right, y), palette.curve, CURVE_WIDTH);
        }
        Key::Note => {}
    }
}
