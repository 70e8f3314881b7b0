//! The axes around the curve.

use evenhand_recorder::Progress;

use crate::area::Area;
use crate::canvas::{Canvas, Look};
use crate::dots::Dots;
use crate::letter::Letter;

/// Columns of the readings beside their axis.
pub(crate) const LABELS: u16 = 3;
/// Rows below the curve: the axis and its labels.
pub(crate) const BELOW: u16 = 2;
/// More ticks than an axis has.
const MOST_TICKS: u32 = 20;
/// Readings that are labelled, %, with their part of the way up.
const READINGS: [(&str, f64); 3] = [("0", 0.0), ("50", 0.5), ("100", 1.0)];
/// Title of the readings, with its columns.
const READINGS_TITLE: (&str, u16) = ("reading, %", 10);
/// Title of the forces, with its columns.
const FORCES_TITLE: (&str, u16) = ("gf", 2);
/// On fewer columns or rows than these there is no room for titles.
const LEAST_FOR_TITLES: (u16, u16) = (12, 3);

/// The lines left of the curve and below it, and the readings.
pub(crate) fn draw_lines(canvas: &mut Canvas, graph: Area, dots: &Dots) {
    let mut put = |x, y, letter| canvas.put(x, y, Letter::narrow(letter), Look::PLAIN);
    for y in graph.y..graph.bottom() {
        put(graph.x - 1, y, '│');
    }
    for x in graph.x..graph.right() {
        put(x, graph.bottom(), '─');
    }
    put(graph.x - 1, graph.bottom(), '└');
    for (label, up) in READINGS {
        if let Some(dot) = dots.at(0.0, up) {
            let place = Area::new(graph.x - 1 - LABELS, dots.cell(dot).1, LABELS, 1);
            canvas.line(place, label, Look::PLAIN);
        }
    }
}

/// The forces below their places on the axis, as many as have room.
pub(crate) fn draw_ticks(canvas: &mut Canvas, area: Area, dots: &Dots, progress: &Progress<'_>) {
    let ticks: Vec<f64> = (0..=MOST_TICKS)
        .map(|index| f64::from(index) * progress.tick_gf)
        .take_while(|tick| *tick <= progress.end_gf + 0.5 * progress.tick_gf)
        .collect();
    let labels: Vec<(u16, String)> = ticks
        .iter()
        .filter_map(|tick| {
            let label = format!("{tick:.0}");
            let width = u16::try_from(label.len()).ok()?;
            let dot = dots.at((tick / progress.end_gf).clamp(0.0, 1.0), 0.0)?;
            // The first stands below the line of readings, the last ends where the axis does.
            let middle = dots.cell(dot).0 - u16::from(*tick <= 0.0);
            let begins = middle.saturating_sub((width - 1) / 2).max(area.x);
            Some((begins.min(area.right().saturating_sub(width)), label))
        })
        .collect();
    // The last matters more than one that it would touch.
    let Some((last, others)) = labels.split_last() else {
        return;
    };
    let ends = |(begins, label): &(u16, String)| usize::from(*begins) + label.len();
    let mut taken = usize::from(area.x);
    for label in others {
        if usize::from(label.0) >= taken && ends(label) < usize::from(last.0) {
            draw_tick(canvas, area, label);
            taken = ends(label) + 1;
        }
    }
    draw_tick(canvas, area, last);
}

fn draw_tick(canvas: &mut Canvas, area: Area, (begins, label): &(u16, String)) {
    let place = Area::new(*begins, area.bottom() - 1, area.right() - begins, 1);
    canvas.line(place, label, Look::PLAIN);
}

/// Titles lie over the curve, but make way for marks along their rows.
pub(crate) fn draw_titles(canvas: &mut Canvas, graph: Area, marks: &[(u16, u16)]) {
    let (least_width, least_height) = LEAST_FOR_TITLES;
    if graph.width < least_width || graph.height < least_height {
        return;
    }
    let (above, below) = (graph.y, graph.bottom() - 1);
    let from_left = graph.x..=graph.right() - READINGS_TITLE.1;
    let from_right = (graph.x..=graph.right() - FORCES_TITLE.1).rev();
    draw_title(canvas, READINGS_TITLE, above, from_left, marks);
    draw_title(canvas, FORCES_TITLE, below, from_right, marks);
}

/// Draws a title at the first place where it touches no mark; at the first of all where there is none.
fn draw_title(
    canvas: &mut Canvas,
    (title, width): (&str, u16),
    y: u16,
    mut places: impl Iterator<Item = u16> + Clone,
    marks: &[(u16, u16)],
) {
    let first = places.clone().next();
    let free = places.find(|x| {
        let near = x.saturating_sub(1)..=x + width;
        !marks
            .iter()
            .any(|mark| mark.1 == y && near.contains(&mark.0))
    });
    if let Some(x) = free.or(first) {
        let place = Area::new(x, y, width, 1);
        canvas.line(place, title, Look::PLAIN);
    }
}
