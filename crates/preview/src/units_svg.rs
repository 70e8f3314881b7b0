//! From where to where each unit responds, with intervals, group by group.

use crate::axes::force_end;
use crate::canvas::{Canvas, Paint};
use crate::comparison_chart::{ComparisonChart, UnitMark};
use crate::comparison_svg::finish;
use crate::heading::{draw_paragraph, headed};
use crate::label::{Anchor, Label};
use crate::landmark::{draw_arrow, draw_cap};
use crate::number::interval_in_words;
use crate::response_chart::Span;
use crate::text_width::text_width;
use crate::ticks::Ticks;
use crate::tokens::{
    LEGEND_ROW, LINE_WIDTH, MARGIN, RANGE_HEAD, RANGE_NAMES, RANGE_ROW, SECTION_GAP, SMALL_SIZE,
    TICK_LENGTH, TICK_SIZE, Theme, WIDTH,
};
use crate::words::{clean, shorten};

/// More units than this are in the table only.
const MOST_ROWS: usize = 150;
const DOT: f64 = 3.4;
/// Intervals shorter than this are hidden by their dot.
const BAR: f64 = 9.0;

/// Ranges of all units, as the text of an SVG, 900 units wide: a line from onset (hollow) to saturation
/// (filled) with both intervals, an arrow where saturation was not reached; behind them, where the next unit
/// of the group is foretold to saturate.
#[must_use]
pub fn units_svg(chart: &ComparisonChart, theme: Theme) -> String {
    let (mut canvas, mut y) = headed(theme, &chart.title, &chart.subtitle);
    let palette = canvas.palette;
    y += keys(&mut canvas, chart, y) + SECTION_GAP;
    let end = force_end(chart.reach());
    let rows = Rows {
        left: MARGIN + RANGE_NAMES,
        right: WIDTH - MARGIN - 8.0,
        end,
    };
    let mut body = Canvas::new(palette);
    let mut drawn = 0;
    for (place, group) in chart.groups.iter().enumerate() {
        if drawn >= MOST_ROWS {
            break;
        }
        let units: Vec<&UnitMark> = chart.units_of(place).collect();
        let shown = units.len().min(MOST_ROWS - drawn);
        let height = RANGE_HEAD + shown as f64 * RANGE_ROW;
        if let Some((low, high)) = group.next_unit {
            let (from, to) = (rows.x(low), rows.x(high));
            let corner = (from, y + RANGE_HEAD - 4.0);
            let size = ((to - from).max(1.0), height - RANGE_HEAD + 4.0);
            body.rectangle(corner, size, Paint::fill(palette.interval_fill));
        }
        let name = shorten(&clean(&group.name), TICK_SIZE, WIDTH - 2.0 * MARGIN);
        let used = text_width(&name, TICK_SIZE) + 14.0;
        let note = shorten(&clean(&group.note), SMALL_SIZE, WIDTH - 2.0 * MARGIN - used);
        y += RANGE_HEAD;
        body.ink_text(Anchor::Start, (MARGIN, y - 10.0), TICK_SIZE, name);
        body.quiet_text(Anchor::Start, (MARGIN + used, y - 10.0), SMALL_SIZE, note);
        // Lines of the grid end below the words of the next group.
        rows.grid(&mut canvas, (y - 4.0, y + shown as f64 * RANGE_ROW));
        for unit in units.into_iter().take(shown) {
            rows.draw(&mut body, unit, y + RANGE_ROW / 2.0);
            y += RANGE_ROW;
        }
        drawn += shown;
    }
    canvas.append(&body);
    rows.axis(&mut canvas, y);
    y += 2.0 * TICK_SIZE + SECTION_GAP;
    let more = chart.units.len().saturating_sub(drawn);
    if more > 0 {
        let words = format!("{more} more units are in the table only.");
        y += draw_paragraph(&mut canvas, &words, y, SMALL_SIZE, palette.quiet_ink);
    }
    finish(canvas, chart, y, "ranges")
}

fn keys(canvas: &mut Canvas, chart: &ComparisonChart, top: f64) -> f64 {
    let palette = canvas.palette;
    let middle = top + LEGEND_ROW / 2.0;
    let baseline = middle + TICK_SIZE * 0.35;
    let mut x = MARGIN;
    let mut words = |canvas: &mut Canvas, text: &str| {
        let width = text_width(text, TICK_SIZE);
        canvas.quiet_text(Anchor::Start, (x + 16.0, baseline), TICK_SIZE, text);
        let at = x;
        x += 16.0 + width + 22.0;
        at
    };
    let at = words(canvas, "onset");
    hollow(canvas, (at + 6.0, middle), palette.curve);
    let at = words(canvas, "saturation");
    canvas.circle((at + 6.0, middle), DOT, Paint::fill(palette.curve));
    let at = words(canvas, &interval_in_words(chart.confidence));
    bar(canvas, (at, at + 12.0, middle), palette.landmark);
    if chart.groups.iter().any(|group| group.next_unit.is_some()) {
        let at = words(canvas, "where the next unit of the group saturates");
        let fill = Paint::fill(palette.interval_fill);
        canvas.rectangle((at, middle - 7.0), (12.0, 14.0), fill);
    }
    LEGEND_ROW
}

fn hollow(canvas: &mut Canvas, centre: (f64, f64), colour: &str) {
    let palette = canvas.palette;
    let paint = Paint::edged(palette.background, colour, 1.6);
    canvas.circle(centre, DOT, paint);
}

fn bar(canvas: &mut Canvas, (from, to, y): (f64, f64, f64), colour: &str) {
    canvas.line((from, y), (to, y), colour, LINE_WIDTH);
    draw_cap(canvas, (from, y), colour);
    draw_cap(canvas, (to, y), colour);
}

/// Where rows lie sideways.
struct Rows {
    left: f64,
    right: f64,
    end: f64,
}

impl Rows {
    fn x(&self, force: f64) -> f64 {
        let part = if force.is_nan() {
            0.0
        } else {
            force / self.end
        };
        self.left + part.clamp(0.0, 1.0) * (self.right - self.left)
    }

    fn ticks(&self) -> Ticks {
        Ticks::cutting(self.end, 8.0)
    }

    fn grid(&self, canvas: &mut Canvas, (top, bottom): (f64, f64)) {
        for tick in self.ticks().up_to(self.end) {
            let x = self.x(tick);
            canvas.grid_line((x, top), (x, bottom));
        }
    }

    fn axis(&self, canvas: &mut Canvas, bottom: f64) {
        let palette = canvas.palette;
        let ticks = self.ticks();
        for tick in ticks.up_to(self.end) {
            let x = self.x(tick);
            canvas.axis_line((x, bottom), (x, bottom + TICK_LENGTH));
            let y = bottom + TICK_LENGTH + TICK_SIZE;
            let label = Label::new(Anchor::Middle, (x, y), TICK_SIZE, ticks.label(tick));
            let label = label.kept_within(self.left - 20.0, WIDTH - 4.0);
            canvas.text(&label, palette.quiet_ink);
        }
        canvas.axis_line((self.left, bottom), (self.right, bottom));
        let at = (self.left - 26.0, bottom + TICK_LENGTH + TICK_SIZE);
        canvas.ink_text(Anchor::End, at, TICK_SIZE, "force, gf");
    }

    fn draw(&self, canvas: &mut Canvas, unit: &UnitMark, y: f64) {
        let palette = canvas.palette;
        let name = clean(&unit.name);
        let (colour, name, ink) = if unit.flagged {
            (palette.flag, format!("{name} (flagged)"), palette.flag)
        } else {
            (palette.curve, name, palette.quiet_ink)
        };
        let at = (self.left - 12.0, y + SMALL_SIZE * 0.35);
        let name = shorten(&name, SMALL_SIZE, RANGE_NAMES - 16.0);
        canvas.text(&Label::new(Anchor::End, at, SMALL_SIZE, name), ink);
        let [from, to] = [unit.onset, unit.saturation].map(|span| self.x(span.estimate));
        canvas.line((from, y), (to, y), colour, 2.0 * LINE_WIDTH);
        self.interval(canvas, &unit.onset, y);
        if unit.saturation_open {
            draw_arrow(canvas, (to, y), colour, 2.0 * LINE_WIDTH);
        } else {
            self.interval(canvas, &unit.saturation, y);
            canvas.circle((to, y), DOT, Paint::fill(colour));
        }
        hollow(canvas, (from, y), colour);
    }

    fn interval(&self, canvas: &mut Canvas, span: &Span, y: f64) {
        let palette = canvas.palette;
        let (low, high) = (self.x(span.low), self.x(span.high));
        if span.low.is_finite() && high - low > BAR {
            bar(canvas, (low, high, y), palette.landmark);
        }
    }
}
