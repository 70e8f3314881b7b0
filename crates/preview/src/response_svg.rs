//! The response chart, put together.

use crate::axes::{AXES_HEIGHT, draw_axes, draw_grid, force_end};
use crate::canvas::Canvas;
use crate::class_strip;
use crate::frame::Frame;
use crate::heading::draw_paragraph;
use crate::landmark::{Landmark, landmarks};
use crate::lanes::slots;
use crate::legend;
use crate::placed::Placed;
use crate::response_chart::ResponseChart;
use crate::response_plot::{draw_curve, draw_interval, draw_samples};
use crate::tokens::{
    LANE_HEIGHT, MARGIN, PARAGRAPH_GAP, PLOT_HEIGHT, SECTION_GAP, SMALL_SIZE, STRIP_HEIGHT,
    SUBTITLE_SIZE, TITLE_SIZE, Theme,
};

/// The response chart as the text of an SVG, 900 units wide and as high as its content needs.
///
/// The same chart and theme give the same bytes: coordinates are computed in f64 and written with
/// two decimals, nothing depends on the machine. All text lies within the picture; the force axis
/// runs from 0 to the next tick beyond samples, curve and estimates, and is stretched by at most a
/// quarter for the upper end of an interval, which beyond that is drawn as an arrow. The text
/// names the font that [`svg_to_png`](crate::svg_to_png) draws with, and any sans-serif after it.
///
/// It cannot fail; see [`ResponseChart`] for what is left out.
#[must_use]
pub fn response_svg(chart: &ResponseChart, theme: Theme) -> String {
    let palette = theme.palette();
    let placed = Placed::from_chart(chart);
    let mut canvas = Canvas::new(palette);
    let mut y = MARGIN;

    let title = draw_paragraph(&mut canvas, &chart.title, y, TITLE_SIZE, palette.ink);
    y += title;
    if title > 0.0 {
        y += PARAGRAPH_GAP;
    }
    let (words, ink) = (&chart.subtitle, palette.quiet_ink);
    let subtitle = draw_paragraph(&mut canvas, words, y, SUBTITLE_SIZE, ink);
    y += subtitle;
    if title + subtitle > 0.0 {
        y += SECTION_GAP;
    }
    let keys = legend::draw(&mut canvas, chart, &placed, y);
    if keys > 0.0 {
        y += keys + SECTION_GAP;
    }

    let end = force_end(placed.reach);
    let strip = class_strip::is_drawn(&chart.classes, end).then_some(y);
    if strip.is_some() {
        y += STRIP_HEIGHT + 2.0;
    }
    // Places along the force axis do not depend on the height, which is known only with the lanes.
    let sideways = Frame::new(y, end);
    let marks = landmarks(&placed, &sideways);
    let slots = slots(&marks);
    let lanes = slots.iter().map(|slot| slot.lane + 1).max().unwrap_or(0);
    for _ in 0..lanes {
        y += LANE_HEIGHT;
    }
    let frame = Frame::new(y, end);

    draw_grid(&mut canvas, &frame);
    draw_interval(&mut canvas, &frame, &placed);
    canvas.open_group("landmarks");
    let mut top = frame.top;
    for lane in 0..lanes {
        top -= LANE_HEIGHT;
        for (mark, slot) in marks.iter().zip(&slots).filter(|(_, s)| s.lane == lane) {
            let label = mark.label(slot.anchor, top);
            mark.draw(&mut canvas, &label, (top, frame.bottom()));
        }
    }
    canvas.close_group();
    draw_curve(&mut canvas, &frame, &placed);
    draw_axes(&mut canvas, &frame);
    draw_samples(&mut canvas, &frame, &placed);
    if let Some(top) = strip {
        let saturation = &placed.saturation;
        class_strip::draw(&mut canvas, &frame, top, &chart.classes, saturation);
    }
    y += PLOT_HEIGHT + AXES_HEIGHT;
    let footer = draw_paragraph(&mut canvas, &chart.footer, y, SMALL_SIZE, palette.quiet_ink);
    if footer > 0.0 {
        y += footer + SECTION_GAP;
    }

    canvas.finish_page(y, &chart.title, &in_words(&placed, &marks))
}

/// The chart in a sentence, for those who do not see it.
fn in_words(placed: &Placed, marks: &[Landmark]) -> String {
    let count = placed.samples.len();
    let noun = if count == 1 { "sample" } else { "samples" };
    let marks: String = marks
        .iter()
        .map(|mark| format!("; {}", mark.text))
        .collect();
    format!("Reading in percent against force in gf, {count} {noun}{marks}.")
}
