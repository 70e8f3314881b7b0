//! The four quadrants in the window.

use egui::{Color32, Pos2, Rect, Shape, Stroke, Ui, pos2, vec2};
use evenhand_curve::{Curve as _, Point};
use evenhand_fitting::CurveRow;
use evenhand_preview::{
    Anchor, CurvePoint, Mark, Quadrant, QuadrantChart, QuadrantPlaces, Role, Theme, Tracer,
    quadrant_marks,
};

use crate::editor::Editor;
use crate::handles;
use crate::session::Session;
use crate::tokens;
use crate::units::force_text;

/// Points of a drawn curve.
const STEPS: u32 = 240;
/// Room beyond the largest force on the axis.
const BEYOND: f64 = 1.04;

impl Editor {
    /// The chart with its tracer, and the tracer's values below.
    pub(crate) fn chart(&mut self, ui: &mut Ui) {
        let room = ui.available_rect_before_wrap();
        let row = ui.spacing().interact_size.y + 8.0;
        let height = (room.height() - row).max(tokens::CHART_LEAST);
        let rect = Rect::from_min_size(room.min, vec2(room.width(), height));
        let theme = tokens::theme(ui.visuals().dark_mode);
        let ground = tokens::colour(Role::Ground, theme);
        ui.painter().rect_filled(rect, 4.0, ground);
        let end = self.view.held_force_end;
        let end = end.unwrap_or_else(|| force_end(&self.session));
        let places = places(&self.session, rect, end);
        self.hover(ui, rect, &places, end);
        let chart = chart_data(&self.session, &self.view, end);
        for mark in quadrant_marks(&chart, &places) {
            paint(ui, &mark, theme);
        }
        handles::show(self, ui, &places, theme, end);
        ui.allocate_rect(rect, egui::Sense::hover());
        self.traced_row(ui, end);
    }

    /// The tracer follows the pointer, wherever it is over the chart.
    fn hover(&mut self, ui: &Ui, rect: Rect, places: &QuadrantPlaces, end: f64) {
        // A pointer that only rests there leaves the force to the keys.
        let place = ui.input(|input| input.pointer.hover_pos());
        let moved = place != self.view.pointer;
        self.view.pointer = place;
        let Some(pointer) = place.filter(|_| moved) else {
            return;
        };
        let is_over =
            rect.contains(pointer) && ui.ctx().layer_id_at(pointer) == Some(ui.layer_id());
        if !is_over {
            return;
        }
        let at = (f64::from(pointer.x), f64::from(pointer.y));
        let part = axial_part(&self.session);
        let response = self.session.bench().fit.response.curve();
        let force = match places.quadrant(at) {
            None => return,
            Some(Quadrant::Response | Quadrant::Result) => places.result_at(at).0,
            Some(Quadrant::Map) => response.inverse(places.map_at(at).0) / part,
            Some(Quadrant::Brush) => {
                let output = places.map_at(at).1;
                let Some(map) = self.session.document().curve() else {
                    return;
                };
                response.inverse(map.inverse(output)) / part
            }
        };
        self.view.traced_gf = force.clamp(0.0, end);
    }

    fn traced_row(&mut self, ui: &mut Ui, end: f64) {
        let tracer = traced(&self.session, self.view.traced_gf);
        let unit = self.view.unit;
        ui.add_space(4.0);
        ui.horizontal_wrapped(|ui| {
            ui.spacing_mut().slider_width = (ui.available_width() * 0.22).clamp(50.0, 220.0);
            let label = ui.label("Trace");
            let slider = egui::Slider::new(&mut self.view.traced_gf, 0.0..=end);
            ui.add(slider.show_value(false).text(""))
                .labelled_by(label.id)
                .on_hover_text("Follow a force all around; moving over the chart does the same");
            let force = force_text(tracer.force_gf, unit);
            let (reading, output) = (100.0 * tracer.reading, 100.0 * tracer.output);
            let width = tracer.width;
            let values = if ui.available_width() > tokens::ROOM_FOR_WORDS {
                format!("force {force}   reading {reading:.1} %   output {output:.1} %   width {width:.1}")
            } else {
                format!("{force} → {reading:.1} % → {output:.1} % → {width:.1}")
            };
            ui.monospace(values);
        });
    }
}

/// Axial force for a force of 1 as the hand means it.
pub(crate) fn axial_part(session: &Session) -> f64 {
    session.document().request.axial_part()
}

/// End of the force axis: beyond what was measured and what is wanted.
pub(crate) fn force_end(session: &Session) -> f64 {
    let part = axial_part(session);
    let bench = session.bench();
    let measured = bench.fit.response.last_force().gf();
    let samples = bench.read.measurement.samples.iter();
    let last = samples.map(|s| s.force.gf()).fold(measured, f64::max) / part;
    BEYOND * last.max(session.document().request.full_at.gf())
}

pub(crate) fn places(session: &Session, rect: Rect, end: f64) -> QuadrantPlaces {
    QuadrantPlaces::new(
        (f64::from(rect.min.x), f64::from(rect.min.y)),
        (f64::from(rect.width()), f64::from(rect.height())),
        end,
        session.document().scale.greatest(),
    )
}

/// What a force becomes on its way around.
pub(crate) fn traced(session: &Session, force_gf: f64) -> Tracer {
    let document = session.document();
    let response = session.bench().fit.response.curve();
    let reading = response.value(force_gf * axial_part(session));
    let output = document
        .curve()
        .map_or(reading, |map| map.value(reading).clamp(0.0, 1.0));
    Tracer {
        force_gf,
        reading,
        output,
        width: document.scale.width(output),
    }
}

/// The chart of what is open.
pub(crate) fn chart_data(session: &Session, view: &crate::view::View, end: f64) -> QuadrantChart {
    let document = session.document();
    let figures = session.figures();
    let part = axial_part(session);
    let bench = session.bench();
    let forces = || (0..=STEPS).map(|step| end * f64::from(step) / f64::from(STEPS));
    let response = bench.fit.response.curve();
    let curve = document.curve();
    let pairs = |points: &[Point]| points.iter().map(|p| (p.x, p.y)).collect();
    let points = document.points.iter().map(|p| (p.input, p.output));
    let control_points: Vec<(f64, f64)> = points.collect();
    let map = curve.as_ref().map_or_else(Vec::new, |curve| {
        if !curve.is_straight() || control_points.len() >= STEPS as usize {
            return pairs(&curve.sample(STEPS as usize));
        }
        let ends = [0.0, 1.0].map(|reading| [(reading, curve.value(reading))]);
        [&ends[0][..], &control_points, &ends[1]].concat()
    });
    let samples = bench.read.measurement.samples.iter();
    let response_row = |row: &CurveRow| CurvePoint {
        force_gf: row.force.gf() / part,
        reported: row.reported,
        low: row.low,
        high: row.high,
    };
    QuadrantChart {
        force_end_gf: end,
        unit: view.unit,
        samples: samples
            .map(|sample| (sample.force.gf() / part, sample.reading))
            .collect(),
        response: bench.curve.iter().map(response_row).collect(),
        ideal: pairs(&figures.built.ideal),
        map,
        control_points,
        brush: document.scale,
        wanted: forces()
            .map(|force| (force, figures.wanted(force, part)))
            .collect(),
        achieved: forces()
            .map(|force| {
                let reading = response.value(force * part);
                let output = curve.as_ref().map_or(reading, |map| map.value(reading));
                (force, output.clamp(0.0, 1.0))
            })
            .collect(),
        tracer: Some(traced(session, view.traced_gf.min(end))),
    }
}

pub(crate) fn at((x, y): (f64, f64)) -> Pos2 {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "pixels need no more digits"
    )]
    let place = pos2(x as f32, y as f32);
    place
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "pixels need no more digits"
)]
fn paint(ui: &Ui, mark: &Mark, theme: Theme) {
    let painter = ui.painter();
    match mark {
        Mark::Line {
            points,
            role,
            width,
            dashed,
        } => {
            let places: Vec<Pos2> = points.iter().map(|point| at(*point)).collect();
            let stroke = Stroke::new(*width as f32, tokens::colour(*role, theme));
            if *dashed {
                let (dash, gap) = (tokens::DASH, tokens::DASH_GAP);
                painter.extend(Shape::dashed_line(&places, stroke, dash, gap));
            } else {
                painter.add(Shape::line(places, stroke));
            }
        }
        Mark::Band { upper, lower } => {
            let colour = tokens::colour(Role::Band, theme);
            painter.add(Shape::mesh(strip(upper, lower, colour)));
        }
        Mark::Dot {
            at: centre,
            radius,
            role,
        } => {
            painter.circle_filled(at(*centre), *radius as f32, tokens::colour(*role, theme));
        }
        Mark::Text { label, role } => {
            let align = match label.anchor {
                Anchor::Start => egui::Align2::LEFT_BOTTOM,
                Anchor::Middle => egui::Align2::CENTER_BOTTOM,
                Anchor::End => egui::Align2::RIGHT_BOTTOM,
            };
            let size = label.size as f32;
            // The place is that of the baseline; a font's box ends a little below.
            let mut place = at(label.at);
            place.y += 0.22 * size;
            let font = egui::FontId::proportional(size + 0.5);
            let colour = tokens::colour(*role, theme);
            painter.text(place, align, &label.text, font, colour);
        }
    }
}

/// The room between two lines as triangles.
fn strip(upper: &[(f64, f64)], lower: &[(f64, f64)], colour: Color32) -> egui::Mesh {
    let mut mesh = egui::Mesh::default();
    for (index, (above, below)) in upper.iter().zip(lower).enumerate() {
        mesh.colored_vertex(at(*above), colour);
        mesh.colored_vertex(at(*below), colour);
        if index > 0 {
            let base = 2 * (u32::try_from(index).unwrap_or(u32::MAX / 4) - 1);
            mesh.add_triangle(base, base + 1, base + 2);
            mesh.add_triangle(base + 1, base + 2, base + 3);
        }
    }
    mesh
}
