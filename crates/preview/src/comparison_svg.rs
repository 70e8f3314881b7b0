//! All responses of a collection in one chart, with their envelope and direct names.

use crate::axes::{AXES_HEIGHT, draw_axes, draw_grid, force_end};
use crate::canvas::{Canvas, Paint};
use crate::class_strip;
use crate::comparison_chart::{ComparisonChart, UnitMark, placeable};
use crate::direct_labels::{self, DirectLabel, MOST_LABELS};
use crate::envelope_shape::draw_envelope;
use crate::frame::Frame;
use crate::heading::{draw_lines, draw_paragraph, headed};
use crate::keys::draw_keys;
use crate::placed::Saturation;
use crate::tokens::{
    CURVE_WIDTH, LEGEND_SYMBOL, PLOT_HEIGHT, SECTION_GAP, SMALL_SIZE, STRIP_HEIGHT, Theme,
    UNIT_WIDTH,
};
use crate::words::clean;

/// Lines that a list of what was left out may take.
const LEFT_OUT_LINES: usize = 6;

/// All responses in one chart, as the text of an SVG, 900 units wide: the envelope as an area, every unit as
/// a thin line, the typical response of each group as a thick one with its name above. Flagged units are
/// dashed and named. The same chart and theme give the same bytes.
#[must_use]
pub fn comparison_svg(chart: &ComparisonChart, theme: Theme) -> String {
    let (mut canvas, mut y) = headed(theme, &chart.title, &chart.subtitle);
    let palette = canvas.palette;
    y += legend(&mut canvas, chart, y) + SECTION_GAP;

    let end = force_end(chart.reach());
    let (labels, unnamed) = labels(chart, &Frame::new(0.0, end));
    let seated = direct_labels::place_labels(labels, (Frame::LEFT, Frame::RIGHT));
    // The strip of classes lies above the names, whose leaders would cross its labels.
    let strip = class_strip::is_drawn(&chart.classes, end).then_some(y);
    if strip.is_some() {
        y += STRIP_HEIGHT + 6.0;
    }
    y += direct_labels::lanes_height(&seated);
    let frame = Frame::new(y, end);
    let at = |point| frame.at(point);

    if let Some(top) = strip {
        let nowhere = Saturation::Unknown;
        class_strip::draw(&mut canvas, &frame, top, &chart.classes, &nowhere);
    }
    draw_grid(&mut canvas, &frame);
    if let Some(envelope) = &chart.envelope {
        draw_envelope(&mut canvas, envelope, at);
    }
    draw_units(&mut canvas, chart.units.iter(), at);
    canvas.open_group("typical");
    for group in &chart.groups {
        canvas.curve(
            placeable(&group.typical).map(at),
            palette.curve,
            CURVE_WIDTH,
        );
    }
    canvas.close_group();
    draw_axes(&mut canvas, &frame);
    direct_labels::draw(&mut canvas, &seated, frame.top);
    y += PLOT_HEIGHT + AXES_HEIGHT;
    if unnamed > 0 {
        let words = format!("{unnamed} more are not named here; the table has all.");
        y += draw_paragraph(&mut canvas, &words, y, SMALL_SIZE, palette.quiet_ink);
    }
    finish(canvas, chart, y, "all responses")
}

/// What was left out, the footer, the background; `what` is for those who do not see the picture.
pub(crate) fn finish(mut canvas: Canvas, chart: &ComparisonChart, top: f64, what: &str) -> String {
    let mut y = top;
    let palette = canvas.palette;
    let lines = (SMALL_SIZE, LEFT_OUT_LINES);
    y += draw_lines(&mut canvas, &chart.left_out, y, lines, palette.ink);
    y += draw_paragraph(&mut canvas, &chart.footer, y, SMALL_SIZE, palette.quiet_ink);
    let groups = chart.groups.iter();
    let groups: Vec<String> = groups
        .map(|group| format!("{}: {}", group.name, group.note))
        .collect();
    let description = format!(
        "Reading in percent against force in gf, {what} of {} units. {}",
        chart.units.len(),
        clean(&groups.join("; "))
    );
    canvas.finish_page(y + SECTION_GAP, &chart.title, &description)
}

/// Thin lines, the flagged ones dashed and last.
pub(crate) fn draw_units<'a>(
    canvas: &mut Canvas,
    units: impl Iterator<Item = &'a UnitMark> + Clone,
    at: impl Fn((f64, f64)) -> (f64, f64),
) {
    let palette = canvas.palette;
    canvas.open_group("units");
    for unit in units.clone().filter(|unit| !unit.flagged) {
        let points = placeable(&unit.curve).map(&at);
        canvas.curve(points, palette.hollow_mark, UNIT_WIDTH);
    }
    for unit in units.filter(|unit| unit.flagged) {
        let points = placeable(&unit.curve).map(&at);
        canvas.dashed_curve(points, palette.flag, 1.6 * UNIT_WIDTH);
    }
    canvas.close_group();
}

/// Names of groups at the ends of their typical responses and of flagged units at theirs, and how many had no
/// room.
fn labels(chart: &ComparisonChart, frame: &Frame) -> (Vec<DirectLabel>, usize) {
    let label = |name: &str, curve: &[(f64, f64)], flagged: bool| {
        Some(DirectLabel {
            text: clean(name),
            point: frame.at(placeable(curve).next_back()?),
            flagged,
        })
    };
    let groups = chart.groups.iter();
    let groups = groups.map(|group| label(&group.name, &group.typical, false));
    let flagged = chart.units.iter().filter(|unit| unit.flagged);
    let flagged = flagged.map(|unit| label(&unit.name, &unit.curve, true));
    let all: Vec<DirectLabel> = groups.chain(flagged).flatten().collect();
    let unnamed = all.len().saturating_sub(MOST_LABELS);
    (all, unnamed)
}

enum Key {
    Outer,
    Inner,
    Unit,
    Typical,
    Flagged,
}

/// Draws the keys below `top`; gives the height they took.
pub(crate) fn legend(canvas: &mut Canvas, chart: &ComparisonChart, top: f64) -> f64 {
    let mut entries: Vec<(Key, String)> = Vec::new();
    if let Some(envelope) = &chart.envelope {
        entries.push((Key::Outer, envelope.name.clone()));
        if let Some((words, _)) = &envelope.inner {
            entries.push((Key::Inner, words.clone()));
        }
    }
    entries.push((Key::Unit, "one unit".to_owned()));
    entries.push((Key::Typical, "mean of a group".to_owned()));
    let flagged = chart.units.iter().filter(|unit| unit.flagged).count();
    if flagged > 0 {
        entries.push((Key::Flagged, format!("flagged: {flagged}")));
    }
    let draw_symbol = |canvas: &mut Canvas, key: &Key, (x, y): (f64, f64)| {
        let palette = canvas.palette;
        let (from, to) = ((x, y), (x + LEGEND_SYMBOL, y));
        let area = |canvas: &mut Canvas, fill: &str| {
            canvas.rectangle((x, y - 6.0), (LEGEND_SYMBOL, 12.0), Paint::fill(fill));
        };
        match key {
            Key::Outer => area(canvas, palette.strip_odd),
            Key::Inner => area(canvas, palette.strip_here),
            Key::Unit => canvas.line(from, to, palette.hollow_mark, UNIT_WIDTH),
            Key::Typical => canvas.line(from, to, palette.curve, CURVE_WIDTH),
            Key::Flagged => canvas.dashed_curve([from, to], palette.flag, 1.6 * UNIT_WIDTH),
        }
    };
    draw_keys(canvas, &entries, top, |_| LEGEND_SYMBOL, draw_symbol)
}
