//! The legend of a response chart.

use std::collections::BTreeMap;

use crate::canvas::{Canvas, Paint};
use crate::keys::draw_keys;
use crate::marker::{DISTINCT_MARKERS, draw_cross, draw_marker, draw_ring};
use crate::number::interval_in_words;
use crate::placed::Placed;
use crate::response_chart::ResponseChart;
use crate::text_width::text_width;
use crate::tokens::{
    CURVE_WIDTH, HAIRLINE, LEGEND_ENTRY_MAX, LEGEND_MARK, LEGEND_SYMBOL, MARK_RADIUS, TICK_SIZE,
};
use crate::words::{clean, shorten};

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
        let words = format!("ringed: {} flagged", 1 + flagged.count());
        entries.push((Key::Ring(first.seating), words));
    }
    let mut excluded = placed.samples.iter().filter(|s| s.excluded);
    if let Some(first) = excluded.next() {
        let words = format!("crossed out: {} not used", 1 + excluded.count());
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
pub(crate) fn draw(canvas: &mut Canvas, chart: &ResponseChart, placed: &Placed, top: f64) -> f64 {
    let symbol_width = |key: &Key| match key {
        Key::Note => 0.0,
        Key::Curve { .. } => LEGEND_SYMBOL,
        Key::Seating(_) | Key::Ring(_) | Key::Cross(_) => LEGEND_MARK,
    };
    let entries = entries(chart, placed);
    draw_keys(canvas, &entries, top, symbol_width, draw_symbol)
}

fn draw_symbol(canvas: &mut Canvas, key: &Key, (left, y): (f64, f64)) {
    let palette = canvas.palette;
    let centre = (left + LEGEND_MARK / 2.0, y);
    match *key {
        Key::Seating(seating) => draw_marker(canvas, seating, centre, MARK_RADIUS),
        Key::Ring(seating) => {
            draw_marker(canvas, seating, centre, MARK_RADIUS);
            draw_ring(canvas, centre);
        }
        Key::Cross(seating) => {
            draw_marker(canvas, seating, centre, MARK_RADIUS);
            draw_cross(canvas, centre);
        }
        Key::Curve { interval } => {
            if interval {
                let paint = Paint::edged(palette.interval_fill, palette.interval_edge, HAIRLINE);
                canvas.rectangle((left, y - 6.0), (LEGEND_SYMBOL, 12.0), paint);
            }
            let right = left + LEGEND_SYMBOL;
            canvas.line((left, y), (right, y), palette.curve, CURVE_WIDTH);
        }
        Key::Note => {}
    }
}
