//! The curve so far, with where force and reading are now.

use egui::Ui;
use egui_plot::{FilledArea, HLine, Line, LineStyle, Plot, PlotPoints, Points, VLine};
use evenhand_preview::{ForceScale, Role, tick_step};
use evenhand_recorder::Progress;
use evenhand_text::{count, short};

use crate::fields::describe;
use crate::tokens;

/// Most ticks of the axis of forces in N.
const MOST_TICKS: f64 = 8.0;

/// Shows it in all the room that is left.
pub(crate) fn show(ui: &mut Ui, progress: &Progress<'_>, unit: ForceScale) {
    let theme = tokens::theme(ui.visuals().dark_mode);
    let colour = |role| tokens::colour(role, theme);
    let scale = unit.per_gf();
    let end = progress.end_gf * scale;
    let tick = match unit {
        ForceScale::Gf => progress.tick_gf,
        ForceScale::Newton => tick_step(end, MOST_TICKS),
    };
    let shown: Vec<_> = progress
        .curve
        .iter()
        .filter(|point| point.force_gf <= progress.end_gf)
        .collect();
    let forces: Vec<f64> = shown.iter().map(|point| point.force_gf * scale).collect();
    let low: Vec<f64> = shown.iter().map(|point| 100.0 * point.low).collect();
    let high: Vec<f64> = shown.iter().map(|point| 100.0 * point.high).collect();
    let at = |force: f64, reading: f64| [force * scale, 100.0 * reading];
    let curve = shown.iter().map(|point| at(point.force_gf, point.reading));
    let curve: PlotPoints<'_> = curve.collect();
    let samples = progress.samples.iter();
    let samples: PlotPoints<'_> = samples
        .map(|(force, reading)| at(*force, *reading))
        .collect();
    let samples_in_words = count(progress.samples.len(), "sample");
    let words = format!("The curve so far, of {samples_in_words}");
    let dashed = LineStyle::dashed_loose();
    let response = Plot::new("curve so far")
        .height(ui.available_height().max(tokens::CHART_LEAST))
        .allow_zoom(false)
        .allow_scroll(false)
        .allow_drag(false)
        .allow_boxed_zoom(false)
        .allow_double_click_reset(false)
        .show_crosshair(false)
        .grid_color(colour(Role::Grid))
        .grid_fade(0.0)
        .grid_spacing(egui::Rangef::new(8.0, 60.0))
        .x_grid_spacer(egui_plot::uniform_grid_spacer(move |_| [tick; 3]))
        .y_grid_spacer(egui_plot::uniform_grid_spacer(|_| [20.0; 3]))
        .label_formatter(|_| None)
        .x_axis_formatter(|mark, _| short(mark.value, 3))
        .x_axis_label(format!("force, {}", unit.as_str()))
        .y_axis_label("reading, %")
        .show(ui, move |plot| {
            plot.set_plot_bounds_x(0.0..=end);
            plot.set_plot_bounds_y(-3.0..=103.0);
            if !forces.is_empty() {
                let band = FilledArea::new("", &forces, &low, &high).fill_color(colour(Role::Band));
                plot.add(band.allow_hover(false));
            }
            if let Some(force) = progress.asked_gf {
                plot.vline(
                    VLine::new("", force * scale)
                        .color(colour(Role::Wanted))
                        .style(dashed)
                        .allow_hover(false),
                );
            }
            if let Some(reading) = progress.current {
                plot.hline(
                    HLine::new("", 100.0 * reading)
                        .color(colour(Role::Tracer))
                        .style(dashed)
                        .allow_hover(false),
                );
            }
            plot.line(
                Line::new("", curve)
                    .color(colour(Role::Curve))
                    .width(tokens::LINE)
                    .allow_hover(false),
            );
            plot.points(
                Points::new("", samples)
                    .color(colour(Role::Sample))
                    .radius(3.5)
                    .allow_hover(false),
            );
        })
        .response;
    describe(&response, egui::Role::Image, &words);
}
