//! A small chart of a response in characters, for terminals.

use std::fmt::Write as _;

use evenhand_fitting::Fit;
use evenhand_measurement::Measurement;

const COLUMNS: usize = 56;
const ROWS: usize = 12;
/// A braille cell is two dots wide and four high; its first code point has none set.
const DOTS_ACROSS: usize = 2;
const DOTS_DOWN: usize = 4;
const BLANK: u32 = 0x2800;
const DOT_BITS: [[u32; DOTS_DOWN]; DOTS_ACROSS] =
    [[0x01, 0x02, 0x04, 0x40], [0x08, 0x10, 0x20, 0x80]];

/// The fitted curve as dots and the samples as rings, percent against force.
pub(crate) fn chart(measurement: &Measurement, fit: &Fit) -> String {
    let end = fit.curve_end().gf().max(f64::MIN_POSITIVE);
    let mut cells = vec![[0_u32; COLUMNS]; ROWS];
    let (width, height) = (COLUMNS * DOTS_ACROSS, ROWS * DOTS_DOWN);
    let row_of = |reading: f64| ((1.0 - reading) * (height - 1) as f64).round().max(0.0);
    for dot in 0..width {
        let force = end * (dot as f64 + 0.5) / width as f64;
        let reading = fit
            .response
            .reading(evenhand_measurement::Force::from_gf(force));
        let down = whole(row_of(reading)).min(height - 1);
        cells[down / DOTS_DOWN][dot / DOTS_ACROSS] |= DOT_BITS[dot % DOTS_ACROSS][down % DOTS_DOWN];
    }
    let mut marks = vec![[false; COLUMNS]; ROWS];
    for sample in &measurement.samples {
        let column = whole(sample.force.gf() / end * COLUMNS as f64).min(COLUMNS - 1);
        let row = (whole(row_of(sample.reading)) / DOTS_DOWN).min(ROWS - 1);
        marks[row][column] = true;
    }
    let mut out = String::from("\n");
    for row in 0..ROWS {
        let label = match row {
            0 => "100 %",
            r if r == ROWS / 2 => " 50 %",
            r if r == ROWS - 1 => "  0 %",
            _ => "     ",
        };
        let _ = write!(out, "  {label} │");
        for column in 0..COLUMNS {
            out.push(if marks[row][column] {
                'o'
            } else {
                char::from_u32(BLANK + cells[row][column]).unwrap_or(' ')
            });
        }
        out.push('\n');
    }
    let right = format!("{end:.0} gf");
    let _ = writeln!(out, "        └{}", "─".repeat(COLUMNS));
    let _ = writeln!(out, "         0{right:>width$}", width = COLUMNS - 1);
    let _ = writeln!(out, "         o sample   ⠒ fitted response\n");
    out
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a small count"
)]
fn whole(value: f64) -> usize {
    value.max(0.0) as usize
}
