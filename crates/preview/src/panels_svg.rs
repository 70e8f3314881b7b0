//! One small chart for each group, all with the same axes and the envelope of all.

use crate::canvas::Canvas;
use crate::comparison_chart::{ComparisonChart, GroupMark, placeable};
use crate::comparison_svg::{draw_units, finish, legend};
use crate::envelope_shape::draw_envelope;
use crate::heading::{draw_paragraph, headed};
use crate::label::{Anchor, Label};
use crate::text_width::text_width;
use crate::ticks::Ticks;
use crate::tokens::{
    CURVE_WIDTH, MARGIN, PANEL_COLUMNS, PANEL_GAP, PANEL_HEIGHT, SECTION_GAP, SMALL_SIZE,
    TICK_LENGTH, TICK_SIZE, Theme, WIDTH,
};
use crate::words::{clean, shorten, wrap};

/// More groups than this are in the table only.
const MOST_PANELS: usize = 60;
/// Room for the numbers left of a plot.
const NUMBERS: f64 = 30.0;
/// Lines of a group's note.
const NOTE_LINES: usize = 2;
const LEADING: f64 = 1.3;
/// Room below a plot for the numbers of forces.
const FOOT: f64 = 40.0;

/// One panel for each group, as the text of an SVG, 900 units wide: the envelope of all, the group's units,
/// its typical response, its name and note. The first 60 groups are drawn.
#[must_use]
pub fn panels_svg(chart: &ComparisonChart, theme: Theme) -> String {
    let (mut canvas, mut y) = headed(theme, &chart.title, &chart.subtitle);
    let palette = canvas.palette;
    y += legend(&mut canvas, chart, y) + SECTION_GAP;
    let ticks = Ticks::cutting(chart.reach(), 4.0);
    let end = ticks.end_of(chart.reach());
    let columns = PANEL_COLUMNS as f64;
    let width = (WIDTH - 2.0 * MARGIN - (columns - 1.0) * PANEL_GAP) / columns;
    let head = TICK_SIZE * LEADING + NOTE_LINES as f64 * SMALL_SIZE * LEADING + 6.0;
    for (place, group) in chart.groups.iter().take(MOST_PANELS).enumerate() {
        let column = place % PANEL_COLUMNS;
        if place > 0 && column == 0 {
            y += head + PANEL_HEIGHT + FOOT;
        }
        let left = MARGIN + column as f64 * (width + PANEL_GAP);
        let flagged = chart.units_of(place).filter(|unit| unit.flagged);
        let flagged: Vec<&str> = flagged.map(|unit| unit.name.as_str()).collect();
        words(&mut canvas, group, &flagged, (left, y), width);
        let panel = Panel {
            left: left + NUMBERS,
            right: left + width,
            top: y + head,
            end,
        };
        panel.draw(&mut canvas, chart, place, ticks);
    }
    y += head + PANEL_HEIGHT + FOOT;
    let more = chart.groups.len().saturating_sub(MOST_PANELS);
    if more > 0 {
        let words = format!("{more} more groups are in the table only.");
        y += draw_paragraph(&mut canvas, &words, y, SMALL_SIZE, palette.quiet_ink);
    }
    finish(canvas, chart, y, "one panel for each group")
}

fn words(
    canvas: &mut Canvas,
    group: &GroupMark,
    flagged: &[&str],
    (left, top): (f64, f64),
    width: f64,
) {
    let palette = canvas.palette;
    let mut y = top + TICK_SIZE;
    for line in wrap(&clean(&group.name), TICK_SIZE, width, 1) {
        let used = text_width(&line, TICK_SIZE) + SMALL_SIZE;
        canvas.ink_text(Anchor::Start, (left, y), TICK_SIZE, line);
        if !flagged.is_empty() {
            let text = clean(&format!("flagged: {}", flagged.join(", ")));
            let text = shorten(&text, SMALL_SIZE, width - used);
            let label = Label::new(Anchor::End, (left + width, y), SMALL_SIZE, text);
            canvas.text(&label, palette.flag);
        }
    }
    y += 2.0;
    for line in wrap(&clean(&group.note), SMALL_SIZE, width, NOTE_LINES) {
        y += SMALL_SIZE * LEADING;
        canvas.quiet_text(Anchor::Start, (left, y), SMALL_SIZE, line);
    }
}

/// A small plot.
struct Panel {
    left: f64,
    right: f64,
    top: f64,
    /// Force at its right side, gf.
    end: f64,
}

impl Panel {
    fn at(&self, (force, reading): (f64, f64)) -> (f64, f64) {
        let part = (force / self.end).clamp(0.0, 1.0);
        (
            self.left + part * (self.right - self.left),
            self.top + (1.0 - reading.clamp(0.0, 1.0)) * PANEL_HEIGHT,
        )
    }

    fn draw(&self, canvas: &mut Canvas, chart: &ComparisonChart, group: usize, ticks: Ticks) {
        let palette = canvas.palette;
        let bottom = self.top + PANEL_HEIGHT;
        for reading in [0.0, 0.5, 1.0] {
            let (_, y) = self.at((0.0, reading));
            canvas.grid_line((self.left, y), (self.right, y));
            let text = format!("{:.0}", 100.0 * reading);
            let x = self.left - TICK_LENGTH - 2.0;
            canvas.quiet_text(Anchor::End, (x, y + SMALL_SIZE * 0.35), SMALL_SIZE, text);
        }
        if let Some(envelope) = &chart.envelope {
            draw_envelope(canvas, envelope, |point| self.at(point));
        }
        draw_units(canvas, chart.units_of(group), |point| self.at(point));
        let typical = placeable(&chart.groups[group].typical);
        let typical = typical.map(|point| self.at(point));
        canvas.curve(typical, palette.curve, CURVE_WIDTH);
        canvas.axis_line((self.left, bottom), (self.right, bottom));
        canvas.axis_line((self.left, self.top), (self.left, bottom));
        for tick in ticks.up_to(self.end) {
            let (x, _) = self.at((tick, 0.0));
            canvas.axis_line((x, bottom), (x, bottom + TICK_LENGTH));
            let is_last = tick + 0.5 * ticks.step > self.end;
            let (anchor, text) = if is_last {
                (Anchor::End, format!("{} gf", ticks.label(tick)))
            } else {
                (Anchor::Middle, ticks.label(tick))
            };
            let at = (x, bottom + TICK_LENGTH + SMALL_SIZE);
            canvas.quiet_text(anchor, at, SMALL_SIZE, text);
        }
    }
}
