//! The curve so far.

use evenhand_recorder::SoFar;
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::style::{Modifier, Style};
use ratatui::symbols::Marker;
use ratatui::text::Line;
use ratatui::widgets::{Axis, Chart, Dataset, GraphType};

/// Points of a guide, so that it looks dotted.
const DOTS: u32 = 40;
/// More ticks than an axis has.
const MOST_TICKS: u32 = 20;

fn ticks(so_far: &SoFar<'_>) -> impl Iterator<Item = f64> {
    (0..=MOST_TICKS)
        .map(|index| f64::from(index) * so_far.tick_gf)
        .take_while(|tick| *tick <= so_far.end_gf + 0.5 * so_far.tick_gf)
}

/// Draws samples, curve, and where force and reading are now.
pub(crate) fn draw(frame: &mut Frame<'_>, area: Rect, so_far: &SoFar<'_>) {
    let curve: Vec<(f64, f64)> = so_far
        .curve
        .iter()
        .filter(|point| point.force_gf <= so_far.end_gf)
        .map(|point| (point.force_gf, 100.0 * point.reading))
        .collect();
    let samples: Vec<(f64, f64)> = so_far
        .samples
        .iter()
        .map(|(force, reading)| (*force, 100.0 * reading))
        .collect();
    let part = |step: u32| f64::from(step) / f64::from(DOTS);
    let asked: Vec<(f64, f64)> = so_far.asked_gf.map_or_else(Vec::new, |force| {
        (0..=DOTS).map(|step| (force, 100.0 * part(step))).collect()
    });
    let now: Vec<(f64, f64)> = so_far.current.map_or_else(Vec::new, |reading| {
        (0..=DOTS)
            .map(|step| (so_far.end_gf * part(step), 100.0 * reading))
            .collect()
    });
    let dotted = |points| {
        Dataset::default()
            .marker(Marker::Braille)
            .graph_type(GraphType::Scatter)
            .data(points)
    };
    let sets = vec![
        dotted(&asked),
        dotted(&now),
        Dataset::default()
            .marker(Marker::Braille)
            .graph_type(GraphType::Line)
            .data(&curve),
        Dataset::default()
            .marker(Marker::Dot)
            .graph_type(GraphType::Scatter)
            .style(Style::new().add_modifier(Modifier::BOLD))
            .data(&samples),
    ];
    let label = |value: f64| Line::from(format!("{value:.0}"));
    let forces = Axis::default()
        .title("gf")
        .bounds([0.0, so_far.end_gf])
        .labels(ticks(so_far).map(label));
    let readings = Axis::default()
        .title("reading, %")
        .bounds([0.0, 100.0])
        .labels([0.0, 50.0, 100.0].map(label));
    let chart = Chart::new(sets)
        .x_axis(forces)
        .y_axis(readings)
        .legend_position(None);
    frame.render_widget(chart, area);
}
