//! A row of keys with their words, wrapped where it is long.

use crate::canvas::Canvas;
use crate::label::Anchor;
use crate::text_width::text_width;
use crate::tokens::{LEGEND_ROW, MARGIN, TICK_SIZE, WIDTH};

const ENTRY_GAP: f64 = 22.0;
const SYMBOL_GAP: f64 = 7.0;

/// Draws keys below `top`; gives the height they took, 0 of none. `symbol_width` tells the room of a key's
/// symbol, 0 for words alone; `draw_symbol` draws it from its left end at its middle height.
pub(crate) fn draw_keys<K>(
    canvas: &mut Canvas,
    entries: &[(K, String)],
    top: f64,
    symbol_width: impl Fn(&K) -> f64,
    draw_symbol: impl Fn(&mut Canvas, &K, (f64, f64)),
) -> f64 {
    let (mut x, mut row) = (MARGIN, 0.0);
    canvas.open_group("legend");
    for (key, words) in entries {
        let symbol = match symbol_width(key) {
            0.0 => 0.0,
            width => width + SYMBOL_GAP,
        };
        let width = symbol + text_width(words, TICK_SIZE);
        if x > MARGIN && x + width > WIDTH - MARGIN {
            x = MARGIN;
            row += 1.0;
        }
        let middle = top + (row + 0.5) * LEGEND_ROW;
        draw_symbol(canvas, key, (x, middle));
        let at = (x + symbol, middle + TICK_SIZE * 0.35);
        canvas.quiet_text(Anchor::Start, at, TICK_SIZE, words);
        x += width + ENTRY_GAP;
    }
    canvas.close_group();
    if entries.is_empty() {
        0.0
    } else {
        (row + 1.0) * LEGEND_ROW
    }
}
